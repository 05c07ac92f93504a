"""May this be used, may these meet, what is to be minded? A refusal is an answer here."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from tankside.app.bath.questions import asking
from tankside.app.bath.questions.keeping import SAFE
from tankside.base.errors import SafetyRefusal, TanksideError
from tankside.web.frame import page
from tankside.web.pages.bath_forms import GO, asked_words, faults_of

router = APIRouter()


@router.get("/safe")
def safe(request: Request) -> HTMLResponse:
    """The questions, and the answer."""
    words = asked_words(request, SAFE)
    reply, refused = None, ""
    if GO in request.query_params:
        try:
            reply = asking.safety(words["typed"])
        except SafetyRefusal as error:
            refused = error.message
        except TanksideError as error:
            words["faults"] = faults_of(error)
    status = 400 if words["faults"] else 200
    return page(request, "safe.html", status=status, reply=reply, refused=refused, **words)
