"""A base to draw a fault on: shapes, named places, and shapes that lie over the looks."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from tankside.sheets import svg
from tankside.sheets.faults import palette as p
from tankside.sheets.faults.region import Region
from tankside.sheets.svg import Point

WIDTH, HEIGHT = 160.0, 116.0
"""Of a picture [pt]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """Shapes below, regions by the name of the place, and shapes above the looks."""

    under: tuple[str, ...]
    places: Mapping[str, Region]
    over: tuple[str, ...] = field(default=())


Base = Callable[[], Scene]


def filled(region: Region, fill: str, *, stroke: str = svg.INK, width: float = 0.7) -> str:
    """A region in one colour."""
    return svg.polygons(region.outlines, fill=fill, stroke=stroke, stroke_width=width)


def arrow(start: Point, end: Point, *, colour: str = svg.ACCENT, width: float = 1.3) -> str:
    """A stroke with a head at its end."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = (dx * dx + dy * dy) ** 0.5
    u, v = dx / length, dy / length
    back = end[0] - 5 * u, end[1] - 5 * v
    head = [end, (back[0] - 2.6 * v, back[1] + 2.6 * u), (back[0] + 2.6 * v, back[1] - 2.6 * u)]
    return svg.line(start, back, colour=colour, width=width) + svg.polygons([head], fill=colour)


def lettered(at: Point, text: str, *, anchor: svg.Anchor = "middle", colour: str = svg.INK) -> str:
    """A small word beside what it names, in English: the picture tells it to its reader."""
    return svg.text(at, text, size=8, anchor=anchor, colour=colour, halo=svg.PAPER)


def hook(x: float, foot: float, top: float = 3.0) -> str:
    """A wire from above."""
    return svg.line((x, top), (x, foot), colour=p.COPPER_DARK, width=2.0)


def waves(left: float, right: float, level: float) -> str:
    """The surface of the liquid."""
    points = []
    steps = int((right - left) / 4)
    for k in range(steps + 1):
        points.append((left + k * (right - left) / steps, level + (0.9 if k % 2 else -0.9)))
    return svg.polyline(points, colour=p.CRYSTAL, width=0.8)
