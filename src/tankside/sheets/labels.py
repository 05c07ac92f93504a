"""Where to put a label beside a mark in a picture, so that it hides neither the part nor another.

Boxes round the marks, from near to far, are tried against a mask of what must stay free; the first
that fits wins. Where none fits, the label goes beside the mark on top of the part.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin

import numpy as np

from tankside.base.arrays import Bools

Point = tuple[float, float]
_RADII = tuple(range(6, 140, 4))
_TURNS = tuple(k * pi / 12 for k in range(24))


@dataclass(frozen=True, slots=True)
class Box:
    """A label's box in the picture [pt], from its upper left corner."""

    left: float
    top: float
    width: float
    height: float

    @property
    def middle(self) -> Point:
        """The box's centre."""
        return self.left + self.width / 2, self.top + self.height / 2

    @property
    def window(self) -> tuple[slice, slice]:
        """Rows and columns of a mask with one entry a point that the box covers."""
        return (
            slice(max(0, int(self.top)), max(0, int(self.top + self.height) + 1)),
            slice(max(0, int(self.left)), max(0, int(self.left + self.width) + 1)),
        )


def placed(marks: Sequence[Point], width: float, height: float, taken: Bools) -> tuple[Box, Bools]:
    """A box of this size near one of `marks`, and the mask (h, w), one entry a point, with it
    added."""
    candidates = (
        Box(
            mark[0] + (radius + width / 2) * cos(turn) - width / 2,
            mark[1] + (radius + height / 2) * sin(turn) - height / 2,
            width,
            height,
        )
        for radius in _RADII
        for mark in marks
        for turn in _TURNS
    )
    beside = Box(marks[0][0] + 8, marks[0][1] - height, width, height)
    fitting = (box for box in candidates if _free(box, taken))
    box = next(fitting, None) or _inside(beside, taken)
    rows, columns = box.window
    added = taken.copy()
    added[rows, columns] = True
    return box, added


def leader(mark: Point, box: Box, clear: float) -> tuple[Point, Point]:
    """A line from `clear` [pt] beside the mark to the nearest place on the box's rim."""
    end = (
        float(np.clip(mark[0], box.left, box.left + box.width)),
        float(np.clip(mark[1], box.top, box.top + box.height)),
    )
    length = hypot(end[0] - mark[0], end[1] - mark[1]) or 1.0
    share = min(clear / length, 1.0)
    return (mark[0] + share * (end[0] - mark[0]), mark[1] + share * (end[1] - mark[1])), end


def _free(box: Box, taken: Bools) -> bool:
    height, width = taken.shape
    if box.left < 0 or box.top < 0 or box.left + box.width > width or box.top + box.height > height:
        return False
    rows, columns = box.window
    return not taken[rows, columns].any()


def _inside(box: Box, taken: Bools) -> Box:
    """The box shifted so far that it lies in the picture."""
    height, width = taken.shape
    return Box(
        min(max(box.left, 0.0), width - box.width),
        min(max(box.top, 0.0), height - box.height),
        box.width,
        box.height,
    )
