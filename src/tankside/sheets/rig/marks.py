"""Where marks go in a view: beside what they name, over nothing that is drawn, over no other mark.

Boxes are tried on rings round the thing's places, first clear of all bodies, then over bodies, then
anywhere in the view; each that is taken keeps the next away. A thin line leads from far ones.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import cos, hypot, pi, sin

import numpy as np

from tankside.base.arrays import Bools
from tankside.sheets import svg
from tankside.sheets.labels import Box, leader
from tankside.sheets.svg import Point

_NEAR, _FAR, _STEP = 5.0, 170.0, 3.0
_CLEAR = 70.0
_TURNS = tuple(pi / 4 + k * pi / 8 for k in range(16))
_APART = 1.0


class Ground:
    """What is taken in a view's picture, from `corner` on [pt]: `bodies` (h, w), one entry a point;
    and boxes that nothing may cover."""

    def __init__(self, corner: Point, bodies: Bools) -> None:
        self._corner, self._bodies = corner, bodies
        self.boxes: list[Box] = []

    def keep(self, boxes: Iterable[Box]) -> None:
        """Nothing is put there from now on."""
        self.boxes += boxes

    def placed(self, marks: Sequence[Point], width: float, height: float) -> Box | None:
        """A box of this size near one of `marks`, kept; None where the view is full."""
        for box in self._candidates(marks, width, height):
            self.boxes.append(box)
            return box
        return None

    def _candidates(self, marks: Sequence[Point], width: float, height: float) -> Iterator[Box]:
        near = list(_rings(marks, width, height, _CLEAR))
        yield from (box for box in near if self._free(box) and not self._covers(box))
        yield from (box for box in near if self._free(box))
        yield from (box for box in _rings(marks, width, height, _FAR) if self._free(box))
        rows, columns = self._bodies.shape
        for y in range(0, rows, 3):
            for x in range(0, columns, 3):
                box = Box(self._corner[0] + x, self._corner[1] + y, width, height)
                if self._free(box):
                    yield box

    def _free(self, box: Box) -> bool:
        rows, columns = self._bodies.shape
        left, top = box.left - self._corner[0], box.top - self._corner[1]
        inside = left >= 0 and top >= 0 and left + box.width <= columns and top + box.height <= rows
        return inside and not any(overlap(box, other) for other in self.boxes)

    def _covers(self, box: Box) -> bool:
        moved = Box(box.left - self._corner[0], box.top - self._corner[1], box.width, box.height)
        return bool(self._bodies[moved.window].any())


def overlap(one: Box, other: Box, apart: float = _APART) -> bool:
    """True where two boxes come nearer than `apart` [pt]."""
    return (
        one.left < other.left + other.width + apart
        and other.left < one.left + one.width + apart
        and one.top < other.top + other.height + apart
        and other.top < one.top + one.height + apart
    )


def thin_line(marks: Sequence[Point], box: Box) -> list[str]:
    """From the nearest mark to a box that stands off."""
    ends = [leader(mark, box, 0.0) for mark in marks]
    start, end = min(ends, key=lambda line: hypot(*np.subtract(*line)))
    far = hypot(end[0] - start[0], end[1] - start[1]) > 3.0
    return [svg.line(start, end, width=0.35)] if far else []


def _rings(marks: Sequence[Point], width: float, height: float, reach: float) -> Iterator[Box]:
    radius = _NEAR
    while radius < reach:
        for mark in marks:
            for turn in _TURNS:
                x = mark[0] + (radius + width / 2) * cos(turn)
                y = mark[1] - (radius + height / 2) * sin(turn)
                yield Box(x - width / 2, y - height / 2, width, height)
        radius += _STEP
