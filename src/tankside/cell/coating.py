"""The conducting coat of a part: one paint everywhere, and regions that were painted otherwise.

Places and directions are in the coordinates of the part's file, so that a coat goes along however
the part is turned. Where regions overlap, the one that is given last lies on top.
"""

from dataclasses import dataclass
from math import inf
from typing import Literal

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.intervals import Interval

End = Literal["low", "best", "high"]
Vector = tuple[float, float, float]

_ENDS: tuple[End, ...] = ("low", "best", "high")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ball:
    """All that lies within `radius` of `centre` [m]."""

    centre: Vector
    radius: float

    def holds(self, places: Floats) -> Bools:
        """True for each place (n, 3) inside."""
        inside: Bools = np.linalg.norm(places - np.array(self.centre), axis=1) <= self.radius
        return inside


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """All between two corners, `low` and `high` [m]."""

    low: Vector
    high: Vector

    def holds(self, places: Floats) -> Bools:
        """True for each place (n, 3) inside."""
        inside: Bools = np.all(
            (places >= np.array(self.low)) & (places <= np.array(self.high)), axis=1
        )
        return inside


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintedRegion:
    """A region with a paint of its own [ohm per square, along the strokes], or bare where it is
    None; the direction of brushing in it, or None for that of the rest."""

    where: Ball | Box
    sheet_resistance: Interval | None
    strokes: Vector | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeedCoat:
    """What a part is painted with.

    sheet_resistance   by square, along the strokes [Ω]
    regions            painted otherwise, or not at all
    strokes            direction of brushing, or None where the coat is alike in all directions
    across_over_along  sheet resistance square to the strokes over that along them [-]
    """

    sheet_resistance: Interval
    regions: tuple[PaintedRegion, ...] = ()
    strokes: Vector | None = None
    across_over_along: float = 1.0

    def laid_on(self, places: Floats, turn: Floats | None = None) -> "LaidCoat":
        """The coat on triangles with these middles (n, 3) [m]; `turn` (3, 3) takes directions of
        the file to those of the tank."""
        resistance = {
            end: np.full(len(places), getattr(self.sheet_resistance, end)) for end in _ENDS
        }
        strokes = np.zeros((len(places), 3))
        strokes[:] = self.strokes if self.strokes is not None else 0.0
        for region in self.regions:
            inside = region.where.holds(places)
            for end, values in resistance.items():
                paint = region.sheet_resistance
                values[inside] = inf if paint is None else getattr(paint, end)
            if region.strokes is not None:
                strokes[inside] = region.strokes
        brushed = self.across_over_along != 1.0 and bool(strokes.any())
        return LaidCoat(
            low=resistance["low"],
            best=resistance["best"],
            high=resistance["high"],
            strokes=(strokes if turn is None else strokes @ turn.T) if brushed else None,
            across_over_along=self.across_over_along,
        )

    @property
    def is_known(self) -> bool:
        """True where every paint is one number without spread."""
        paints = [self.sheet_resistance, *(region.sheet_resistance for region in self.regions)]
        return all(paint is None or paint.low == paint.high for paint in paints)


@dataclass(frozen=True, kw_only=True)
class LaidCoat:
    """A coat on triangles: sheet resistance along the strokes at its low end, at best and at its
    high end (n,) [ohm per square], infinite where bare; strokes (n, 3) in the tank's directions, or
    None; sheet resistance across them over that along them [-]."""

    low: Floats
    best: Floats
    high: Floats
    strokes: Floats | None = None
    across_over_along: float = 1.0

    def __post_init__(self) -> None:
        for name in ("low", "best", "high"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))

    def at(self, end: End) -> Floats:
        """The sheet resistance at one end, or at best (n,) [ohm per square]."""
        found: Floats = getattr(self, end)
        return found


def even_coat(sheet_resistance: float) -> SeedCoat:
    """One known paint everywhere [ohm per square]."""
    return SeedCoat(sheet_resistance=Interval.exact(sheet_resistance))
