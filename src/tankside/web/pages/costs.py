"""Costs: prices that are remembered, what each run cost, and the sums by month and part."""

from typing import Any

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.cost_a_run import PRICES, CostReply
from tankside.app.keep.keep_costs import NO_PART, sum_costs
from tankside.app.work.run_costs import (
    AMOUNTS,
    TypedCosts,
    by_run,
    cost_of_run,
    costs_as_csv,
    keep_cost_of_run,
    keep_prices,
    prices_of,
    typed_of_run,
)
from tankside.app.work.workplace import Workplace
from tankside.base.errors import BadInput
from tankside.web.frame import page
from tankside.web.words import N_, _

router = APIRouter()
PRICE_WORDS = {
    "copper": (N_("Copper anodes"), "12 EUR/kg"),
    "electricity": (N_("Electricity"), "0.32 EUR/kWh"),
    "coat": (N_("Seed coat"), "8 EUR/m2"),
    "work": (N_("Time of hands"), "25 EUR/h"),
}
AMOUNT_WORDS = {
    "heater": (N_("The heater used"), "0.4 kWh", "energy"),
    "pump": (N_("Pump and air used"), "0.1 kWh", "energy"),
    "painted": (N_("Area that was coated"), "1.2 dm2", "area"),
    "hands_on": (N_("Hands were on it for"), "40 min", "time"),
    "chemicals": (N_("Chemicals lost and replaced, in money"), "1.20", ""),
    "scrap": (N_("Earlier tries of this part, in money"), "0", ""),
}
LINES = {
    "copper": N_("copper"),
    "energy, plating": N_("energy, plating"),
    "energy, heater": N_("energy, heater"),
    "energy, pump": N_("energy, pump"),
    "seed coat": N_("seed coat"),
    "work": N_("time of hands"),
    "chemicals": N_("chemicals"),
    "scrap": N_("scrap"),
    NO_PART: N_("no part"),
}


@router.get("/costs")
def costs(request: Request) -> HTMLResponse:
    """All sums, and the prices."""
    return _page(request, {}, "")


@router.post("/costs/prices")
async def prices(request: Request) -> Response:
    """Remembers prices; where one cannot be read, shows the form again with the sentence."""
    typed = {key: str(value) for key, value in (await request.form()).items() if key in PRICES}
    try:
        await run_in_threadpool(keep_prices, request.app.state.desk.place, typed)
    except BadInput as error:
        return await run_in_threadpool(_page, request, typed, str(error))
    return RedirectResponse("/costs", status_code=303)


@router.get("/costs.csv")
def table(request: Request) -> Response:
    """Every entry, one a line."""
    headers = {"content-disposition": 'attachment; filename="costs.csv"'}
    content = costs_as_csv(request.app.state.desk.place)
    return Response(content, media_type="text/csv; charset=utf-8", headers=headers)


@router.get("/runs/{id}/costs")
def run_costs(request: Request, id: str) -> HTMLResponse:
    """What a run cost, at the prices remembered."""
    typed = typed_of_run(request.app.state.desk.place, id)
    return _run_page(request, id, typed, "")


@router.post("/runs/{id}/costs")
async def keep(request: Request, id: str) -> Response:
    """Keeps it; where something cannot be read, shows the form again with the sentence."""
    form = await request.form()
    typed = TypedCosts(**{key: str(form.get(key, "")) for key in AMOUNTS})
    try:
        await run_in_threadpool(keep_cost_of_run, request.app.state.desk.place, id, typed)
    except BadInput as error:
        return await run_in_threadpool(_run_page, request, id, typed, str(error))
    return RedirectResponse(f"/runs/{id}/costs?kept=true", status_code=303)


def _page(request: Request, typed: dict[str, str], said: str) -> HTMLResponse:
    place: Workplace = request.app.state.desk.place
    sums = sum_costs(place.store)
    runs = {view.kept: view.id for view in place.runs.all() if view.kept}
    return page(
        request,
        "costs.html",
        status=400 if said else 200,
        said=said,
        prices=typed or prices_of(place),
        words=PRICE_WORDS,
        months=sums.by_month,
        parts=_worded(sums.by_part),
        purposes=_worded(sums.by_purpose),
        runs=[{**row, "page": runs.get(row["id"], "")} for row in by_run(place)],
    )


def _run_page(request: Request, id: str, typed: TypedCosts, said: str) -> HTMLResponse:
    place: Workplace = request.app.state.desk.place
    reply: CostReply | None = None
    if not said:
        reply = cost_of_run(place, id, typed)
    return page(
        request,
        "run_costs.html",
        status=400 if said else 200,
        run=place.runs.view(id),
        typed=typed,
        words=AMOUNT_WORDS,
        said=said,
        kept=request.query_params.get("kept") == "true",
        cost=None if reply is None else reply.cost,
        lines={key: _(words) for key, words in LINES.items()},
        prices=any(prices_of(place).values()),
    )


def _worded(sums: Any) -> dict[str, dict[str, Any]]:
    """Names that are ours in the reader's language; names of the person's things as they are."""
    return {
        currency: {_(LINES[key]) if key in LINES else key: amount for key, amount in found.items()}
        for currency, found in sums.items()
    }
