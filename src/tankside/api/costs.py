"""Costs: prices that are remembered, what runs cost, and the sums."""

from typing import Annotated, Any

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, Field

from tankside.app.keep.keep_costs import sum_costs
from tankside.app.work.run_costs import (
    TypedCosts,
    cost_of_run,
    costs_as_csv,
    keep_cost_of_run,
    keep_prices,
    prices_of,
    typed_of_run,
)
from tankside.app.work.workplace import Workplace

router = APIRouter(tags=["costs"])
Text = Annotated[str, Field(max_length=60)]
CSV: dict[int | str, dict[str, Any]] = {200: {"content": {"text/csv": {}}}}


class PriceList(BaseModel):
    """Prices with their currency, such as "12 EUR/kg", "0.32 EUR/kWh", "8 EUR/m2", "25 EUR/h"; ""
    where one is not known."""

    copper: Text = ""
    electricity: Text = ""
    coat: Text = ""
    work: Text = ""


class Spent(BaseModel):
    """What a run used beside copper and plating energy: energies, an area and a time as text with
    units, and sums in the currency of the prices."""

    heater: Text = ""
    pump: Text = ""
    painted: Text = ""
    hands_on: Text = ""
    chemicals: Text = ""
    scrap: Text = ""


@router.get("/prices")
def prices(request: Request) -> PriceList:
    """As they are remembered."""
    return PriceList(**prices_of(_place(request)))


@router.put("/prices")
def remember(request: Request, sent: PriceList) -> PriceList:
    """From now on these; all of them are sent."""
    keep_prices(_place(request), sent.model_dump())
    return PriceList(**prices_of(_place(request)))


@router.get("/runs/{id}/costs")
def of_run(request: Request, id: str) -> dict[str, Any]:
    """What a run cost, at the prices remembered; as `tankside run cost --json` prints it."""
    place = _place(request)
    return dict(cost_of_run(place, id, typed_of_run(place, id)).as_json())


@router.put("/runs/{id}/costs")
def keep(request: Request, id: str, spent: Spent) -> dict[str, Any]:
    """Keeps what a run cost; sent again, the difference is added."""
    typed = TypedCosts(**spent.model_dump())
    return dict(keep_cost_of_run(_place(request), id, typed).as_json())


@router.get("/costs")
def sums(request: Request) -> dict[str, Any]:
    """Sums by currency, and then by month, by part, and by what they were for."""
    return sum_costs(_place(request).store).as_json()


@router.get("/costs/entries", response_class=Response, responses=CSV)
def entries(request: Request) -> Response:
    """Every entry, one a line."""
    return Response(costs_as_csv(_place(request)), media_type="text/csv; charset=utf-8")


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.place
    return found
