"""The three views of a rig: outlines along three axes, and where they come on the paper.

Third-angle: the view from above stands over the front, that from the right beside it. Above and
below the tank's inside there is air for wires and hooks.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.messages import said
from tankside.cell.hung import Hung, HungBody
from tankside.sheets.outline import Outline, outline
from tankside.sheets.svg import Point
from tankside.sheets.wording import spoken

AIR = 20.0
"""Room over the rim in the upright views [pt]."""


class View(Enum):
    """A view by the two axes that it keeps, and its name under the picture."""

    ABOVE = (said("from above"), 0, 1)
    FRONT = (said("from the front"), 0, 2)
    SIDE = (said("from the right"), 1, 2)

    @property
    def words(self) -> str:
        """Its name, as the reader has it."""
        return spoken(self.value[0])

    @property
    def axes(self) -> tuple[int, int]:
        """The axes to the right and upwards on the paper."""
        return self.value[1], self.value[2]

    @property
    def upright(self) -> bool:
        """True where the liquid's surface is a line."""
        return self is not View.ABOVE


@dataclass(frozen=True, kw_only=True)
class Sight:
    """One view of a rig: outlines [m] of bodies, and of wires by number of their contact; low and
    high corner of the tank's inside [m]."""

    view: View
    low: Floats
    high: Floats
    bodies: tuple[tuple[HungBody, Outline], ...]
    wires: tuple[Outline, ...]

    @property
    def span(self) -> Floats:
        """Width and height of the tank's inside [m]."""
        return self.high - self.low


@dataclass(frozen=True, kw_only=True)
class Placed:
    """A sight at a scale [pt m⁻¹] with its tank's inside from `corner` on, left and upper [pt]."""

    sight: Sight
    scale: float
    corner: Point

    @property
    def view(self) -> View:
        """Which."""
        return self.sight.view

    @property
    def width(self) -> float:
        """[pt]."""
        return float(self.sight.span[0]) * self.scale

    @property
    def height(self) -> float:
        """[pt]."""
        return float(self.sight.span[1]) * self.scale

    def on_paper(self, points: Floats) -> Floats:
        """Points (..., 2) [m] of the view on the paper [pt]."""
        flat = np.asarray(points, dtype=np.float64)
        x = self.corner[0] + (flat[..., 0] - self.sight.low[0]) * self.scale
        y = self.corner[1] + (self.sight.high[1] - flat[..., 1]) * self.scale
        return np.stack([x, y], axis=-1)

    def point(self, place: Floats) -> Point:
        """A place in the tank (3,) [m] on the paper."""
        x, y = self.on_paper(np.asarray(place)[list(self.view.axes)])
        return float(x), float(y)

    def level(self, depth: float) -> float:
        """The liquid's surface on the paper [pt], of an upright view."""
        return self.corner[1] + (float(self.sight.high[1]) - depth) * self.scale


def sights(rig: Hung) -> dict[View, Sight]:
    """All three views."""
    return {view: _sight(rig, view) for view in View}


def _sight(rig: Hung, view: View) -> Sight:
    axes = list(view.axes)
    return Sight(
        view=view,
        low=rig.low[axes],
        high=rig.high[axes],
        bodies=tuple((body, outline(body.mesh, view.axes)) for body in rig.bodies),
        wires=tuple(outline(mesh, view.axes) for mesh, _ in rig.wires),
    )
