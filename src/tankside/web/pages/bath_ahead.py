"""A bath's forecast: when it leaves its windows, drawn with its intervals, and what waters do."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.questions import asking
from tankside.app.bath.questions.keeping import FORECAST
from tankside.base.errors import TanksideError
from tankside.web.forecast_chart import forecast_charts
from tankside.web.frame import page
from tankside.web.pages.bath_forms import (
    GO,
    asked_words,
    bath_of,
    faults_of,
    place_of,
)

router = APIRouter()


@router.get("/baths/{id}/forecast")
def forecast(request: Request, id: str) -> HTMLResponse:
    """The form of a usual week, and what comes of it; with what the ledger knows of a week it is
    worked out at once."""
    kept, asked = bath_of(request, id)
    words = asked_words(request, FORECAST, asked, kept.name)
    told, reply = words["typed"], None
    if GO in request.query_params or told.get("charge") or told.get("area"):
        try:
            reply = asking.forecast(asked, KeptShelf(place_of(request).home), told)
        except TanksideError as error:
            words["faults"] = faults_of(error)
    return page(
        request,
        "bath_forecast.html",
        status=400 if words["faults"] else 200,
        bath=kept,
        reply=reply,
        charts=() if reply is None else forecast_charts(reply),
        **words,
    )
