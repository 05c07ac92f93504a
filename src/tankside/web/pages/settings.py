"""Settings: how the people of this bench like things written."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.work.languages import languages
from tankside.app.work.preferences import Mark, Paper, wanted
from tankside.base.units import UnitSystem
from tankside.web.frame import page
from tankside.web.words import N_

router = APIRouter()

UNITS = {
    UnitSystem.METRIC: N_("Metric: mm, g, L, °C, A/dm²"),
    UnitSystem.US: N_("US: in, oz, gal, °F, A/ft²"),
}
MARKS = {Mark.POINT: N_("A point: 1.5"), Mark.COMMA: N_("A comma: 1,5")}
PAPERS = {Paper.A4: N_("A4"), Paper.LETTER: N_("US Letter")}


@router.get("/settings")
def settings(request: Request, kept: bool = False) -> HTMLResponse:
    """The form, as it stands."""
    place = request.app.state.desk.place
    return page(
        request,
        "settings.html",
        preferences=place.preferences.read(),
        kept=kept,
        units=UNITS,
        marks=MARKS,
        papers=PAPERS,
        languages=languages(),
        where={"home": str(place.home.resolve()), "store": place.store.where},
    )


@router.post("/settings")
def change(
    request: Request,
    units: Annotated[str, Form()],
    mark: Annotated[str, Form()],
    paper: Annotated[str, Form()],
    language: Annotated[str, Form()] = "en",
    currency: Annotated[str, Form()] = "",
) -> Response:
    """Keeps what was chosen; refuses all of it where one answer is none of those offered."""
    found = wanted(
        {
            "units": units,
            "mark": mark,
            "paper": paper,
            "language": language,
            "currency": currency,
        }
    )
    request.app.state.desk.place.preferences.keep(found)
    return RedirectResponse("/settings?kept=true", status_code=303)
