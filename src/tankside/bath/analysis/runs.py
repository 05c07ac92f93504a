"""Burette readings of one or more runs, and the titre that they give.

The scatter of a few runs says little about how well they repeat, and a single run says nothing. So
the deviation of one run is pooled with what the burette and the drop lead one to expect, which
counts as `EXPERIENCE` earlier runs; the answer's degrees of freedom follow. Runs that differ by
more than chance allows are named; none is dropped silently.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import isfinite, sqrt
from statistics import fmean, median

from tankside.base.errors import BadInput
from tankside.base.messages import Quantity
from tankside.base.tables import table
from tankside.bath.analysis.instruments import Volumetric
from tankside.bath.analysis.parameters import number
from tankside.bath.analysis.propagation import Measured

EXPERIENCE = 8
"""Earlier runs that the expected repeatability counts for [-]: our choice."""

_ML = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One titration: burette readings before and after [m³], as on a burette that counts down."""

    start: float = 0.0
    end: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Titre:
    """What the runs delivered on average.

    mean       [m³], with the deviation of chance
    scale      error of the burette's scale, of value zero [m³]
    stop       error of stopping by whole drops, of value zero [m³]
    notes      on runs that do not agree
    """

    mean: Measured
    scale: Measured
    stop: Measured
    notes: tuple[str, ...]


def titre_of(runs: Sequence[Run], burette: Volumetric, *, room: float = 1.02) -> Titre:
    """The titre of one or more runs; BadInput where a reading cannot be right.

    `room` is how far down the burette can be read, in its capacities [-].
    """
    if not runs:
        raise BadInput("a titration needs at least one run")
    if burette.kind != "burette":
        raise BadInput("a {burette} is not a burette", burette=burette.words)
    delivered = [_delivered(run, place, burette, room) for place, run in enumerate(runs, start=1)]
    drop = drop_volume(burette)
    expected = expected_deviation(burette)
    count = len(delivered)
    mean = fmean(delivered)
    scatter = sum((one - mean) ** 2 for one in delivered)
    freedom = EXPERIENCE + count - 1
    pooled = sqrt((EXPERIENCE * expected**2 + scatter) / freedom)
    return Titre(
        mean=Measured(value=mean, std=pooled / sqrt(count), freedom=float(freedom)),
        scale=Measured(value=0.0, std=burette.scale_std),
        stop=Measured(value=0.0, std=drop / sqrt(12.0)),
        notes=_disagreement(delivered, expected),
    )


def drop_volume(burette: Volumetric) -> float:
    """The step in which a burette is closed in on the end [m³]: a drop, or less from a fine tip."""
    return min(number("drop").best, burette.capacity / 400.0)


def expected_deviation(burette: Volumetric) -> float:
    """One standard deviation of a run by a careful hand [m³]: two readings and the last drop."""
    return sqrt(2.0 * burette.reading_std**2 + drop_volume(burette) ** 2 / 12.0)


def _delivered(run: Run, place: int, burette: Volumetric, room: float) -> float:
    start, end = run.start, run.end
    if not (isfinite(start) and isfinite(end) and start >= 0.0):
        raise BadInput(
            "run {place}: burette readings are numbers from zero up, not {start}, {end}",
            place=place,
            start=start,
            end=end,
        )
    if end <= start:
        raise BadInput(
            "run {place} ends at {end}, before its start at {start}; a burette is read downwards, "
            "so the end is the larger number",
            place=place,
            end=Quantity(end, "mL", 6),
            start=Quantity(start, "mL", 6),
        )
    if end > burette.capacity * room:
        raise BadInput(
            "run {place} ends at {end}, beyond the end of a {burette}; take less bath, or a "
            "stronger titrant, so that one filling does",
            place=place,
            end=Quantity(end, "mL", 6),
            burette=burette.words,
        )
    return end - start


def _disagreement(delivered: Sequence[float], expected: float) -> tuple[str, ...]:
    """One sentence where the runs lie farther apart than chance allows once in twenty times."""
    count = len(delivered)
    if count < 2:
        return ("One run only: a slip would not show. Do a second.",)
    spread = max(delivered) - min(delivered)
    if spread <= critical_range(count) * expected:
        return ()
    middle = median(delivered)
    far = max(range(count), key=lambda place: abs(delivered[place] - middle))
    limit = critical_range(count) * expected / _ML
    named = (
        f"run {far + 1} with {delivered[far] / _ML:.2f} mL stands apart"
        if count > 2
        else "two runs cannot say which is wrong"
    )
    return (
        f"The runs differ by {spread / _ML:.2f} mL where {limit:.2f} mL is usual; {named}. "
        "Do another run; leave one out only for a reason that you saw happen.",
    )


def critical_range(count: int) -> float:
    """Range of `count` values in standard deviations that chance passes once in twenty [-]."""
    known = _critical_ranges()
    return known[min(count, max(known))]


@cache
def _critical_ranges() -> dict[int, float]:
    rows = table("tankside.bath.analysis", "critical_range.csv")
    return {int(row["runs"]): float(row["factor"]) for row in rows}
