"""The cell to scale, from above and from the front: tank, liquid, anodes, parts, wires, shields.

Both views share one scale. Gaps are measured between the outlines that the view shows, so a length
beside a line is the true length of that line. What stands above the liquid is not part of the plan;
the tank's walls and the hangers are only hinted at there.
"""

from collections.abc import Iterable

import numpy as np

from tankside.cell.bodies import Role
from tankside.plan.plan import Plan
from tankside.sheets import svg
from tankside.sheets.cell_labels import cell_labels
from tankside.sheets.cell_view import (
    DRAWN,
    CellView,
    as_point,
    cell_view,
    gap_to_wall,
    gaps_to_anodes,
    gaps_up_and_down,
)
from tankside.sheets.drafting import dimension
from tankside.sheets.outline import FROM_ABOVE, FROM_THE_FRONT, Gap
from tankside.sheets.svg import Point
from tankside.sheets.wording import millimetres

WIDTH = 490.0
_BETWEEN, _SIDE, _HEAD, _FOOT = 62.0, 46.0, 16.0, 34.0
_TALLEST = 190.0
_FREEBOARD = 12.0
_LIQUID, _COPPER, _PART, _INSULATOR = "#edf0f1", "#8a5535", "#ecd9c0", "#c4c8cc"
_WALL = 1.5


def cell_picture(plan: Plan) -> str:
    """The two views as SVG text, `WIDTH` points wide."""
    above, front = cell_view(plan, FROM_ABOVE), cell_view(plan, FROM_THE_FRONT)
    room = WIDTH - 4.0 - _SIDE - _BETWEEN
    tallest = max(above.span[1], front.span[1])
    scale = min(room / (above.span[0] + front.span[0]), _TALLEST / tallest)
    above, front = above.at_scale(scale), front.at_scale(scale)
    left = (WIDTH - above.width - front.width - _BETWEEN - _SIDE) / 2 + 2.0
    foot = _HEAD + scale * tallest
    shapes = [
        svg.moved((left, foot - above.height), _from_above(plan, above)),
        svg.moved((left + above.width + _BETWEEN, foot - front.height), _from_front(plan, front)),
    ]
    title = "The cell to scale: from above, and from the front"
    return svg.drawing(WIDTH, foot + _FOOT, shapes, title=title)


def _from_above(plan: Plan, view: CellView) -> list[str]:
    """Plan view: tank and bodies, gaps to anodes and walls, inside width and depth."""
    shapes = [_tank_from_above(view), *_bodies(view)]
    gaps = [*gaps_to_anodes(view), *gap_to_wall(view)]
    shapes += _gap_lines(view, gaps)
    shapes += cell_labels(plan, view, gaps)
    bottom = view.height + 15
    shapes += dimension(
        (0, bottom), (view.width, bottom), millimetres(float(view.span[0])), extended=True
    )
    side = view.width + 9
    shapes += dimension(
        (side, 0), (side, view.height), millimetres(float(view.span[1])), extended=True
    )
    return [*shapes, _title(view, "from above")]


def _from_front(plan: Plan, view: CellView) -> list[str]:
    """Side view: walls, liquid and its surface, bodies, gaps above and below the part."""
    shapes = [*_tank_from_front(view), *_hangers(view), *_bodies(view)]
    gaps = gaps_up_and_down(view)
    shapes += _gap_lines(view, gaps)
    shapes += cell_labels(plan, view, gaps, only=(Role.SHIELD, Role.THIEF))
    side = view.width + 9
    shapes += dimension(
        (side, 0), (side, view.height), millimetres(float(view.span[1])), extended=True
    )
    return [*shapes, _title(view, "from the front")]


def _upright_dimension(view: CellView) -> list[str]:
    """The tank's depth, or the liquid's, beside the view."""
    side, height = view.width + 9, millimetres(float(view.span[1]))
    return dimension((side, 0), (side, view.height), height, extended=True)


def _tank_from_above(view: CellView) -> str:
    vessel = [polygon for _, polygons in view.of(Role.VESSEL) for polygon in polygons]
    return svg.polygons(
        [view.drawn(polygon) for polygon in vessel],
        fill=_LIQUID,
        stroke=svg.INK,
        stroke_width=_WALL,
    )


def _tank_from_front(view: CellView) -> list[str]:
    """Floor and walls, open above; the liquid's surface with its mark."""
    width, height = view.width, view.height
    walls: list[Point] = [(0, -_FREEBOARD), (0, height), (width, height), (width, -_FREEBOARD)]
    mark = (width - 14.0, 0.0)
    return [
        svg.rectangle((0, 0), width, height, fill=_LIQUID),
        svg.line((0, 0), (width, 0), colour=svg.GREY, width=0.7),
        svg.polyline(walls, width=_WALL),
        svg.polygons(
            [[(mark[0] - 3.4, -6.2), (mark[0] + 3.4, -6.2), (mark[0], -0.6)]],
            stroke=svg.GREY,
            stroke_width=0.6,
        ),
        svg.line((mark[0] - 3, 2.4), (mark[0] + 3, 2.4), colour=svg.GREY, width=0.5),
        svg.line((mark[0] - 1.6, 4.4), (mark[0] + 1.6, 4.4), colour=svg.GREY, width=0.5),
    ]


def _bodies(view: CellView) -> list[str]:
    """Anodes dark, parts pale, wires as lines, thieves open, shields grey and broken."""
    shapes = []
    for body, polygons in (entry for role in DRAWN for entry in view.of(role)):
        drawn = [view.drawn(polygon) for polygon in polygons]
        if body.role is Role.SHIELD:
            shapes.append(
                svg.polygons(drawn, fill=_INSULATOR, stroke=svg.INK, stroke_width=0.5, dash="2 1.4")
            )
        else:
            fill, width = {
                Role.ANODE: (_COPPER, 0.5),
                Role.PART: (_PART, 0.9),
                Role.WIRE: (svg.INK, 0.9),
                Role.THIEF: (svg.PAPER, 0.7),
            }[body.role]
            shapes.append(svg.polygons(drawn, fill=fill, stroke=svg.INK, stroke_width=width))
    return shapes


def _hangers(view: CellView) -> list[str]:
    """Broken lines up from whatever reaches the liquid's surface."""
    shapes = []
    for _, polygons in view.of(Role.ANODE, Role.WIRE, Role.PART):
        points = np.vstack([view.drawn(polygon) for polygon in polygons])
        if points[:, 1].min() < 0.5:
            x = float(points[points[:, 1] < 0.5, 0].mean())
            shapes.append(svg.line((x, 0), (x, -_FREEBOARD), width=0.8, dash="2 1.6"))
    return shapes


def _gap_lines(view: CellView, gaps: Iterable[Gap]) -> list[str]:
    shapes = []
    for line in gaps:
        start, end = (as_point(view.drawn(end)) for end in (line.start, line.end))
        shapes += dimension(start, end, millimetres(line.length), colour=svg.INK, halo=_LIQUID)
    return shapes


def _title(view: CellView, words: str) -> str:
    at = (view.width / 2, view.height + 29)
    return svg.text(at, words, anchor="middle", italic=True, colour=svg.GREY)
