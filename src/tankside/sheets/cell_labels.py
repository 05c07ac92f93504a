"""Names in the cell drawing, each beside its body where nothing else is drawn."""

from collections.abc import Iterable
from math import dist

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.cell.bodies import Body, Role
from tankside.plan.plan import Plan
from tankside.sheets import svg
from tankside.sheets.cell_view import DRAWN, CellView, as_point
from tankside.sheets.drafting import occupied
from tankside.sheets.labels import Box, leader, placed
from tankside.sheets.outline import Gap
from tankside.sheets.raster import seen
from tankside.sheets.svg import Point
from tankside.sheets.wording import millimetres, percent, plain


def cell_labels(
    plan: Plan,
    view: CellView,
    gaps: Iterable[Gap],
    only: tuple[Role, ...] = (Role.ANODE, Role.SHIELD, Role.THIEF),
) -> list[str]:
    """Names beside the bodies, anodes with their share of the current."""
    taken = _taken(view, gaps)
    shapes = []
    for body, polygons in view.of(*only):
        first, second = _words(plan, body)
        points = view.drawn(np.vstack(polygons))
        height = 19.0 if second else 10.0
        marks = _marks(points)
        box, taken = placed(marks, 4.1 * max(len(first), len(second)), height, taken)
        shapes += _leader(marks, box)
        shapes.append(svg.text((box.left, box.top + 7.5), first, size=8, bold=True))
        if second:
            shapes.append(svg.text((box.left, box.top + 16.5), second, size=8))
    return shapes


def _leader(marks: list[Point], box: Box) -> list[str]:
    """A thin line from a body to a name that stands far off."""
    start, end = min((leader(mark, box, 0.0) for mark in marks), key=lambda line: dist(*line))
    return [svg.line(start, end, colour=svg.GREY, width=0.4)] if dist(start, end) > 14.0 else []


def _marks(points: Floats) -> list[Point]:
    """Centre, ends and sides of a body's box: places that a label may stand by."""
    low, high = points.min(axis=0), points.max(axis=0)
    middle = (low + high) / 2
    across, down = ([low[k], middle[k], high[k]] for k in (0, 1))
    return [(float(x), float(y)) for y in (down[1], down[0], down[2]) for x in across]


def _words(plan: Plan, body: Body) -> tuple[str, str]:
    name = f"{body.role.value} {body.number}"
    loads = [load for load in plan.anodes if load.number == body.number]
    if body.role is not Role.ANODE or not loads:
        return name, ""
    total = sum(load.current for load in plan.anodes)
    share = percent(loads[0].current / total) if total > 0 else "none"
    return name, f"{plain(loads[0].current, 2)} A, {share}"


def _taken(view: CellView, gaps: Iterable[Gap]) -> Bools:
    """Points that bodies, dimension lines and their lengths cover, and all outside the tank."""
    width, height = int(view.width) + 1, int(view.height) + 1
    taken = np.zeros((height, width), np.bool_)
    for body, _ in view.of(*DRAWN):
        taken |= _grown(_shadow(view, body, width, height))
    for body, _ in view.of(Role.VESSEL):
        taken |= _grown(~_shadow(view, body, width, height))
    for line in gaps:
        start, end = (as_point(view.drawn(end)) for end in (line.start, line.end))
        for box in occupied(start, end, millimetres(line.length)):
            taken[box.window] = True
    return taken


def _shadow(view: CellView, body: Body, width: int, height: int) -> Bools:
    """Points of the view that a body covers (h, w)."""
    flat = view.drawn(body.surface.corners[:, :, view.axes])
    corners = np.concatenate([flat, np.zeros((*flat.shape[:2], 1))], axis=2)
    return seen(corners, width=width, height=height).covered


def _grown(mask: Bools) -> Bools:
    """A mask with a rim of two points added."""
    grown = mask.copy()
    for step in (1, 2):
        grown[step:] |= mask[:-step]
        grown[:-step] |= mask[step:]
        grown[:, step:] |= mask[:, :-step]
        grown[:, :-step] |= mask[:, step:]
    return grown
