"""Analyses of a bath: how they are done, what readings found, what that does to the estimate, and
the finding kept in the ledger."""

import time

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.bath.moments import moment
from tankside.app.bath.most_worth_measuring import NextRequest, next_measurement
from tankside.app.bath.print_sheets import print_a_titration
from tankside.app.bath.questions.analysing import (
    MEASURED,
    effect_of,
    keep_a_finding,
    measured,
    titration_plan,
)
from tankside.app.bath.questions.field import Question
from tankside.app.bath.questions.reading import question_of
from tankside.app.bath.titration_ways import METHODS
from tankside.app.work.plan_form import FormFault
from tankside.base.errors import BadInput, TanksideError, UnknownName
from tankside.web.frame import page
from tankside.web.pages.bath_forms import (
    GO,
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


@router.get("/baths/{id}/measure")
def ways(request: Request, id: str) -> HTMLResponse:
    """All ways to measure, and which is worth most now."""
    kept, asked = bath_of(request, id)
    return page(
        request,
        "bath_measure.html",
        bath=kept,
        ways=[question_of(name) for name in MEASURED],
        next=next_measurement(NextRequest(asked=asked)),
        titrations=METHODS,
    )


@router.get("/baths/{id}/measure/{what}/plan")
def plan(request: Request, id: str, what: str) -> HTMLResponse:
    """How a titration is done: sample, reagents, steps."""
    kept, asked = bath_of(request, id)
    question = _planned(what)
    words = asked_words(request, question, asked, kept.name)
    reply = None
    if words["typed"].get("expected") or GO in request.query_params:
        try:
            _, reply = titration_plan(what, words["typed"])
        except TanksideError as error:
            words["faults"] = faults_of(error)
    return page(
        request,
        "bath_titration.html",
        status=400 if words["faults"] else 200,
        bath=kept,
        what=what,
        reply=reply,
        **words,
    )


@router.get("/baths/{id}/measure/{what}/plan/sheet.pdf")
def sheet(request: Request, id: str, what: str) -> Response:
    """The same on paper, with a table from the burette to the bath."""
    bath_of(request, id)
    typed = typed_in(_planned(what), request.query_params)
    order, reply = titration_plan(what, typed)
    content = print_a_titration(order, reply, how(request), place_of(request).tools.bath_sheets())
    return pdf(content, f"{what}-titration")


@router.get("/baths/{id}/measure/{way}")
def measure(request: Request, id: str, way: str) -> HTMLResponse:
    """The readings, and what they found."""
    return _measured(request, id, way, dict(request.query_params))


@router.post("/baths/{id}/measure/{way}")
async def keep(request: Request, id: str, way: str) -> Response:
    """The finding, kept in the ledger."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    return await run_in_threadpool(_kept, request, id, way, typed)


def _kept(request: Request, id: str, way: str, typed: dict[str, str]) -> Response:
    kept, asked = bath_of(request, id)
    try:
        reply = measured(way, typed_in(question_of(way), typed))
        noted = keep_a_finding(asked.ledger, reply, at=_at(typed))
    except TanksideError as error:
        return _measured(request, id, way, typed, error)
    return RedirectResponse(bath_after(kept.id, noted), status_code=303)


def _measured(
    request: Request,
    id: str,
    way: str,
    sent: dict[str, str],
    error: TanksideError | None = None,
) -> HTMLResponse:
    kept, asked = bath_of(request, id)
    if way not in MEASURED:
        raise UnknownName("the way to measure", way[:40], MEASURED)
    question = question_of(way)
    words = asked_words(request, question, asked, kept.name)
    reply = effect = None
    if error is not None:
        words["faults"] = faults_of(error)
        words["typed"] = typed_in(question, sent)
    elif GO in sent:
        try:
            reply = measured(way, typed_in(question, sent))
            effect = effect_of(asked, reply.finding, at=_at(sent))
        except TanksideError as found:
            words["faults"], reply = faults_of(found), None
    return page(
        request,
        "bath_reading.html",
        status=400 if words["faults"] else 200,
        bath=kept,
        way=way,
        at=sent.get("at", ""),
        reply=reply,
        effect=effect,
        planned=way in METHODS,
        **words,
    )


def _at(sent: dict[str, str]) -> float:
    """When it was read [s since 1970]; FormFault at its field."""
    now, text = time.time(), sent.get("at", "").strip()
    if not text:
        return now
    try:
        return moment(text, now=now, where="")
    except BadInput as error:
        raise FormFault({"at": error.message}) from error


def _planned(what: str) -> Question:
    if what not in METHODS:
        raise UnknownName("titration", what[:40], METHODS)
    return question_of(f"plan-{what}")
