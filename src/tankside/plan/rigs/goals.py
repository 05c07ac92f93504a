"""What people want of a rig, each as one number to be made small.

All but one are logarithms, so that a tenth less counts the same whatever the unit, and a sum of
them is a fair wish for all at once. Rigs are compared at equal time (each at its own best current),
or at equal thickness at the thinnest place, which is the same order.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import inf, log

from tankside.plan.plan import MeasuredAt
from tankside.plan.rigs.figures import RigFigures

_LATE = 10.0
"""Weight of lateness against the goal [-]: in time first, then good. Our choice."""

FAILS = 1e3
"""Score of a rig whose start fails [-]: beyond any that goals give."""

_AT_ONCE = 1.0
"""A start that takes no longer is none [s]."""

_NONE = 1e-15
"""Growth below which there is none [m s⁻¹]: a hundredth of a micrometre in four months."""


class RigGoal(StrEnum):
    """The goals that people have."""

    THINNEST = "thinnest"
    EVEN = "even"
    TIME = "time"
    COPPER = "copper"
    BURNING = "burning"
    START = "start"
    ALL = "all"

    @property
    def words(self) -> str:
        """What it asks for."""
        return _WORDS[self]


_WORDS = {
    RigGoal.THINNEST: "the most copper at the thinnest place in the same time",
    RigGoal.EVEN: "the least difference between thick and thin places",
    RigGoal.TIME: "the fewest hours until the job's thickness is reached where it is measured",
    RigGoal.COPPER: "the least copper used until the thinnest place has the thickness",
    RigGoal.BURNING: "the lowest peaks against the mean, so that nothing burns",
    RigGoal.START: "copper over the whole coat soonest",
    RigGoal.ALL: "thin places, evenness and copper together",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RigWish:
    """A goal; the thickness that the thinnest place must have [m]; where the job measures its own;
    and the time within which it must be reached [s], or None."""

    goal: RigGoal
    thickness: float
    measured_at: MeasuredAt = MeasuredAt.MEAN
    within: float | None = None

    def score(self, figures: RigFigures) -> float:
        """The smaller the better [-]; infinity where the thinnest place does not grow. A rig whose
        start fails comes after all that start, the less it covers the later: it is good enough to
        search on from, and is never told as good."""
        if figures.thinnest_rate <= _NONE:
            return inf
        if figures.start.delay is None:
            return FAILS * (2.0 - figures.start.covered)
        score = _SCORES[self.goal](self, figures)
        if self.within is not None:
            late = self.hours_to_thinnest(figures) * 3600.0 / self.within
            score += _LATE * max(0.0, log(late))
        return score

    def hours_to_thinnest(self, figures: RigFigures) -> float:
        """Until the thinnest place has the thickness, the start counted where it succeeds [h]."""
        return self._time_at(figures.thinnest_rate, figures) / 3600.0

    def rate_with_start(self, rate: float, figures: RigFigures) -> float:
        """The thickness over the time that it takes at a rate [m s⁻¹], the start counted."""
        return self.thickness / self._time_at(rate, figures)

    def _time_at(self, rate: float, figures: RigFigures) -> float:
        return self.thickness / rate + (figures.start.delay or 0.0)

    def copper_to_thinnest(self, figures: RigFigures) -> float:
        """Copper deposited on everything until then [kg]."""
        return figures.copper_rate * self.thickness / figures.thinnest_rate


def spread_of(figures: RigFigures) -> float:
    """Thickness that 5 % of the area exceeds over the one that 95 % exceeds [-]."""
    return figures.thickest_rate / figures.thinnest_rate


def _thinnest(wish: RigWish, figures: RigFigures) -> float:
    return -log(wish.rate_with_start(figures.thinnest_rate, figures))


def _even(wish: RigWish, figures: RigFigures) -> float:
    return log(spread_of(figures))


def _time(wish: RigWish, figures: RigFigures) -> float:
    mean = wish.measured_at is MeasuredAt.MEAN
    rate = figures.mean_rate if mean else figures.thinnest_rate
    return -log(wish.rate_with_start(rate, figures))


def _copper(wish: RigWish, figures: RigFigures) -> float:
    return log(figures.copper_rate / figures.thinnest_rate)


def _burning(wish: RigWish, figures: RigFigures) -> float:
    return log(figures.highest_fraction / figures.mean_rate)


def _start(wish: RigWish, figures: RigFigures) -> float:
    return log(max(figures.start.covered_after or 0.0, _AT_ONCE))


def _all(wish: RigWish, figures: RigFigures) -> float:
    parts = (_thinnest, _even, _copper)
    return sum(part(wish, figures) for part in parts) / len(parts)


_SCORES: Mapping[RigGoal, Callable[[RigWish, RigFigures], float]] = {
    RigGoal.THINNEST: _thinnest,
    RigGoal.EVEN: _even,
    RigGoal.TIME: _time,
    RigGoal.COPPER: _copper,
    RigGoal.BURNING: _burning,
    RigGoal.START: _start,
    RigGoal.ALL: _all,
}

AXES: tuple[tuple[str, Callable[[RigWish, RigFigures], float]], ...] = (
    ("hours_to_thinnest_h", RigWish.hours_to_thinnest),
    ("copper_g", lambda wish, figures: 1e3 * wish.copper_to_thinnest(figures)),
    ("spread", lambda wish, figures: spread_of(figures)),
    ("cover_minutes", lambda wish, figures: (figures.start.covered_after or 0.0) / 60.0),
)
"""The axes of the Pareto front: hours and grams until the thinnest place has the thickness, the
spread, and minutes until copper covers the coat (none on metal). All the smaller the better."""
