"""A number that is known only to lie between two others.

Everything that comes from the world (a bath's conductivity, a film's resistance) is an `Interval`:
the best guess, and the low and high ends that it is believed to lie between nine times in ten.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite

NINE_IN_TEN = 1.6448536269514722
"""Standard deviations to each side of a normal law's mean that hold nine times in ten [-]."""


@dataclass(frozen=True, slots=True)
class Interval:
    """`low` <= `best` <= `high`, all finite, in one unit that the owner states."""

    low: float
    best: float
    high: float

    def __post_init__(self) -> None:
        if not all(map(isfinite, (self.low, self.best, self.high))):
            raise ValueError(f"an interval needs finite ends, not {self}")
        if not self.low <= self.best <= self.high:
            raise ValueError(f"an interval needs low <= best <= high, not {self}")

    @classmethod
    def exact(cls, value: float) -> "Interval":
        """A number without spread."""
        return cls(value, value, value)

    @classmethod
    def about(cls, value: float, relative: float) -> "Interval":
        """`value` give or take the fraction `relative` of itself."""
        half = abs(value) * relative
        return cls(value - half, value, value + half)

    @property
    def relative_spread(self) -> float:
        """Half the width as a fraction of the best guess [-]."""
        return (self.high - self.low) / (2 * abs(self.best)) if self.best else float("inf")

    @property
    def deviation(self) -> float:
        """Standard deviation of the normal law that holds nine times in ten between the ends."""
        return (self.high - self.low) / (2 * NINE_IN_TEN)

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high

    def mapped(self, law: Callable[[float], float]) -> "Interval":
        """The interval of a *monotone* law of this number."""
        ends = sorted((law(self.low), law(self.high)))
        return Interval(ends[0], law(self.best), ends[1])

    def scaled(self, factor: float) -> "Interval":
        """The interval times an exact factor."""
        return self.mapped(lambda value: value * factor)
