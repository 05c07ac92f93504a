"""Baths: made from the shelf or taken over; what is in one, what to measure, what to add."""

import time
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.bath.choices import acid_families
from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.event_words import numbers_of
from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.list_a_ledger import list_a_ledger
from tankside.app.bath.make_words import reading
from tankside.app.bath.most_worth_measuring import NextRequest, next_measurement
from tankside.app.bath.note_a_dose import take_back as events_taken_back
from tankside.app.bath.note_fields import NOTE_KINDS, TAKE_OVER, refusal_of_a_note
from tankside.app.bath.print_sheets import print_a_make_up, print_a_record
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
from tankside.app.bath.what_is_due import what_is_due
from tankside.base.errors import BadInput, TanksideError
from tankside.web.frame import page
from tankside.web.history_chart import history_charts
from tankside.web.pages.bath_forms import bath_after, how, pdf
from tankside.web.reader import example

router = APIRouter()


@router.get("/baths")
def baths(request: Request) -> HTMLResponse:
    """All baths."""
    return _listed(request)


def _listed(request: Request, typed: Any = None, fault: str = "") -> HTMLResponse:
    store = request.app.state.desk.store
    return page(
        request,
        "baths.html",
        status=400 if fault else 200,
        baths=store.baths.all(),
        away=[one for one in store.baths.all(archived=True) if one.archived],
        typed=typed or {},
        fault=fault,
    )


@router.post("/baths")
async def take_over(request: Request) -> Response:
    """A bath that is there already."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    entries = {key: typed.get(key, "") for key in TAKE_OVER}
    store = request.app.state.desk.store
    try:
        kept = await run_in_threadpool(
            take_a_bath_over, store, typed.get("name", ""), entries, now=time.time()
        )
    except BadInput as error:
        return _listed(request, typed, refusal_of_a_note("take-over", error))
    return RedirectResponse(f"/baths/{kept.id}", status_code=303)


@router.get("/baths/new")
def new(request: Request) -> HTMLResponse:
    """What a new bath is to be."""
    return _making(
        request, {"family": "conventional", "volume": example("10 L"), "start": example("20 °C")}
    )


@router.post("/baths/new")
async def make(request: Request) -> Response:
    """Works the make-up out; with `begin`, the bath's ledger begins with it."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    return await run_in_threadpool(_made, request, typed)


def _made(request: Request, typed: dict[str, str]) -> Response:
    place = request.app.state.desk.place
    try:
        reply = make_from_the_shelf(KeptShelf(place.home), BathAsked(answers=typed))
        if typed.get("then") == "begin":
            kept = begin_a_bath(place.store, typed.get("name", ""), reply, at=time.time())
            return RedirectResponse(f"/baths/{kept.id}", status_code=303)
    except TanksideError as error:
        return _making(request, typed, fault=str(error))
    if typed.get("then") == "print":
        return pdf(print_a_make_up(reply, how(request), place.tools.bath_sheets()), "make-up")
    return _making(request, typed, reply=reply)


def _making(
    request: Request, typed: dict[str, str], *, reply: Any = None, fault: str = ""
) -> HTMLResponse:
    tables = KeptShelf(request.app.state.desk.place.home).tables()
    return page(
        request,
        "bath_new.html",
        status=400 if fault else 200,
        families=acid_families(),
        typed=typed,
        reply=reply,
        reading=reading,
        fault=fault,
        bottles=len(tables.get("shelf", ())),
    )


@router.get("/baths/{id}")
def bath(request: Request, id: str) -> HTMLResponse:
    """What is in it and how sure, against its windows and time; what to do about it."""
    return _bath(request, id)


@router.post("/baths/{id}/notes")
async def note(request: Request, id: str) -> Response:
    """One more event; with a fault, the page again with what was typed."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    return await run_in_threadpool(_noted, request, id, typed)


def _noted(request: Request, id: str, typed: dict[str, str]) -> Response:
    place = request.app.state.desk.place
    kept = place.store.baths.find(id)
    kind = typed.pop("kind", "")
    shelf = KeptShelf(place.home)
    try:
        reply = note_for_a_bath(place.store, kept.id, shelf, kind, typed, now=time.time())
    except TanksideError as error:
        return _bath(request, id, kind=kind, typed=typed, fault=refusal_of_a_note(kind, error))
    return RedirectResponse(bath_after(kept.id, reply), status_code=303)


@router.post("/baths/{id}/take-back")
def take_back(
    request: Request, id: str, of: Annotated[list[str], Form()], reason: Annotated[str, Form()] = ""
) -> Response:
    """Events no longer count, all of them or none; they stay readable."""
    store = request.app.state.desk.store
    ledger = StoredLedger(store, store.baths.find(id).id)
    events_taken_back(ledger, of, reason=reason, now=time.time())
    return RedirectResponse(f"/baths/{id}", status_code=303)


@router.get("/baths/{id}/record.pdf")
def record(request: Request, id: str) -> Response:
    """Its record, to print."""
    place = request.app.state.desk.place
    kept = place.store.baths.find(id)
    asked = LedgerAsked(ledger=StoredLedger(place.store, kept.id))
    return pdf(print_a_record(asked, kept.name, how(request), place.tools.bath_sheets()), "bath")


@router.get("/baths/{id}/due")
def due(request: Request, id: str) -> HTMLResponse:
    """What is due, in a few words, as a piece of the home page."""
    place = request.app.state.desk.place
    asked = LedgerAsked(ledger=StoredLedger(place.store, place.store.baths.find(id).id))
    return page(request, "bath_due.html", due=what_is_due(asked, now=time.time()))


def _bath(
    request: Request, id: str, *, kind: str = "", typed: Any = None, fault: str = ""
) -> HTMLResponse:
    place = request.app.state.desk.place
    kept = place.store.baths.find(id)
    ledger = StoredLedger(place.store, kept.id)
    asked = LedgerAsked(ledger=ledger)
    state = tell_the_state(StateRequest(asked=asked, now=time.time()))
    listed = list_a_ledger(ledger)
    rows = listed.as_json()["events"]
    noted = request.query_params.get("noted", "").split(",")
    bench = KeptShelf(place.home).bench()
    named = [one.product.name for one in bench.stocks]
    return page(
        request,
        "bath.html",
        status=400 if fault else 200,
        bath=kept,
        state=state,
        charts=history_charts(tell_the_history(ledger), state),
        next=next_measurement(NextRequest(asked=asked)),
        events=rows[::-1],
        noted=[row for row in rows if row["id"] in noted and row["id"] not in listed.retracted],
        numbers_of=numbers_of,
        retracted=listed.retracted,
        kinds=NOTE_KINDS,
        products=named,
        at_fault=kind,
        opened=request.query_params.get("note", NOTE_KINDS[0].kind),
        typed=typed or {},
        fault=fault,
    )
