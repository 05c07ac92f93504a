"""The shelf: bottles with what is in them and their hazards, tools, and the mixing vessel."""

from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.bath.choices import grade_names, substance_names
from tankside.app.bath.kept_shelf import LISTED, KeptShelf
from tankside.app.bath.show_the_shelf import statements
from tankside.base.errors import BadInput
from tankside.base.wording import quoting
from tankside.web.frame import page
from tankside.web.words import N_, _

router = APIRouter()

BOTTLE = ("name", "grade", "substance", "strength", "density", "package", "price", "stock")
TOOL = ("name", "division", "capacity", "accuracy")
VESSEL = ("material", "diameter", "height")
FIELD_WORDS = {
    "name": N_("Your name for it"),
    "grade": N_("Sold as"),
    "substance": N_("Substance on the label"),
    "strength": N_("Strength on the label"),
    "density": N_("Density on the label"),
    "stock": N_("How much there is"),
    "package": N_("Package"),
    "price": N_("Price of a package"),
    "division": N_("Reads to"),
    "capacity": N_("Holds at most"),
    "accuracy": N_("Accuracy"),
    "material": N_("Made of"),
    "diameter": N_("Diameter inside"),
    "height": N_("Height inside"),
}
"""What the form calls each answer."""


@router.get("/shelf")
def shelf(request: Request) -> HTMLResponse:
    """The page; with what was just taken away in its address, it offers to put that back."""
    gone = dict(request.query_params)
    return _shown(request, gone=gone if gone.get("kind") in LISTED and gone.get("name") else None)


@router.post("/shelf/{kind}")
async def add(request: Request, kind: str) -> Response:
    """One more bottle or tool, the vessel, or the example's; with a fault, the page again."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    return await run_in_threadpool(_added, request, kind, typed)


def _added(request: Request, kind: str, typed: dict[str, str]) -> Response:
    kept = KeptShelf(request.app.state.desk.place.home)
    try:
        if kind == "example":
            kept.fill_with_the_example()
        elif kind == "vessel":
            kept.set_vessel({key: typed.get(key, "") for key in VESSEL})
        else:
            keys = TOOL if kind == "tool" else BOTTLE
            kept.add(kind, {key: typed.get(key, "") for key in keys})
    except BadInput as error:
        return _shown(request, kind=kind, typed=typed, fault=_at_its_field(error))
    return RedirectResponse("/shelf", status_code=303)


def _at_its_field(error: BadInput) -> str:
    """The sentence after the name of the field that it speaks of, as the form has it."""
    words = FIELD_WORDS.get(error.where.rpartition(" ")[2])
    if words is None:
        return error.message
    return quoting("{field}: {sentence}", field=_(words), sentence=error.message)


@router.post("/shelf/{kind}/away")
def remove(request: Request, kind: str, name: Annotated[str, Form()]) -> Response:
    """Takes one away; the page that follows offers to put it back as it was typed."""
    kept = KeptShelf(request.app.state.desk.place.home)
    there = kept.tables().get(kind, ())
    kept.remove(kind, name)
    gone = next(one for one in there if one["name"] == name)
    return RedirectResponse(f"/shelf?{urlencode({'kind': kind, **gone})}", status_code=303)


def _shown(
    request: Request,
    kind: str = "",
    typed: dict[str, str] | None = None,
    fault: str = "",
    gone: dict[str, str] | None = None,
) -> HTMLResponse:
    kept = KeptShelf(request.app.state.desk.place.home)
    tables, bench = kept.tables(), kept.bench()
    bottles = [
        {"stock": stock, "product": stock.product, "statements": statements(stock.product)}
        for stock in bench.stocks
    ]
    return page(
        request,
        "shelf.html",
        status=400 if fault else 200,
        bottles=bottles,
        tables=tables,
        grades=grade_names(),
        substances=substance_names(),
        at_fault=kind,
        typed=typed or {},
        fault=fault,
        gone=gone or {},
    )
