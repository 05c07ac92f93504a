"""Use case: when the bath leaves its window, and what each water does by then."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.estimate_form import UNITS, LedgerAsked, read_ledger, window_row
from tankside.app.bath.usual_week import WATER, typed_week, water_of, week_of
from tankside.app.forms import ends
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.bath.inventory.forecast import Forecast
from tankside.bath.inventory.waters import WaterYear, water_year

MOST_WEEKS = 520
"""Ten years: beyond, nobody's week stays the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastRequest:
    """A ledger and a usual week.

    week       KEY=VALUE each, keys of USE_KEYS; `water` may come more than once
    weeks      how far ahead
    hardness   of the water as calcium carbonate, as typed, or ""
    shelf      content of a shelf's file for its waters, or ""
    """

    asked: LedgerAsked
    week: Sequence[str]
    weeks: int = 52
    hardness: str = ""
    shelf: bytes | str = ""
    shelf_name: str = "shelf"


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastReply:
    """The bath week by week with the first water, and what each water does by the end."""

    ahead: Forecast
    years: tuple[WaterYear, ...]
    windows: Mapping[str, tuple[float, float]]
    whose: str
    notes: tuple[str, ...]

    @property
    def weeks(self) -> int:
        """How far it looks."""
        return len(self.ahead.at) - 1

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        ahead = self.ahead
        return {
            "windows_of": self.whose,
            "leaving": [
                {
                    "quantity": one.quantity,
                    "window": window_row(self.windows, one.quantity),
                    "side": one.side,
                    "earliest_s": one.earliest,
                    "likely_s": one.likely,
                    "latest_s": one.latest,
                    "probability_outside_now": one.probability_now,
                    "probability_outside_then": one.probability_then,
                }
                for one in ahead.leaving
            ],
            "weeks": [
                {"at_s": float(at)}
                | {f"{name}_{unit}": ends(ahead.interval(name, week))
                   for name, unit in UNITS.items()}
                for week, at in enumerate(ahead.at)
            ],
            "top_up_kg": ahead.top_up,
            "waters": [
                {
                    "water": one.water,
                    "top_up_kg": one.top_up,
                    "chloride_kg_m3": ends(one.chloride),
                    "gypsum_kg_m3": one.gypsum,
                    "note": one.note,
                }
                for one in self.years
            ],
            "notes": list(self.notes),
        }  # fmt: skip


@within_laws
def forecast_a_bath(request: ForecastRequest) -> ForecastReply:
    """The bath over the weeks to come; BadInput for a week that cannot be."""
    if not 1 <= request.weeks <= MOST_WEEKS:
        raise BadInput(
            "a forecast looks 1 to {most_weeks} weeks ahead, not {weeks}",
            most_weeks=MOST_WEEKS,
            weeks=request.weeks,
            where="--weeks",
        )
    read = read_ledger(request.asked)
    hardness = None
    if request.hardness:
        hardness = quantity(request.hardness, Kind.MASS_CONCENTRATION, where="--hardness")
    entries, waters = typed_week(request.week)
    uses = [
        week_of(
            entries,
            water_of(name, read.held, shelf=request.shelf, shelf_name=request.shelf_name),
        )
        for name in waters or (WATER,)
    ]
    years = tuple(
        water_year(read.estimate, use, read.windows, hardness=hardness, weeks=request.weeks)
        for use in uses
    )
    return ForecastReply(
        ahead=years[0].ahead,
        years=years,
        windows=read.windows,
        whose=read.whose,
        notes=read.notes,
    )
