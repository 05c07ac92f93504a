"""Regions of a picture, and points spread evenly in them, the same on every machine.

Points follow the additive sequence of the plastic number, which fills the plane evenly at any
count.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from tankside.sheets.svg import Point

Outline = tuple[Point, ...]

_PLASTIC = 1.32471795724474602596


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """An outline and its holes [pt]."""

    outline: Outline
    holes: tuple[Outline, ...] = ()

    @property
    def outlines(self) -> tuple[Outline, ...]:
        """All of them."""
        return (self.outline, *self.holes)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom."""
        xs, ys = zip(*self.outline, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def centre(self) -> Point:
        """Of its box."""
        left, top, right, bottom = self.box
        return (left + right) / 2, (top + bottom) / 2

    def holds(self, point: Point) -> bool:
        """True inside the outline and outside the holes."""
        return sum(_crossings(one, point) for one in self.outlines) % 2 == 1

    def spread(self, spacing: float) -> Iterator[tuple[Point, float]]:
        """Points about `spacing` apart, each with a number from 0 to 1 of its own."""
        left, top, right, bottom = self.box
        wide, high = right - left, bottom - top
        count = max(int(wide * high / spacing**2), 1)
        for k in range(1, count + 1):
            across = (0.5 + k / _PLASTIC) % 1.0
            down = (0.5 + k / _PLASTIC**2) % 1.0
            point = left + wide * across, top + high * down
            if self.holds(point):
                yield point, (k * 0.61803398875) % 1.0


def box(left: float, top: float, right: float, bottom: float) -> Outline:
    """An upright rectangle."""
    return (left, top), (right, top), (right, bottom), (left, bottom)


def round_outline(centre: Point, across: float, down: float, corners: int = 36) -> Outline:
    """An ellipse by its half axes."""
    turns = [2 * pi * k / corners for k in range(corners)]
    return tuple((centre[0] + across * cos(t), centre[1] + down * sin(t)) for t in turns)


def blob(centre: Point, size: float, number: float, corners: int = 9) -> Outline:
    """An uneven round figure; `number` from 0 to 1 gives each its own form."""
    points = []
    for k in range(corners):
        reach = size * (1.0 + 0.28 * sin(7.0 * number * (k + 1) + 2.3 * k))
        turn = 2 * pi * (k + number) / corners
        points.append((centre[0] + reach * cos(turn), centre[1] + reach * sin(turn)))
    return tuple(points)


def _crossings(outline: Sequence[Point], point: Point) -> int:
    x, y = point
    count = 0
    for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            count += 1
    return count
