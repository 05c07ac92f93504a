"""What is asked of a stored bath beyond its state: forecast, analyses, doses and what was done of
them, rinses, its end; and every sheet of it.

Bodies hold answers as they are typed into the pages' forms, by the keys that GET
/bath-forms/{name} tells; answers hold SI numbers with the unit in each key's name.
"""

import time
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response
from pydantic import BaseModel, Field

from tankside.api.baths import PDF, Answers, BathReply
from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.moments import moment
from tankside.app.bath.note_a_dose import Done, note_a_dose, take_back
from tankside.app.bath.print_sheets import (
    print_a_hand_over,
    print_a_record,
    print_a_retirement,
    print_a_rinse,
    print_a_titration,
    print_doses,
)
from tankside.app.bath.put_away import put_away, taken_back_into_use
from tankside.app.bath.questions import asking
from tankside.app.bath.questions.all import QUESTIONS
from tankside.app.bath.questions.analysing import (
    effect_of,
    keep_a_finding,
    measured,
    titration_plan,
)
from tankside.app.bath.questions.reading import question_of
from tankside.app.bath.stored_ledger import StoredLedger
from tankside.app.bath.what_is_due import what_is_due
from tankside.app.ports import SheetRequest
from tankside.app.work.readers import how_liked
from tankside.app.work.workplace import Workplace

router = APIRouter(tags=["baths"])


class FieldReply(BaseModel):
    """A field of a form: what it asks and why, how it is answered, the usual answer, and what can
    be chosen, each with its words."""

    key: str
    words: str
    help: str
    example: str
    usual: str
    needed: bool
    choices: dict[str, str]


class FormReply(BaseModel):
    """A form and its fields."""

    name: str
    words: str
    fields: list[FieldReply]


class Read(Answers):
    """Readings as typed, and when they were read; now where nothing is said."""

    at: str = ""


class Step(BaseModel):
    """So much of a product went in; without a product, so much bath was taken out."""

    product: str = ""
    amount: str


class DoneDose(BaseModel):
    """What was really done of a dose, and when, as typed; now where nothing is said."""

    steps: list[Step] = Field(max_length=50)
    at: str = ""


class TakenBack(BaseModel):
    """Events that no longer count."""

    of: list[str] = Field(max_length=50)
    reason: str = ""


@router.get("/bath-forms")
def forms() -> dict[str, str]:
    """All forms of a bath by name, in words."""
    return {name: one.words for name, one in QUESTIONS.items()}


@router.get("/bath-forms/{name}")
def form(name: str) -> FormReply:
    """One of them with its fields."""
    found = question_of(name)
    fields = [
        FieldReply(
            key=one.key,
            words=one.words,
            help=one.help,
            example=one.example,
            usual=one.usual,
            needed=one.needed,
            choices=dict(one.choices),
        )
        for one in found.by_key.values()
    ]
    return FormReply(name=found.name, words=found.words, fields=fields)


@router.get("/baths/{id}/due")
def due(request: Request, id: str) -> dict[str, Any]:
    """What is due about it: windows left or about to be, old analyses, what to measure."""
    return what_is_due(_asked(request, id), now=time.time()).as_json()


@router.get("/baths/{id}/record", response_class=Response, responses=PDF)
def record(request: Request, id: str) -> Response:
    """Its record, to print."""
    place = _place(request)
    title = place.store.baths.find(id).name
    return _pdf(print_a_record(_asked(request, id), title, _how(place), place.tools.bath_sheets()))


@router.post("/baths/{id}/forecast")
def forecast(request: Request, id: str, sent: Answers) -> dict[str, Any]:
    """When it leaves its windows, week by week, and what each water does; form "forecast"."""
    shelf = KeptShelf(_place(request).home)
    return asking.forecast(_asked(request, id), shelf, sent.answers).as_json()


@router.post("/baths/{id}/titrations/{what}")
def titration(request: Request, id: str, what: str, sent: Answers) -> dict[str, Any]:
    """How copper, acid or chloride is titrated: sample, reagents, steps; form "plan-..."."""
    _asked(request, id)
    _, reply = titration_plan(what, sent.answers)
    return reply.as_json()


@router.post("/baths/{id}/titrations/{what}/sheet", response_class=Response, responses=PDF)
def titration_sheet(request: Request, id: str, what: str, sent: Answers) -> Response:
    """The same as a sheet, with a table from the burette to the bath."""
    place = _place(request)
    _asked(request, id)
    order, reply = titration_plan(what, sent.answers)
    return _pdf(print_a_titration(order, reply, _how(place), place.tools.bath_sheets()))


@router.post("/baths/{id}/analyses/{way}")
def analysis(request: Request, id: str, way: str, sent: Read) -> dict[str, Any]:
    """What readings found, and what that would do to the estimate; form by the way's name."""
    asked, at = _asked(request, id), _at(sent)
    reply = measured(way, sent.answers)
    effect = effect_of(asked, reply.finding, at=at)
    return {"found": reply.as_json(), "effect": effect.as_json()}


@router.post("/baths/{id}/analyses/{way}/kept", status_code=201)
def analysis_kept(request: Request, id: str, way: str, sent: Read) -> dict[str, Any]:
    """The same, and the finding stands in the ledger."""
    asked, at = _asked(request, id), _at(sent)
    reply = measured(way, sent.answers)
    noted = keep_a_finding(asked.ledger, reply, at=at)
    return {"found": reply.as_json(), "noted": noted.as_json()}


@router.post("/baths/{id}/doses")
def doses(request: Request, id: str, sent: Answers) -> dict[str, Any]:
    """What to add, or take out, so that it is inside as surely as asked; form "dose"."""
    shelf = KeptShelf(_place(request).home)
    return asking.doses(_asked(request, id), shelf, sent.answers).as_json()


@router.post("/baths/{id}/doses/sheet", response_class=Response, responses=PDF)
def doses_sheet(request: Request, id: str, sent: Answers) -> Response:
    """The same as a sheet, with room for what was really done."""
    place = _place(request)
    reply = asking.doses(_asked(request, id), KeptShelf(place.home), sent.answers)
    title = place.store.baths.find(id).name
    return _pdf(print_doses(reply, title, _how(place), place.tools.bath_sheets()))


@router.post("/baths/{id}/doses/done", status_code=201)
def dose_done(request: Request, id: str, sent: DoneDose) -> dict[str, Any]:
    """Notes what was really done, all of it or nothing."""
    ledger, shelf = _asked(request, id).ledger, KeptShelf(_place(request).home)
    done = [Done(product=one.product, amount=one.amount) for one in sent.steps]
    return note_a_dose(ledger, shelf, done, at=sent.at, now=time.time()).as_json()


@router.post("/baths/{id}/take-back", status_code=201)
def back(request: Request, id: str, sent: TakenBack) -> dict[str, Any]:
    """Events that no longer count, all of them or none; they stay readable."""
    ledger = _asked(request, id).ledger
    return take_back(ledger, sent.of, reason=sent.reason, now=time.time()).as_json()


@router.post("/baths/{id}/rinse")
def rinse(request: Request, id: str, sent: Answers) -> dict[str, Any]:
    """What a part carries out of it, and what rinses do; form "rinse"."""
    _asked(request, id)
    return asking.rinse(sent.answers).as_json()


@router.post("/baths/{id}/rinse/sheet", response_class=Response, responses=PDF)
def rinse_sheet(request: Request, id: str, sent: Answers) -> Response:
    """The same as a sheet."""
    place = _place(request)
    title = place.store.baths.find(id).name
    reply = asking.rinse(sent.answers)
    return _pdf(print_a_rinse(reply, title, _how(place), place.tools.bath_sheets()))


@router.post("/baths/{id}/retirement")
def retirement(request: Request, id: str, sent: Answers) -> dict[str, Any]:
    """What its end takes, cautions first, and what to tell whoever takes it; form "retire"."""
    return asking.retirement(_asked(request, id), sent.answers).as_json()


@router.post("/baths/{id}/retirement/sheet", response_class=Response, responses=PDF)
def retirement_sheet(request: Request, id: str, sent: Answers) -> Response:
    """The same as a sheet."""
    place = _place(request)
    reply = asking.retirement(_asked(request, id), sent.answers)
    title = place.store.baths.find(id).name
    return _pdf(print_a_retirement(reply, title, _how(place), place.tools.bath_sheets()))


@router.post("/baths/{id}/retirement/hand-over", response_class=Response, responses=PDF)
def hand_over(request: Request, id: str, sent: Answers) -> Response:
    """What goes along with the canisters to whoever takes them."""
    place = _place(request)
    reply = asking.retirement(_asked(request, id), sent.answers)
    title = place.store.baths.find(id).name
    return _pdf(print_a_hand_over(reply, title, _how(place), place.tools.bath_sheets()))


@router.delete("/baths/{id}")
def away(request: Request, id: str, to: str = "") -> BathReply:
    """Puts it away once it was handed over `to` somebody: out of the lists, its ledger kept."""
    kept = put_away(_place(request).store, id, to=to, at=time.time())
    return BathReply(id=kept.id, name=kept.name)


@router.post("/baths/{id}/back")
def in_use(request: Request, id: str) -> BathReply:
    """Takes it back into use."""
    kept = taken_back_into_use(_place(request).store, id)
    return BathReply(id=kept.id, name=kept.name)


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.place
    return found


def _asked(request: Request, id: str) -> LedgerAsked:
    store = _place(request).store
    return LedgerAsked(ledger=StoredLedger(store, store.baths.find(id).id))


def _at(sent: Read) -> float:
    now = time.time()
    return moment(sent.at, now=now, where="at") if sent.at.strip() else now


def _how(place: Workplace) -> SheetRequest:
    return how_liked(place.preferences.read(), time.strftime("%Y-%m-%d"))


def _pdf(content: bytes) -> Response:
    return Response(content, media_type="application/pdf")
