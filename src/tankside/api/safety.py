"""May this be used, may these meet, what is to be minded; and labels for bottles and tanks."""

import time
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from tankside.api.baths import PDF, Answers
from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.print_sheets import print_a_label
from tankside.app.bath.questions import asking
from tankside.app.bath.questions.labelling import label as label_of
from tankside.app.bath.questions.labelling import labelled
from tankside.app.work.readers import how_liked

router = APIRouter(tags=["safety"])


@router.post("/safe")
def safe(sent: Answers) -> dict[str, Any]:
    """What is allowed, with what to mind; form "safe". What must not be is refused with 409, its
    reason and the way out."""
    return asking.safety(sent.answers).as_json()


@router.get("/labels")
def labels(request: Request) -> dict[str, str]:
    """All that can have a label: the answer "of" of the form "label", and its words."""
    place = request.app.state.place
    return dict(labelled(place.store, KeptShelf(place.home)))


@router.post("/labels")
def label(request: Request, sent: Answers) -> dict[str, Any]:
    """What stands on a label; form "label"."""
    place = request.app.state.place
    reply, _ = label_of(place.store, KeptShelf(place.home), sent.answers)
    return reply.as_json()


@router.post("/labels/sheet", response_class=Response, responses=PDF)
def label_sheet(request: Request, sent: Answers) -> Response:
    """The same to cut out."""
    place = request.app.state.place
    reply, copies = label_of(place.store, KeptShelf(place.home), sent.answers)
    how = how_liked(place.preferences.read(), time.strftime("%Y-%m-%d"))
    content = print_a_label(reply, copies, how, place.tools.bath_sheets())
    return Response(content, media_type="application/pdf")
