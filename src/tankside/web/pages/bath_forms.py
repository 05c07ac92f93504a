"""What the bath's pages share: a question laid out, its live check, answers from an address, PDFs.

A form that asks is sent by GET, so that its answers stand in the address: a reload, a sleeping
phone or a new server loses nothing, and a sheet is the same address under another name.
"""

import time
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.datastructures import QueryParams

from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.keep_a_ledger import NoteReply
from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.questions.beginnings import beginning, names_listed
from tankside.app.bath.questions.field import Asked, Question, no_reading
from tankside.app.bath.questions.reading import checked
from tankside.app.bath.stored_ledger import StoredLedger
from tankside.app.ports import SheetRequest
from tankside.app.store_records import BathRecord, Kept
from tankside.app.work.plan_form import FormFault
from tankside.app.work.readers import how_liked
from tankside.app.work.workplace import Workplace
from tankside.base.errors import TanksideError
from tankside.web.frame import page, sentence_alone
from tankside.web.reader import READER, example, marked

router = APIRouter()
GO = "go"
"""The answer that says that the form is to be worked out, not only shown."""


@router.get("/check/bath/{name}")
def check(request: Request, name: str) -> HTMLResponse:
    """One answer of a form while it is typed: what is wrong, or how it was read."""
    key, text = next(iter(request.query_params.items()), ("", ""))
    found = checked(name, key, text, READER.get().units)
    return page(request, "checked.html", fault=found.fault, read=marked(found.read))


def place_of(request: Request) -> Workplace:
    """What the server stands on."""
    found: Workplace = request.app.state.desk.place
    return found


def bath_of(request: Request, id: str) -> tuple[Kept[BathRecord], LedgerAsked]:
    """A bath and its ledger."""
    store = place_of(request).store
    kept = store.baths.find(id)
    return kept, LedgerAsked(ledger=StoredLedger(store, kept.id))


def _begun(field: Asked, text: str) -> str:
    """An answer to begin with, in the reader's decimal mark where it is a number; names and choices
    stay as they are."""
    return text if field.read is no_reading or field.choices else example(text, of_a_bench=True)


def bath_after(id: str, noted: NoteReply) -> str:
    """The address of a bath's page that tells what was just noted, and offers to take it back."""
    return f"/baths/{id}?{urlencode({'noted': ','.join(noted.happened)})}"


def typed_in(question: Question, sent: QueryParams | Mapping[str, str]) -> dict[str, str]:
    """The answers that belong to a question."""
    return {key: str(sent[key]) for key in question.by_key if key in sent}


def asked_words(
    request: Request, question: Question, asked: LedgerAsked | None = None, name: str = ""
) -> dict[str, Any]:
    """What a template needs to lay a question out: the answers are those of the address, or, of a
    form that is opened, what the ledger knows."""
    typed = typed_in(question, request.query_params)
    if GO not in request.query_params and asked is not None:
        begun = beginning(question, asked, name, READER.get().units)
        typed = {key: _begun(question.by_key[key], text) for key, text in begun.items()} | typed
    elif GO not in request.query_params:
        typed = {key: one.usual for key, one in question.by_key.items() if one.usual} | typed
    return {
        "question": question,
        "typed": typed,
        "faults": {},
        "lists": names_listed(KeptShelf(place_of(request).home)),
        "query": str(request.query_params),
    }


def faults_of(error: TanksideError) -> dict[str, str]:
    """What was refused, by field; under "" what belongs to none."""
    return dict(error.faults) if isinstance(error, FormFault) else {"": sentence_alone(error)}


def how(request: Request) -> SheetRequest:
    """How sheets are printed here."""
    return how_liked(place_of(request).preferences.read(), time.strftime("%Y-%m-%d"))


def pdf(content: bytes, name: str) -> Response:
    """A sheet, shown by the browser."""
    headers = {"content-disposition": f'inline; filename="{name}.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)
