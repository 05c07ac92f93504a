"""Labels for bottles and tanks, as they read and to cut out."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.print_sheets import print_a_label
from tankside.app.bath.questions.keeping import LABEL
from tankside.app.bath.questions.labelling import BATH, BOTTLE, GRADE, label, labelled
from tankside.base.errors import TanksideError
from tankside.web.frame import page
from tankside.web.pages.bath_forms import asked_words, faults_of, how, pdf, place_of, typed_in

router = APIRouter()


@router.get("/labels")
def labels(request: Request) -> HTMLResponse:
    """For what, and the label."""
    place = place_of(request)
    shelf = KeptShelf(place.home)
    words = asked_words(request, LABEL)
    reply = None
    if words["typed"].get("of"):
        try:
            reply, _ = label(place.store, shelf, words["typed"])
        except TanksideError as error:
            words["faults"] = faults_of(error)
    listed = labelled(place.store, shelf)
    return page(
        request,
        "labels.html",
        status=400 if words["faults"] else 200,
        reply=reply,
        baths=[one for one in listed if one[0].startswith(f"{BATH} ")],
        bottles=[one for one in listed if one[0].startswith(f"{BOTTLE} ")],
        grades=[one for one in listed if one[0].startswith(f"{GRADE} ")],
        **words,
    )


@router.get("/labels/sheet.pdf")
def sheet(request: Request) -> Response:
    """The same to cut out."""
    place = place_of(request)
    typed = typed_in(LABEL, request.query_params)
    reply, copies = label(place.store, KeptShelf(place.home), typed)
    return pdf(print_a_label(reply, copies, how(request), place.tools.bath_sheets()), "label")
