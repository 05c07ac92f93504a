"""What leaves a bath: with parts into the rinses, and all of it at its end."""

import time
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.bath.print_sheets import print_a_hand_over, print_a_retirement, print_a_rinse
from tankside.app.bath.put_away import put_away, taken_back_into_use
from tankside.app.bath.questions import asking
from tankside.app.bath.questions.keeping import RETIRE, RINSE
from tankside.base.errors import TanksideError
from tankside.web.frame import page
from tankside.web.pages.bath_forms import (
    GO,
    asked_words,
    bath_of,
    faults_of,
    how,
    pdf,
    place_of,
    typed_in,
)

router = APIRouter()


@router.get("/baths/{id}/rinse")
def rinse(request: Request, id: str) -> HTMLResponse:
    """The form of a part and its rinses, and what they do."""
    kept, asked = bath_of(request, id)
    words = asked_words(request, RINSE, asked, kept.name)
    reply = None
    if GO in request.query_params:
        try:
            reply = asking.rinse(words["typed"])
        except TanksideError as error:
            words["faults"] = faults_of(error)
    status = 400 if words["faults"] else 200
    return page(request, "bath_rinse.html", status=status, bath=kept, reply=reply, **words)


@router.get("/baths/{id}/rinse/sheet.pdf")
def rinse_sheet(request: Request, id: str) -> Response:
    """The rinsing sheet."""
    kept, _ = bath_of(request, id)
    reply = asking.rinse(typed_in(RINSE, request.query_params))
    return pdf(
        print_a_rinse(reply, kept.name, how(request), place_of(request).tools.bath_sheets()),
        "rinses",
    )


@router.get("/baths/{id}/retire")
def retire(request: Request, id: str) -> HTMLResponse:
    """What its end takes, cautions first."""
    kept, asked = bath_of(request, id)
    words = asked_words(request, RETIRE, asked, kept.name)
    reply = None
    try:
        reply = asking.retirement(asked, words["typed"])
    except TanksideError as error:
        words["faults"] = faults_of(error)
    status = 400 if words["faults"] else 200
    return page(request, "bath_retire.html", status=status, bath=kept, reply=reply, **words)


@router.get("/baths/{id}/retire/sheet.pdf")
def retirement_sheet(request: Request, id: str) -> Response:
    """The sheet of its end."""
    kept, asked = bath_of(request, id)
    reply = asking.retirement(asked, typed_in(RETIRE, request.query_params))
    return pdf(
        print_a_retirement(reply, kept.name, how(request), place_of(request).tools.bath_sheets()),
        "retirement",
    )


@router.get("/baths/{id}/retire/hand-over.pdf")
def hand_over(request: Request, id: str) -> Response:
    """What goes along with the canisters."""
    kept, asked = bath_of(request, id)
    reply = asking.retirement(asked, typed_in(RETIRE, request.query_params))
    return pdf(
        print_a_hand_over(reply, kept.name, how(request), place_of(request).tools.bath_sheets()),
        "hand-over",
    )


@router.post("/baths/{id}/away")
def away(request: Request, id: str, to: Annotated[str, Form()] = "") -> Response:
    """It was handed over: out of the lists, its ledger kept."""
    put_away(place_of(request).store, id, to=to, at=time.time())
    return RedirectResponse("/baths?away=1", status_code=303)


@router.post("/baths/{id}/in-use")
def in_use(request: Request, id: str) -> Response:
    """Back into use."""
    taken_back_into_use(place_of(request).store, id)
    return RedirectResponse(f"/baths/{id}", status_code=303)
