"""Rinsing: what a part carries out, how far staged rinses thin it, what can come back.

Running rinses against the flow of parts, n stages, water Q to drag-out D as r = Q / D:

    C0 / Cn = 1 + r + r² + ... + r^n          (mass balance of each stage, well stirred)

Still rinses fill up part by part. What evaporates from the bath makes room for the first rinse's
water. Film volumes per area are ranges of handbooks (data/drag_out.csv): weigh a wet and a dry part
once, and use your own.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.tables import table

MOST_STAGES = 8
"""Stages beyond which no bench goes [-]."""

MOST_FOLLOWED = 100_000
"""Parts up to which a row of still rinses is followed [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """How a part drains: its words, and what it carries per wetted area [m³ m⁻²]."""

    name: str
    words: str
    volume_per_area: Interval
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DragOut:
    """What one part carries out of the bath: volume [m³], copper and acid [kg]."""

    volume: Interval
    copper_carried: Interval
    acid_carried: Interval


def dragged_out(area: float, film: Film, *, copper: Interval, sulfuric_acid: Interval) -> DragOut:
    """What a part of an area [m²] carries out of a bath at concentrations [kg m⁻³]."""
    if not area > 0.0:
        raise BadInput("a part's area is above zero, not {area} m²", area=area)
    volume = film.volume_per_area.scaled(area)
    return DragOut(
        volume=volume,
        copper_carried=_product(volume, copper),
        acid_carried=_product(volume, sulfuric_acid),
    )


def rinse_ratio(stages: int, water_over_drag_out: float) -> float:
    """How many times thinner the last of `stages` running counterflow rinses is than the bath."""
    _check_stages(stages)
    if water_over_drag_out < 0.0:
        raise BadInput("water over drag-out is not negative")
    return float(sum(water_over_drag_out**power for power in range(stages + 1)))


def water_for(stages: int, ratio: float) -> float:
    """Water over drag-out [-] that thins by `ratio` in so many counterflow stages."""
    _check_stages(stages)
    if not ratio > 1.0:
        raise BadInput("a rinse thins by more than one, not {ratio}", ratio=ratio)
    from scipy.optimize import brentq  # a server's start need not wait for it

    return float(brentq(lambda r: rinse_ratio(stages, r) - ratio, 0.0, ratio, xtol=1e-12))


def still_rinses(
    volumes: Sequence[float], drag_out: float, parts: int, bath: float = 1.0
) -> Floats:
    """Concentrations in a row of still rinses [m³ each] after so many parts, in the unit of `bath`.

    Each part brings `drag_out` [m³] of the tank before and takes as much of the tank it leaves;
    shape (len(volumes),).
    """
    if not volumes or min(volumes) <= 0.0 or drag_out <= 0.0 or parts < 0:
        raise BadInput("still rinses have volumes above zero, and so has the drag-out")
    if drag_out > min(volumes):
        raise BadInput("a part cannot carry more than its rinse holds")
    held = [0.0 for _ in volumes]
    for _ in range(parts):
        carried = bath
        for place, volume in enumerate(volumes):
            held[place] = (volume * held[place] + drag_out * carried) / (volume + drag_out)
            carried = held[place]
    return frozen_floats(held)


def parts_until(volumes: Sequence[float], drag_out: float, ratio: float) -> int:
    """How many parts a row of still rinses takes before its last is no longer `ratio` times thinner
    than the bath; no more than MOST_FOLLOWED are followed."""
    parts, step = 0, 1
    if still_rinses(volumes, drag_out, 1)[-1] * ratio > 1.0:
        return 0
    while still_rinses(volumes, drag_out, parts + step)[-1] * ratio <= 1.0:
        parts += step
        step *= 2
        if parts >= MOST_FOLLOWED:
            return MOST_FOLLOWED
    while step > 1:
        step //= 2
        if still_rinses(volumes, drag_out, parts + step)[-1] * ratio <= 1.0:
            parts += step
    return parts


def returned_share(evaporated: float, drag_out: float, stages: int = 1) -> float:
    """Share of the drag-out that comes back [-] where the first rinse's water replaces what
    evaporates, both as volumes in the same time; stages in counterflow."""
    if evaporated < 0.0 or drag_out <= 0.0:
        raise BadInput("evaporation is not negative and drag-out is above zero")
    return 1.0 - 1.0 / rinse_ratio(stages, evaporated / drag_out)


def film(name: str) -> Film:
    """The film of this name; UnknownName offers close ones."""
    known = films()
    if name not in known:
        raise UnknownName("way of draining", name, known)
    return known[name]


@cache
def rinse_goals() -> dict[str, float]:
    """How many times thinner than the bath the last rinse should be [-], by what for."""
    return {row["name"]: float(row["ratio"]) for row in table("tankside.bath", "rinse_goals.csv")}


@cache
def films() -> dict[str, Film]:
    """All ways of draining, by name."""
    return {
        row["name"]: Film(
            name=row["name"],
            words=row["words"],
            volume_per_area=Interval(
                float(row["low_mL_m2"]) * 1e-6,
                float(row["best_mL_m2"]) * 1e-6,
                float(row["high_mL_m2"]) * 1e-6,
            ),
            source=row["source"],
        )
        for row in table("tankside.bath", "drag_out.csv")
    }


def _product(one: Interval, other: Interval) -> Interval:
    """Of two intervals from zero up."""
    return Interval(one.low * other.low, one.best * other.best, one.high * other.high)


def _check_stages(stages: int) -> None:
    if not 1 <= stages <= MOST_STAGES:
        raise BadInput(
            "rinses have 1 to {most_stages} stages, not {stages}",
            most_stages=MOST_STAGES,
            stages=stages,
        )
