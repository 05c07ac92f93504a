"""The shop: tests of its own cell, and what they have taught."""

from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.work.shop_tests import (
    FIELDS,
    add_test,
    know,
    remove_test,
    tests_of,
    typed_test,
)
from tankside.app.work.workplace import Workplace
from tankside.base.errors import BadInput
from tankside.web.frame import page
from tankside.web.pages.bars import bars
from tankside.web.words import N_, _

if TYPE_CHECKING:
    from tankside.app.know_a_shop import ShopReply  # wakes numba

router = APIRouter()
KINDS = {
    "bent": (
        N_("Bent strip"),
        N_(
            "A copper strip bent square in a trough three times as long as the liquid is deep, "
            "half of it on the floor with its tip to the anode, plated for a few minutes: how far "
            "from the tip it burnt. It tells how much current the bath bears."
        ),
    ),
    "burning": (
        N_("Rising current"),
        N_("A coupon under a rising current: the last that came out bright, the first that burnt."),
    ),
    "throwing": (
        N_("Two distances"),
        N_(
            "Two plates at two distances from one anode, weighed before and after: how far the "
            "bath throws."
        ),
    ),
    "sweep": (
        N_("Voltage against current"),
        N_(
            "Two copper plates that fill a trough, at a few currents: how well the bath conducts, "
            "and how easily copper goes down."
        ),
    ),
    "strip": (
        N_("Painted strip"),
        N_("A strip of the seed coat between two clips, and its resistance."),
    ),
    "audit": (
        N_("Efficiency of an audited run"),
        N_(
            "Copper's share of the current: low, best, high. A run's audit fills this in by itself."
        ),
    ),
}
WORDS = {
    "current": (N_("Current"), "1.5 A"),
    "width": (N_("Width"), "25 mm"),
    "depth": (N_("Depth of the liquid"), "50 mm"),
    "burnt": (N_("Burnt"), "12 mm"),
    "good": (N_("Good at"), "3 A/dm^2"),
    "near_gain": (N_("The near plate gained"), "0.42 g"),
    "far_gain": (N_("The far plate gained"), "0.18 g"),
    "near": (N_("Near"), "40 mm"),
    "far": (N_("Far"), "200 mm"),
    "current_density": (N_("Mean current density"), "2 A/dm^2"),
    "scale": (N_("The scale reads to"), "10 mg"),
    "gap": (N_("Between the plates"), "50 mm"),
    "plate": (N_("Plate, wetted"), "40 mm x 50 mm"),
    "readings": (N_("Current; voltage, a line each"), "0.5 A; 0.31 V"),
    "resistance": (N_("Resistance"), "12 ohm"),
    "length": (N_("Length"), "100 mm"),
    "efficiency": (N_("Low, best, high"), "0.95 0.97 0.99"),
}
QUESTIONS = {
    "current": "current",
    "width": "length",
    "depth": "length",
    "burnt": "length",
    ("burning", "burnt"): "current-density",
    "good": "current-density",
    "near_gain": "mass",
    "far_gain": "mass",
    "near": "length",
    "far": "length",
    "current_density": "current-density",
    "scale": "mass",
    "gap": "length",
    "resistance": "resistance",
    "length": "length",
}
"""What the live check of a field is, by its key, or by its kind of test and its key."""
EXAMPLES = {("burning", "burnt"): "3.5 A/dm^2", ("strip", "width"): "10 mm"}
FACTORS = {
    "conductivity": N_("how well the bath conducts"),
    "limiting_current_density": N_("how much current the bath bears"),
    "cathodic_transfer": N_("how the voltage drives copper down"),
    "exchange_current_density": N_("how easily copper goes down"),
    "sheet_resistance": N_("resistance of the seed coat"),
    "efficiency": N_("copper's share of the current"),
}


@router.get("/shop")
def shop(request: Request) -> HTMLResponse:
    """What the tests say, and the forms for more; with what was just forgotten in its address, it
    offers to undo that."""
    gone = dict(request.query_params)
    return _page(request, "", {}, "", gone if gone.get("kind") in KINDS else None)


@router.post("/shop/tests/{kind}")
async def add(request: Request, kind: str) -> Response:
    """Keeps one more test; where it cannot be read, shows the form again with the sentence."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    try:
        await run_in_threadpool(add_test, request.app.state.desk.place, kind, typed)
    except BadInput as error:
        return await run_in_threadpool(_page, request, kind, typed, str(error))
    return RedirectResponse("/shop", status_code=303)


@router.post("/shop/forget")
async def forget(request: Request) -> Response:
    """Takes a test away again; the page that follows offers to undo that."""
    name = str((await request.form()).get("name", ""))
    place: Workplace = request.app.state.desk.place
    kind, typed = await run_in_threadpool(typed_test, place, name)
    await run_in_threadpool(remove_test, place, name)
    return RedirectResponse(f"/shop?{urlencode({'kind': kind, **typed})}", status_code=303)


def _page(
    request: Request,
    kind: str,
    typed: dict[str, str],
    said: str,
    gone: dict[str, str] | None = None,
) -> HTMLResponse:
    place: Workplace = request.app.state.desk.place
    found = know(place)
    return page(
        request,
        "shop.html",
        status=400 if said else 200,
        kinds=KINDS,
        fields=FIELDS,
        words=WORDS,
        examples=EXAMPLES,
        questions=QUESTIONS,
        kind=kind,
        typed=typed,
        said=said,
        gone=gone or {},
        tests=tests_of(place),
        found=found,
        factors=[] if found is None else _rows(found),
    )


def _rows(found: "ShopReply") -> list[tuple[Any, ...]]:
    """Words, before, after, and the bar, of each factor."""
    shops = found.before, found.learned.shop
    rows = [
        (_factor(name), shops[0].factor(name), shops[1].factor(name)) for name in shops[0].names
    ]
    return [(*row, bar) for row, bar in zip(rows, bars(rows), strict=True)]


def _factor(name: str) -> str:
    return _(FACTORS[name]) if name in FACTORS else name.replace("_", " ")
