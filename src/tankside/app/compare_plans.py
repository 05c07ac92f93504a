"""Use case: plans beside each other in figures, each against the first: what is gained and lost.

It reads the plans' replies, the JSON objects of the open contract, and works nothing out anew but
sums of money from prices that are known. A figure that a plan does not have stays empty.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from math import isfinite
from typing import Any

from tankside.app.cost_a_plan import cost_of_plan
from tankside.base.errors import BadInput
from tankside.base.units import Kind, UnitSystem, in_unit, rounded, told

NOTICED = 0.02
"""Relative difference below which a figure counts as the same [-]."""
NOTICED_SHARE = 0.002
"""The same for shares of the area, as an absolute difference [-]."""
MOST = 8
"""Plans that can stand beside each other."""
_WIDTH, _WIDEST = 16, 28


class Better(StrEnum):
    """Which way is the better one."""

    LESS = "less"
    MORE = "more"
    NEITHER = "neither"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """What is compared.

    key      in JSON, the unit in its name
    words    for a person
    path     in a plan's reply, keys joined by dots; "" where it is worked out here
    kind     of quantity, None for plain numbers
    unit     of the key; the reply has it in the same
    """

    key: str
    words: str
    path: str = ""
    kind: Kind | None = None
    unit: str = ""
    better: Better = Better.NEITHER
    share: bool = False


def _length(key: str, words: str, better: Better = Better.NEITHER) -> Figure:
    return Figure(
        key=f"thickness_{key}_um",
        words=words,
        path=f"thickness_um.{key}",
        kind=Kind.LENGTH,
        unit="um",
        better=better,
    )


def _share(key: str, words: str) -> Figure:
    return Figure(key=key, words=words, path=key, better=Better.LESS, share=True)


FIGURES: tuple[Figure, ...] = (
    Figure(key="current_A", words="Current", path="current_A", kind=Kind.CURRENT, unit="A"),
    Figure(
        key="current_density_mean_A_m2",
        words="Current density, mean",
        path="current_density_A_m2.mean",
        kind=Kind.CURRENT_DENSITY,
        unit="A/m^2",
    ),
    Figure(key="hours", words="Time", path="hours", kind=Kind.TIME, unit="h", better=Better.LESS),
    Figure(key="voltage_V", words="Voltage", path="voltage_V.total", kind=Kind.VOLTAGE, unit="V"),
    Figure(
        key="copper_g",
        words="Copper used",
        path="copper_g",
        kind=Kind.MASS,
        unit="g",
        better=Better.LESS,
    ),
    _length("min", "Thinnest place", Better.MORE),
    _length("p05", "Thinnest 5 % of the surface", Better.MORE),
    _length("mean", "Mean thickness"),
    _length("p95", "Thickest 5 %"),
    _length("max", "Thickest place"),
    Figure(key="spread", words="Thick places over thin ones", better=Better.LESS),
    _share("burning_area_fraction", "Surface that burns"),
    _share("rough_area_fraction", "Surface that gets rough"),
    _share("bare_area_fraction", "Surface that stays bare"),
    Figure(key="cost", words="Cost", better=Better.LESS),
)
"""In the order of a table. "spread" is the thickness that 5 % of the area exceeds over the one that
95 % exceed, as in a search for rigs; "cost" is in the prices' currency."""


@dataclass(frozen=True, kw_only=True)
class PlanToCompare:
    """A plan's name for a person, and its reply."""

    name: str
    reply: Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class CompareRequest:
    """Plans, the first of them the one that the others are held against; prices as typed, by name
    ("copper", "electricity", "coat"), those that are known."""

    plans: Sequence[PlanToCompare]
    prices: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A figure of every plan [SI]; None where a plan has none."""

    figure: Figure
    values: tuple[float | None, ...]

    def difference(self, column: int) -> float | None:
        """Of a plan less the first [SI]."""
        first, other = self.values[0], self.values[column]
        return None if first is None or other is None else other - first

    def verdict(self, column: int) -> int:
        """1 where a plan gains by this figure against the first, -1 where it loses, else 0."""
        change = self.difference(column)
        if change is None or self.figure.better is Better.NEITHER:
            return 0
        least = NOTICED_SHARE if self.figure.share else NOTICED * abs(self.values[0] or 0.0)
        if abs(change) <= least:
            return 0
        return 1 if (change < 0) == (self.figure.better is Better.LESS) else -1

    def shown(self, value: float | None, units: UnitSystem = UnitSystem.METRIC) -> str:
        """A value in the reader's units, without a sign of its own."""
        if value is None:
            return "-"
        if self.figure.kind is not None:
            return told(value, self.figure.kind, units)
        return f"{rounded(100 * value, 2)} %" if self.figure.share else rounded(value)


@dataclass(frozen=True, kw_only=True)
class CompareReply:
    """The plans' names, what limits each, and the figures; "" for the currency without a price."""

    names: tuple[str, ...]
    limits: tuple[str, ...]
    rows: tuple[Row, ...]
    currency: str
    without: tuple[str, ...]

    def gained(self, column: int) -> tuple[Row, ...]:
        """Figures by which a plan is better than the first."""
        return tuple(row for row in self.rows if row.verdict(column) > 0)

    def lost(self, column: int) -> tuple[Row, ...]:
        """Figures by which it is worse."""
        return tuple(row for row in self.rows if row.verdict(column) < 0)

    def as_json(self) -> Mapping[str, Any]:
        """Figures in the unit of each key's name, differences against the first plan."""
        return {
            "plans": [
                {"name": name, "limited_by": limit}
                for name, limit in zip(self.names, self.limits, strict=True)
            ],
            "currency": self.currency,
            "cost_leaves_out": list(self.without),
            "figures": [
                {
                    "key": row.figure.key,
                    "words": row.figure.words,
                    "better": row.figure.better.value,
                    "values": [_in_key(row.figure, value) for value in row.values],
                    "differences": [
                        _in_key(row.figure, row.difference(column))
                        for column in range(len(row.values))
                    ],
                }
                for row in self.rows
            ],
        }

    def text(self, units: UnitSystem = UnitSystem.METRIC) -> str:
        """A table for a terminal, and what limits each plan."""
        return "\n".join(self._lines(units)) + "\n"

    def _lines(self, units: UnitSystem) -> Iterator[str]:
        wide = min(max(_WIDTH, *(len(name) + 2 for name in self.names)), _WIDEST)
        cells = [name if len(name) < wide else f"{name[: wide - 2]}…" for name in self.names]
        yield f"{'':30}" + "".join(f"{cell:>{wide}}" for cell in cells)
        for row in self.rows:
            money = f" {self.currency}" if row.figure.key == "cost" else ""
            shown = [f"{row.shown(value, units)}{money}" for value in row.values]
            line = f"{row.figure.words:30}" + "".join(f"{cell:>{wide}}" for cell in shown)
            yield line + (f"   {self._change(row, units)}" if len(self.names) == 2 else "")
        for name, limit in zip(self.names, self.limits, strict=True):
            yield f"{name}: {limit}"
        if self.without:
            yield f"The cost leaves out {', '.join(self.without)}: no price is given."

    def _change(self, row: Row, units: UnitSystem) -> str:
        change = row.difference(1)
        if change is None or abs(change) <= 1e-6 * abs(row.values[0] or 0.0):
            return ""
        return f"{'-' if change < 0 else '+'}{row.shown(abs(change), units)}"


def compare_plans(request: CompareRequest) -> CompareReply:
    """Puts them beside each other. BadInput for fewer than two plans or more than eight, for what
    is no plan's reply, and for a price that cannot be read."""
    count = len(request.plans)
    if not 2 <= count <= MOST:
        raise BadInput(
            "a comparison is of two to {most} plans, not of {count}; name them",
            most=MOST,
            count=count,
        )
    costs = [cost_of_plan(_checked(plan), request.prices) for plan in request.plans]
    currency = costs[0].currency
    found = [
        {**_read(plan), "spread": _spread(plan.reply), "cost": cost.known if currency else None}
        for plan, cost in zip(request.plans, costs, strict=True)
    ]
    missing = dict.fromkeys(name for cost in costs for name in cost.missing)
    alike = all(cost.missing == costs[0].missing for cost in costs)
    rows = (
        Row(figure=_judged(one, alike), values=tuple(each[one.key] for each in found))
        for one in FIGURES
    )
    return CompareReply(
        names=tuple(plan.name for plan in request.plans),
        limits=tuple(_limit(plan.reply) for plan in request.plans),
        rows=tuple(row for row in rows if any(value is not None for value in row.values)),
        currency=currency,
        without=tuple(missing) if currency else (),
    )


def _judged(figure: Figure, alike: bool) -> Figure:
    """Costs that leave out different things are shown, and decide nothing."""
    return figure if alike or figure.key != "cost" else replace(figure, better=Better.NEITHER)


def _checked(plan: PlanToCompare) -> Mapping[str, Any]:
    lacking = [key for key in ("current_A", "hours", "thickness_um") if key not in plan.reply]
    if lacking:
        raise BadInput("{plan} is no plan: it has no {lacking}", plan=plan.name, lacking=lacking[0])
    return plan.reply


def _limit(reply: Mapping[str, Any]) -> str:
    """What limits a plan, as a sentence that keeps its parts where it has them."""
    found = reply.get("limited_by", "")
    return found if isinstance(found, str) else str(found)


def _read(plan: PlanToCompare) -> dict[str, float | None]:
    return {one.key: _value(one, plan) for one in FIGURES if one.path}


def _value(figure: Figure, plan: PlanToCompare) -> float | None:
    found: Any = plan.reply
    for key in figure.path.split("."):
        found = found.get(key) if isinstance(found, Mapping) else None
    if found is None:
        return None
    if isinstance(found, bool) or not isinstance(found, int | float) or not isfinite(found):
        raise BadInput(
            "{plan} is no plan: its {figure} is no number", plan=plan.name, figure=figure.path
        )
    return float(found) / (in_unit(1.0, figure.unit) if figure.unit else 1.0)


def _spread(reply: Mapping[str, Any]) -> float | None:
    """Thick places over thin ones; None where a plan has no thin places' thickness."""
    thick, thin = (reply["thickness_um"].get(key) for key in ("p95", "p05"))
    return float(thick) / float(thin) if thick and thin and thin > 0 else None


def _in_key(figure: Figure, value: float | None) -> float | None:
    if value is None or not figure.unit:
        return value
    return value * in_unit(1.0, figure.unit)
