"""Use case: what a run cost, from its folder and a few prices as people write them."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.base.wording import both, quoting, term
from tankside.runs.costs import Prices, RunCost, Spent, cost_of

if TYPE_CHECKING:
    from tankside.app.show_a_run import ShowReply  # wakes scipy and numba

_PRICE = re.compile(r"^\s*(\d+(?:[.,]\d+)?)\s*([^\s\d/]*)\s*/\s*(\S+)\s*$")
_PER = {
    "copper": ({"kg": 1.0, "g": 1e3, "lb": 1 / 0.45359237}, "12 EUR/kg"),
    "electricity": ({"kWh": 1 / 3.6e6}, "0.32 EUR/kWh"),
    "coat": ({"m2": 1.0, "m²": 1.0, "dm2": 1e2, "dm²": 1e2, "cm2": 1e4, "cm²": 1e4}, "8 EUR/m2"),
    "work": ({"h": 1 / 3600.0, "min": 1 / 60.0}, "25 EUR/h"),
}

PRICES = tuple(_PER)
"""What has a price."""

SUPPLY_EFFICIENCY = 0.75
"""Of a bench supply, from socket to bath [-] (common practice, no source)."""


AMOUNTS = ("heater", "pump", "painted", "hands_on")
"""What is typed of a run as text with a unit."""


@dataclass(frozen=True, kw_only=True)
class CostRequest:
    """A run as shown; prices such as "12 EUR/kg" ("" where not known); what else was used, as
    text: heater and pump energy, painted area, hands-on time; chemicals and scrap as numbers in the
    currency, or None where nothing is said of them."""

    shown: "ShowReply"
    copper: str = ""
    electricity: str = ""
    coat: str = ""
    work: str = ""
    heater: str = ""
    pump: str = ""
    painted: str = ""
    hands_on: str = ""
    chemicals: float | None = None
    scrap: float | None = None


@dataclass(frozen=True, kw_only=True)
class CostReply:
    """The cost, as a value, JSON and text; and prices and amounts that it was reckoned with, as
    typed."""

    cost: RunCost
    prices: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)

    def as_json(self) -> Mapping[str, Any]:
        """Costs in the currency named."""
        return {
            "title": self.cost.title,
            "currency": self.cost.currency,
            "known": self.cost.known,
            "without": list(self.cost.missing),
            "lines": [
                {"name": one.name, "amount": one.amount, "cost": one.cost}
                for one in self.cost.lines
            ],
        }

    def text(self) -> str:
        """A few lines for a terminal."""
        rows = [
            f"  {one.name:16} {one.amount:>18} {'' if one.cost is None else f'{one.cost:8.2f}'}"
            for one in self.cost.lines
        ]
        missing = f", without {', '.join(self.cost.missing)}" if self.cost.missing else ""
        total = f"In all {self.cost.known:.2f} {self.cost.currency}".rstrip() + missing
        return "\n".join([self.cost.title, *(row.rstrip() for row in rows), total]) + "\n"


def cost_a_run(request: CostRequest) -> CostReply:
    """Adds up; BadInput, placed at the price, where one cannot be read or currencies differ."""
    found = check_prices({name: getattr(request, name) for name in _PER})
    currencies = sorted({currency for _, currency in found.values() if currency})
    shown = request.shown
    spent = Spent(
        copper=shown.charge * COPPER_PER_CHARGE_KG_PER_C,
        plating=shown.totals.energy / SUPPLY_EFFICIENCY,
        heater=_amount(request.heater, Kind.ENERGY, term("the heater")),
        pump=_amount(request.pump, Kind.ENERGY, term("the pump")),
        coat=_amount(request.painted, Kind.AREA, term("the painted area")),
        work=_amount(request.hands_on, Kind.TIME, term("the hands-on time")),
        chemicals=request.chemicals or 0.0,
        scrap=request.scrap or 0.0,
    )
    prices = Prices(
        currency=currencies[0] if currencies else "",
        **{name: price for name, (price, _) in found.items()},
    )
    return CostReply(
        cost=cost_of(spent, prices, title=shown.order.title, at=max(shown.state.at, 1.0)),
        prices=_as_typed(request, PRICES),
        typed=_as_typed(request, AMOUNTS),
    )


def _as_typed(request: CostRequest, names: tuple[str, ...]) -> dict[str, str]:
    return {name: " ".join(text.split()) for name in names if (text := getattr(request, name))}


def currency_of(request: CostRequest) -> str:
    """The currency that the request's prices name, or ""; BadInput where a price cannot be read."""
    found = (_price(name, getattr(request, name))[1] for name in _PER)
    return next((currency for currency in found if currency), "")


def check_prices(typed: Mapping[str, str]) -> dict[str, tuple[float | None, str]]:
    """Each price per SI unit and its currency; BadInput, placed at the price, where one cannot be
    read or currencies differ."""
    found = {name: _price(name, typed[name]) for name in _PER}
    currencies = sorted({currency for _, currency in found.values() if currency})
    if len(currencies) > 1:
        raise BadInput(
            "prices in {currencies} cannot be added up; use one currency",
            currencies=both(currencies),
        )
    return found


def _price(name: str, text: str) -> tuple[float | None, str]:
    """Price per SI unit and its currency."""
    units, example = _PER[name]
    if not text:
        return None, ""
    match = _PRICE.match(text)
    if match is None or match.group(3) not in units:
        raise BadInput(
            "{text!r} is no price of {name}; write for example '{example}'",
            text=text,
            name=term(name),
            example=example,
            where=quoting("the price of {name}", name=term(name)),
        )
    if not match.group(2):
        raise BadInput(
            "{text!r} names no currency; write for example '{example}'",
            text=text,
            example=example,
            where=quoting("the price of {name}", name=term(name)),
        )
    return float(match.group(1).replace(",", ".")) * units[match.group(3)], match.group(2)


def _amount(text: str, kind: Kind, where: str) -> float:
    return quantity(text, kind, where=where) if text else 0.0
