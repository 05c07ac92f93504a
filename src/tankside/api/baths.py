"""Baths in the store: made from the shelf or taken over, their ledgers, states and doses.

Bodies hold entries as they are typed at the command line; answers hold SI numbers with the unit in
each key's name.
"""

import time
from typing import Any

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, Field

from tankside.app.bath.dose_a_bath import DoseRequest, dose_a_bath
from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.list_a_ledger import list_a_ledger
from tankside.app.bath.most_worth_measuring import NextRequest, next_measurement
from tankside.app.bath.print_sheets import print_a_make_up
from tankside.app.bath.stored_baths import (
    BathAsked,
    begin_a_bath,
    make_from_the_shelf,
    note_for_a_bath,
    take_a_bath_over,
)
from tankside.app.bath.stored_ledger import StoredLedger
from tankside.app.bath.tell_the_history import tell_the_history
from tankside.app.bath.tell_the_state import StateRequest, tell_the_state
from tankside.app.work.readers import how_liked
from tankside.app.work.workplace import Workplace

router = APIRouter(tags=["baths"])
PDF: dict[int | str, dict[str, Any]] = {200: {"content": {"application/pdf": {}}}}


class BathReply(BaseModel):
    """A bath's id and name."""

    id: str
    name: str


class Answers(BaseModel):
    """Entries by key, as typed."""

    answers: dict[str, str] = Field(default_factory=dict)


class Named(Answers):
    """The same, with the name of a new bath."""

    name: str = Field(max_length=80)


class Noted(BaseModel):
    """An event: its kind, and its entries by key, as typed."""

    kind: str
    entries: dict[str, str] = Field(default_factory=dict)


@router.get("/baths")
def baths(request: Request) -> list[BathReply]:
    """All baths in use."""
    return [BathReply(id=one.id, name=one.name) for one in _place(request).store.baths.all()]


@router.post("/baths/make-up")
def make_up(request: Request, sent: Answers) -> dict[str, Any]:
    """What to measure, and in which order, for a bath from the shelf: family, volume, aims."""
    shelf = KeptShelf(_place(request).home)
    return make_from_the_shelf(shelf, BathAsked(answers=sent.answers)).as_json()


@router.post("/baths/make-up/sheet", response_class=Response, responses=PDF)
def make_up_sheet(request: Request, sent: Answers) -> Response:
    """The same as a sheet for the bench, on the paper and in the units of the preferences."""
    place = _place(request)
    made = make_from_the_shelf(KeptShelf(place.home), BathAsked(answers=sent.answers))
    how = how_liked(place.preferences.read(), time.strftime("%Y-%m-%d"))
    content = print_a_make_up(made, how, place.tools.bath_sheets())
    return Response(content, media_type="application/pdf")


@router.post("/baths", status_code=201)
def begin(request: Request, sent: Named) -> BathReply:
    """A new bath whose ledger begins with that make-up."""
    place = _place(request)
    made = make_from_the_shelf(KeptShelf(place.home), BathAsked(answers=sent.answers))
    kept = begin_a_bath(place.store, sent.name, made, at=time.time())
    return BathReply(id=kept.id, name=kept.name)


@router.post("/baths/take-over", status_code=201)
def take_over(request: Request, sent: Named) -> BathReply:
    """A bath that is there already: volume, copper, sulfuric_acid, chloride, with spreads."""
    kept = take_a_bath_over(_place(request).store, sent.name, sent.answers, now=time.time())
    return BathReply(id=kept.id, name=kept.name)


@router.get("/baths/{id}")
def state(request: Request, id: str) -> dict[str, Any]:
    """What is in it and how sure."""
    asked = StateRequest(asked=_asked(request, id), now=time.time())
    return tell_the_state(asked).as_json()


@router.get("/baths/{id}/history")
def history(request: Request, id: str) -> list[dict[str, Any]]:
    """The same after each of up to sixteen of its events, by what was known then; to be drawn."""
    return [one.as_json() for one in tell_the_history(_ledger(request, id))]


@router.get("/baths/{id}/ledger")
def ledger(request: Request, id: str) -> dict[str, Any]:
    """All events, and which do not count."""
    return list_a_ledger(_ledger(request, id)).as_json()


@router.post("/baths/{id}/ledger", status_code=201)
def note(request: Request, id: str, sent: Noted) -> dict[str, Any]:
    """Adds an event for good; one of kind "retraction" takes another back."""
    place = _place(request)
    kept = place.store.baths.find(id)
    shelf = KeptShelf(place.home)
    reply = note_for_a_bath(place.store, kept.id, shelf, sent.kind, sent.entries, now=time.time())
    return reply.as_json()


@router.get("/baths/{id}/next")
def next_(request: Request, id: str) -> dict[str, Any]:
    """Which measurement is worth most."""
    return next_measurement(NextRequest(asked=_asked(request, id))).as_json()


@router.get("/baths/{id}/doses")
def doses(request: Request, id: str) -> dict[str, Any]:
    """What to add, or take out, so that it is inside its windows."""
    shelf = KeptShelf(_place(request).home).text()
    asked = DoseRequest(asked=_asked(request, id), shelf=shelf, shelf_name="the shelf")
    return dose_a_bath(asked).as_json()


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.place
    return found


def _ledger(request: Request, id: str) -> StoredLedger:
    store = _place(request).store
    return StoredLedger(store, store.baths.find(id).id)


def _asked(request: Request, id: str) -> LedgerAsked:
    return LedgerAsked(ledger=_ledger(request, id))
