"""Additions to a bath: what to add or take out, and what was really done, noted by one press."""

import time
from typing import Any

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.note_a_dose import Done, note_a_dose
from tankside.app.bath.print_sheets import print_doses
from tankside.app.bath.questions import asking
from tankside.app.bath.questions.keeping import DOSE
from tankside.base.errors import TanksideError
from tankside.web.frame import page, sentence_alone
from tankside.web.pages.bath_forms import (
    asked_words,
    bath_after,
    bath_of,
    faults_of,
    how,
    pdf,
    place_of,
    typed_in,
)

router = APIRouter()
MOST_STEPS = 20


@router.get("/baths/{id}/doses")
def doses(request: Request, id: str) -> HTMLResponse:
    """What to add or take out, each way with a form for what was really done."""
    return _doses(request, id)


@router.get("/baths/{id}/doses/brief")
def brief(request: Request, id: str) -> HTMLResponse:
    """The same in a few lines; a piece of the bath's page, because it takes a moment."""
    kept, asked = bath_of(request, id)
    try:
        reply = asking.doses(asked, KeptShelf(place_of(request).home), {})
    except TanksideError as error:
        said = " ".join(faults_of(error).values())
        return page(request, "bath_doses_brief.html", bath=kept, reply=None, fault=said)
    return page(request, "bath_doses_brief.html", bath=kept, reply=reply, fault="")


@router.get("/baths/{id}/doses/sheet.pdf")
def sheet(request: Request, id: str) -> Response:
    """The dosing sheet."""
    kept, asked = bath_of(request, id)
    typed = typed_in(DOSE, request.query_params)
    reply = asking.doses(asked, KeptShelf(place_of(request).home), typed)
    content = print_doses(reply, kept.name, how(request), place_of(request).tools.bath_sheets())
    return pdf(content, "doses")


@router.post("/baths/{id}/doses/done")
async def done(request: Request, id: str) -> Response:
    """Notes what was really done of one way; with a fault, the page again with what was typed."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    return await run_in_threadpool(_done, request, id, typed)


def _done(request: Request, id: str, typed: dict[str, str]) -> Response:
    kept, asked = bath_of(request, id)
    steps = [
        Done(product=typed.get(f"product{number}", ""), amount=typed[f"amount{number}"])
        for number in range(MOST_STEPS)
        if f"amount{number}" in typed
    ]
    shelf = KeptShelf(place_of(request).home)
    try:
        noted = note_a_dose(asked.ledger, shelf, steps, at=typed.get("at", ""), now=time.time())
    except TanksideError as error:
        return _doses(request, id, done=typed, fault=_said(error, steps))
    return RedirectResponse(bath_after(kept.id, noted), status_code=303)


def _said(error: TanksideError, steps: list[Done]) -> str:
    """The fault with the bottle that it is about."""
    number = error.where.removeprefix("step ")
    given = [one for one in steps if one.amount.strip()]
    if number.isdecimal() and 1 <= int(number) <= len(given) and given[int(number) - 1].product:
        return f"{given[int(number) - 1].product}: {error.message}"
    return sentence_alone(error)


def _doses(
    request: Request, id: str, *, done: dict[str, Any] | None = None, fault: str = ""
) -> HTMLResponse:
    kept, asked = bath_of(request, id)
    words = asked_words(request, DOSE, asked, kept.name)
    reply = None
    try:
        reply = asking.doses(asked, KeptShelf(place_of(request).home), words["typed"])
    except TanksideError as error:
        words["faults"] = faults_of(error)
    return page(
        request,
        "bath_doses.html",
        status=400 if words["faults"] or fault else 200,
        bath=kept,
        reply=reply,
        done=done or {},
        fault=fault,
        **words,
    )
