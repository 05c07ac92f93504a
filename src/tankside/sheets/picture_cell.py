"""The cell to scale, from above and from the front: tank, liquid, anodes, parts, wires, shields.

Both views share one scale. Gaps are measured between the outlines that the view shows, so a length
beside a line is the true length of that line. What stands above the liquid is not part of the plan;
the tank's walls and the hangers are only hinted at there.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.base.units import in_unit
from tankside.cell.bodies import Body, Role
from tankside.plan.plan import Plan
from tankside.sheets import svg
from tankside.sheets.drafting import dimension
from tankside.sheets.labels import placed
from tankside.sheets.outline import FROM_ABOVE, FROM_THE_FRONT, Gap, Outline, gap, outline
from tankside.sheets.raster import seen
from tankside.sheets.svg import Point
from tankside.sheets.wording import percent, plain

WIDTH = 490.0
_BETWEEN, _SIDE, _HEAD, _FOOT = 62.0, 46.0, 16.0, 34.0
_TALLEST = 190.0
_FREEBOARD = 12.0
_LIQUID, _COPPER, _PART, _INSULATOR = "#edf0f1", "#8a5535", "#ecd9c0", "#c4c8cc"
_WALL = 1.5


def cell_picture(plan: Plan) -> str:
    """The two views as SVG text, `WIDTH` points wide."""
    above, front = _view(plan, FROM_ABOVE), _view(plan, FROM_THE_FRONT)
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


@dataclass(frozen=True, kw_only=True)
class _View:
    """Outlines of all bodies along one axis, the box of the tank's inside [m], and the scale
    [pt m⁻¹]; pictures have their origin at the box's upper left corner."""

    axes: tuple[int, int]
    low: Floats
    high: Floats
    outlines: tuple[tuple[Body, Outline], ...]
    scale: float = 1.0

    @property
    def span(self) -> Floats:
        """Width and height of the tank's inside [m]."""
        return self.high - self.low

    @property
    def width(self) -> float:
        """[pt]."""
        return float(self.span[0]) * self.scale

    @property
    def height(self) -> float:
        """[pt]."""
        return float(self.span[1]) * self.scale

    def at_scale(self, scale: float) -> "_View":
        """The same view at another scale."""
        return _View(
            axes=self.axes, low=self.low, high=self.high, outlines=self.outlines, scale=scale
        )

    def drawn(self, points: Floats) -> Floats:
        """Points (..., 2) [m] in the picture [pt]."""
        flat = np.asarray(points)
        x = (flat[..., 0] - self.low[0]) * self.scale
        y = (self.high[1] - flat[..., 1]) * self.scale
        return np.stack([x, y], axis=-1)

    def of(self, *roles: Role) -> list[tuple[Body, Outline]]:
        """Bodies of these roles that show in this view."""
        return [entry for entry in self.outlines if entry[0].role in roles and entry[1]]


def _view(plan: Plan, axes: tuple[int, int]) -> _View:
    bodies = plan.cell.bodies
    frame = plan.cell.of_role(Role.VESSEL) or bodies
    points = np.vstack([body.surface.vertices[:, axes] for body in frame])
    low, high = points.min(axis=0), points.max(axis=0)
    if axes == FROM_THE_FRONT:
        high[1] = plan.cell.liquid_level
    return _View(
        axes=axes,
        low=low,
        high=high,
        outlines=tuple((body, outline(body.surface, axes)) for body in bodies),
    )


def _from_above(plan: Plan, view: _View) -> list[str]:
    """Plan view: tank and bodies, gaps to anodes and walls, inside width and depth."""
    shapes = [_tank_from_above(view), *_bodies(view)]
    gaps = [*_gaps_to_anodes(view), *_gap_to_wall(view)]
    shapes += _gap_lines(view, gaps)
    shapes += _labels(plan, view, gaps)
    bottom = view.height + 15
    shapes += dimension((0, bottom), (view.width, bottom), _mm(float(view.span[0])), extended=True)
    side = view.width + 9
    shapes += dimension((side, 0), (side, view.height), _mm(float(view.span[1])), extended=True)
    return [*shapes, _title(view, "from above")]


def _from_front(plan: Plan, view: _View) -> list[str]:
    """Side view: walls, liquid and its surface, bodies, gaps above and below the part."""
    shapes = [*_tank_from_front(view), *_hangers(view), *_bodies(view)]
    gaps = _gaps_up_and_down(view)
    shapes += _gap_lines(view, gaps)
    shapes += _labels(plan, view, gaps, only=(Role.SHIELD, Role.THIEF))
    side = view.width + 9
    shapes += dimension((side, 0), (side, view.height), _mm(float(view.span[1])), extended=True)
    return [*shapes, _title(view, "from the front")]


def _tank_from_above(view: _View) -> str:
    vessel = [polygon for _, polygons in view.of(Role.VESSEL) for polygon in polygons]
    return svg.polygons(
        [view.drawn(polygon) for polygon in vessel],
        fill=_LIQUID,
        stroke=svg.INK,
        stroke_width=_WALL,
    )


def _tank_from_front(view: _View) -> list[str]:
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


def _bodies(view: _View) -> list[str]:
    """Anodes dark, parts pale, wires as lines, thieves open, shields grey and broken."""
    shapes = []
    for body, polygons in view.of(*(role for role in Role if role is not Role.VESSEL)):
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


def _hangers(view: _View) -> list[str]:
    """Broken lines up from whatever reaches the liquid's surface."""
    shapes = []
    for _, polygons in view.of(Role.ANODE, Role.WIRE, Role.PART):
        points = np.vstack([view.drawn(polygon) for polygon in polygons])
        if points[:, 1].min() < 0.5:
            x = float(points[points[:, 1] < 0.5, 0].mean())
            shapes.append(svg.line((x, 0), (x, -_FREEBOARD), width=0.8, dash="2 1.6"))
    return shapes


def _gaps_to_anodes(view: _View) -> list[Gap]:
    """From each anode to the part nearest to it."""
    parts = view.of(Role.PART)
    return [
        min((gap(part, anode) for _, part in parts), key=lambda line: line.length)
        for _, anode in view.of(Role.ANODE)
        if parts
    ]


def _gap_to_wall(view: _View) -> list[Gap]:
    """From the parts to the nearest wall."""
    walls = view.of(Role.VESSEL)
    lines = [gap(part, wall) for _, part in view.of(Role.PART) for _, wall in walls]
    return [min(lines, key=lambda line: line.length)] if lines else []


def _gaps_up_and_down(view: _View) -> list[Gap]:
    """From the parts' highest point to the liquid's surface, and from the lowest to the floor."""
    parts = [polygon for _, polygons in view.of(Role.PART) for polygon in polygons]
    if not parts:
        return []
    points = np.vstack(parts)
    top, bottom = points[points[:, 1].argmax()], points[points[:, 1].argmin()]
    right = float(points[:, 0].max())
    lines = [
        Gap(start=np.array([right, top[1]]), end=np.array([right, view.high[1]])),
        Gap(start=bottom, end=np.array([bottom[0], view.low[1]])),
    ]
    return [line for line in lines if line.length * view.scale > 1.0]


def _gap_lines(view: _View, gaps: Iterable[Gap]) -> list[str]:
    shapes = []
    for line in gaps:
        start, end = (_point(view.drawn(end)) for end in (line.start, line.end))
        shapes += dimension(start, end, _mm(line.length), colour=svg.INK, halo=_LIQUID)
    return shapes


def _labels(
    plan: Plan,
    view: _View,
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
        box, taken = placed(_marks(points), 4.1 * max(len(first), len(second)), height, taken)
        shapes.append(svg.text((box.left, box.top + 7.5), first, size=8, bold=True))
        if second:
            shapes.append(svg.text((box.left, box.top + 16.5), second, size=8))
    return shapes


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


def _taken(view: _View, gaps: Iterable[Gap]) -> Bools:
    """Points that bodies, dimension lines and their lengths cover, and all outside the tank."""
    width, height = int(view.width) + 1, int(view.height) + 1
    taken = np.zeros((height, width), np.bool_)
    for body, _ in view.of(*(role for role in Role if role is not Role.VESSEL)):
        flat = view.drawn(body.surface.corners[:, :, view.axes])
        corners = np.concatenate([flat, np.zeros((*flat.shape[:2], 1))], axis=2)
        taken |= _grown(seen(corners, width=width, height=height).covered)
    for line in gaps:
        (x0, y0), (x1, y1) = sorted(_point(view.drawn(end)) for end in (line.start, line.end))
        rows = slice(max(0, int(min(y0, y1)) - 12), int(max(y0, y1)) + 6)
        taken[rows, max(0, int(x0) - 4) : int(x1) + 5] = True
        if abs(y1 - y0) > abs(x1 - x0):
            middle = int((y0 + y1) / 2)
            taken[max(0, middle - 8) : middle + 8, int(x0) : int(x0) + 34] = True
    return taken


def _grown(mask: Bools) -> Bools:
    """A mask with a rim of two points added."""
    grown = mask.copy()
    for step in (1, 2):
        grown[step:] |= mask[:-step]
        grown[:-step] |= mask[step:]
        grown[:, step:] |= mask[:, :-step]
        grown[:, :-step] |= mask[:, step:]
    return grown


def _title(view: _View, words: str) -> str:
    at = (view.width / 2, view.height + 29)
    return svg.text(at, words, anchor="middle", italic=True, colour=svg.GREY)


def _point(pair: Floats) -> Point:
    return float(pair[0]), float(pair[1])


def _mm(length: float) -> str:
    millimetres = in_unit(length, "mm")
    return f"{millimetres:.0f} mm" if millimetres >= 10 else f"{millimetres:.1f} mm"
