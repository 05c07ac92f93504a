"""Baths: made from the shelf or taken over; what is in one, what to measure, what to add."""

import time
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.bath.choices import acid_families
from tankside.app.bath.dose_a_bath import DoseRequest, dose_a_bath
from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.event_words import numbers_of
from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.list_a_ledger import list_a_ledger
from tankside.app.bath.make_words import reading
from tankside.app.bath.most_worth_measuring import NextRequest, next_measurement
from tankside.app.bath.note_fields import NOTE_KINDS
from tankside.app.bath.print_sheets import Print, print_a_make_up
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
from tankside.base.errors import BadInput, TanksideError
from tankside.web.frame import page
from tankside.web.history_chart import history_charts
from tankside.web.words import _

router = APIRouter()

TAKE_OVER = ("volume", "copper", "sulfuric_acid", "chloride")


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
        return _listed(request, typed, str(error))
    return RedirectResponse(f"/baths/{kept.id}", status_code=303)


@router.get("/baths/new")
def new(request: Request) -> HTMLResponse:
    """What a new bath is to be."""
    return _making(request, {"family": "conventional", "volume": "10 L", "start": "20 degC"})


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
        how = Print(
            prepared=time.strftime("%Y-%m-%d"),
            paper=place.preferences.read().paper.value,
            units=place.preferences.read().units,
        )
        content = print_a_make_up(reply, how, place.tools.bath_sheets())
        headers = {"content-disposition": 'inline; filename="make-up.pdf"'}
        return Response(content, media_type="application/pdf", headers=headers)
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
    try:
        note_for_a_bath(place.store, kept.id, KeptShelf(place.home), kind, typed, now=time.time())
    except TanksideError as error:
        return _bath(request, id, kind=kind, typed=typed, fault=str(error))
    return RedirectResponse(f"/baths/{id}", status_code=303)


@router.post("/baths/{id}/take-back")
def take_back(
    request: Request, id: str, of: Annotated[str, Form()], reason: Annotated[str, Form()] = ""
) -> Response:
    """An event no longer counts; it stays readable."""
    place = request.app.state.desk.place
    kept = place.store.baths.find(id)
    entries = {"of": of, "reason": reason}
    note_for_a_bath(
        place.store, kept.id, KeptShelf(place.home), "retraction", entries, now=time.time()
    )
    return RedirectResponse(f"/baths/{id}", status_code=303)


@router.get("/baths/{id}/doses")
def doses(request: Request, id: str) -> HTMLResponse:
    """What to add; a piece of the bath's page, because it takes a moment."""
    place = request.app.state.desk.place
    kept, shelf = place.store.baths.find(id), KeptShelf(place.home)
    try:
        reply = dose_a_bath(
            DoseRequest(
                asked=LedgerAsked(ledger=StoredLedger(place.store, kept.id)),
                shelf=shelf.text(),
                shelf_name=_("the shelf"),
            )
        )
    except TanksideError as error:
        return page(request, "bath_doses.html", bath=kept, reply=None, fault=str(error))
    return page(request, "bath_doses.html", bath=kept, reply=reply, fault="")


@router.get("/baths/{id}/due")
def due(request: Request, id: str) -> HTMLResponse:
    """What is due, in a few words, as a piece of the home page."""
    place = request.app.state.desk.place
    ledger = StoredLedger(place.store, place.store.baths.find(id).id)
    asked = LedgerAsked(ledger=ledger)
    outside = [
        one
        for one in tell_the_state(StateRequest(asked=asked, now=time.time())).held
        if one.side in ("below", "above")
    ]
    reply = next_measurement(NextRequest(asked=asked))
    wanted = reply.ranked[0][0].words if reply.open else ""
    return page(request, "bath_due.html", outside=outside, wanted=wanted)


def _bath(
    request: Request, id: str, *, kind: str = "", typed: Any = None, fault: str = ""
) -> HTMLResponse:
    place = request.app.state.desk.place
    kept = place.store.baths.find(id)
    ledger = StoredLedger(place.store, kept.id)
    asked = LedgerAsked(ledger=ledger)
    state = tell_the_state(StateRequest(asked=asked, now=time.time()))
    listed = list_a_ledger(ledger)
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
        events=listed.as_json()["events"][::-1],
        numbers_of=numbers_of,
        retracted=listed.retracted,
        kinds=NOTE_KINDS,
        products=named,
        at_fault=kind,
        typed=typed or {},
        fault=fault,
    )
