"""One view of a rig: tank, liquid, bodies and wires, lengths between them, and a mark on each.

It reads without colour: anodes are hatched, parts grey, thieves white and dotted, shields white
with a broken rim, coated wires broken. Parts and wires are drawn over what would hide them.
"""

from collections.abc import Iterable, Iterator
from math import hypot

import numpy as np

from tankside.base.arrays import Bools
from tankside.cell.bodies import Role
from tankside.cell.hung import Hung, HungBody
from tankside.sheets import svg
from tankside.sheets.labels import Box
from tankside.sheets.outline import Outline
from tankside.sheets.raster import seen
from tankside.sheets.rig.lengths import Length, Side
from tankside.sheets.rig.lettering import SIZE, SMALL, gauge, ruled_length, width_of
from tankside.sheets.rig.marks import Ground, thin_line
from tankside.sheets.rig.tracks import ends_on_paper, named, strokes
from tankside.sheets.rig.views import AIR, Placed, View
from tankside.sheets.svg import Point
from tankside.sheets.wording import listed, spoken, worded

LIQUID, PART = "#f1f2f3", "#bdbdbb"
HATCH, DOTS = "rig-anode", "rig-thief"
_ORDER = (Role.ANODE, Role.SHIELD, Role.THIEF, Role.PART)
_WALL, _WIRE, _BALL = 1.4, 1.0, 1.7
_SAME = 5e-4


def patterns() -> str:
    """What bodies are filled with; once in a drawing."""
    dots = (
        f'<defs><pattern id="{DOTS}" width="3" height="3" patternUnits="userSpaceOnUse">'
        f'<rect width="3" height="3" fill="{svg.PAPER}"/>'
        f'<circle cx="1.5" cy="1.5" r="0.5" fill="{svg.INK}"/></pattern></defs>'
    )
    return svg.hatching(HATCH, step=3.2, width=0.9, ground=svg.PAPER) + dots


def look(role: Role) -> dict[str, object]:
    """How a body of a role is drawn."""
    return {
        Role.ANODE: {"fill": f"url(#{HATCH})", "stroke": svg.INK, "stroke_width": 0.7},
        Role.PART: {"fill": PART, "stroke": svg.INK, "stroke_width": 1.0},
        Role.THIEF: {"fill": f"url(#{DOTS})", "stroke": svg.INK, "stroke_width": 0.6},
        Role.SHIELD: {"fill": svg.PAPER, "stroke": svg.INK, "stroke_width": 0.7, "dash": "2.4 1.4"},
    }[role]


def ground(rig: Hung, placed: Placed) -> list[str]:
    """Tank and liquid, under everything."""
    return _from_above(rig, placed) if placed.view is View.ABOVE else _upright(rig, placed)


def things(rig: Hung, placed: Placed) -> list[str]:
    """Bodies, wires, contacts, and lines up to what they hang from."""
    shapes = _hangers(rig, placed) if placed.view.upright else []
    for role in _ORDER:
        for body, outline in placed.sight.bodies:
            if body.role is role:
                paths = [placed.on_paper(polygon) for polygon in outline]
                shapes.append(svg.told([svg.polygons(paths, **look(role))], spoken(body.name)))  # type: ignore[arg-type]
    for (_, coated), outline in zip(rig.wires, placed.sight.wires, strict=True):
        paths = [placed.on_paper(polygon) for polygon in outline]
        dash = "2 1.2" if coated else ""
        shapes.append(svg.polygons(paths, stroke=svg.INK, stroke_width=_WIRE, dash=dash))
    for contact in rig.contacts:
        ball = placed.point(contact.position)
        shapes.append(svg.circle(ball, _BALL, fill=svg.PAPER, stroke_width=0.9))
    return shapes


def marked(rig: Hung, placed: Placed, lengths: Iterable[Length]) -> list[str]:
    """Lengths between things, and a mark on each thing and contact."""
    free = Ground(*_taken(rig, placed))
    lines = [one for one in lengths if one.view is placed.view and one.side is Side.BETWEEN]
    free.keep(_balls(rig, placed))
    if placed.view.upright:
        free.keep([_level_mark(rig, placed)[1]])
    shapes = []
    for line in lines:
        free.keep(_along(*ends_on_paper(line, placed)))
    for line in lines:
        shapes.append(_between(line, placed, free))
    for marks, words in _contact_marks(rig, placed):
        shapes += _mark(marks, words, free, ring=True)
    for marks, words in _body_marks(placed):
        shapes += _mark(marks, words, free)
    if placed.view is View.FRONT:
        for marks, words in _gauges(rig, placed):
            shapes += _mark(marks, words, free, bold=False)
    return shapes


def _from_above(rig: Hung, placed: Placed) -> list[str]:
    rim = [placed.on_paper(rig.floor)]
    return [svg.polygons(rim, fill=LIQUID, stroke=svg.INK, stroke_width=_WALL)]


def _upright(rig: Hung, placed: Placed) -> list[str]:
    """Floor and walls, open above; the liquid and the mark on its surface; a prism's edges."""
    (left, top), width, height = placed.corner, placed.width, placed.height
    level = placed.level(rig.liquid_depth)
    walls: list[Point] = [
        (left, top), (left, top + height), (left + width, top + height), (left + width, top),
    ]  # fmt: skip
    shapes = [svg.rectangle((left, level), width, top + height - level, fill=LIQUID)]
    if not rig.round:
        kept = np.unique(np.round(rig.floor[:, placed.view.axes[0]], 6))[1:-1]
        for x in placed.on_paper(np.column_stack([kept, np.zeros(len(kept))]))[:, 0]:
            shapes.append(
                svg.line((float(x), top), (float(x), top + height), colour=svg.GREY, width=0.4)
            )
    shapes += [
        svg.line((left, level), (left + width, level), width=0.8),
        *_level_mark(rig, placed)[0],
        svg.polyline(walls, width=_WALL),
    ]
    return shapes


def _level_mark(rig: Hung, placed: Placed) -> tuple[list[str], Box]:
    """The triangle that stands on a liquid's surface, and its box."""
    x, y = placed.corner[0] + placed.width - 9.0, placed.level(rig.liquid_depth)
    triangle = [(x - 3.2, y - 6), (x + 3.2, y - 6), (x, y - 0.6)]
    shapes = [
        svg.polygons([triangle], stroke=svg.INK, stroke_width=0.6),
        svg.line((x - 3, y + 2.2), (x + 3, y + 2.2), width=0.5),
        svg.line((x - 1.5, y + 4.2), (x + 1.5, y + 4.2), width=0.5),
    ]  # fmt: skip
    return shapes, Box(x - 4, y - 7, 8, 12)


def _hangers(rig: Hung, placed: Placed) -> list[str]:
    """Up from wires, and broken from bodies that need a hook, to over the rim."""
    shapes = []
    top, level = placed.corner[1] - AIR + 6.0, placed.level(rig.liquid_depth)
    for x, high in _hooks(placed):
        shapes.append(svg.line((x, high), (x, top), width=0.5, dash="3 1.4"))
    for (_, coated), outline in zip(rig.wires, placed.sight.wires, strict=True):
        x = _wire_top(placed, outline)
        dash = "2 1.2" if coated else ""
        shapes.append(svg.line((x, level), (x, top), width=_WIRE, dash=dash))
    return shapes


def _hooks(placed: Placed) -> Iterator[Point]:
    """Where bodies that are no parts need a hook: the middle of their tops [pt]."""
    for body, outline in placed.sight.bodies:
        points = np.vstack([placed.on_paper(polygon) for polygon in outline])
        high = float(points[:, 1].min())
        if body.role is not Role.PART and high > placed.corner[1] - AIR + 6.0:
            yield float((points[:, 0].min() + points[:, 0].max()) / 2), high


def _wire_top(placed: Placed, outline: Outline) -> float:
    """Where a wire leaves the liquid [pt]."""
    points = np.vstack([placed.on_paper(polygon) for polygon in outline])
    highest = points[:, 1] < points[:, 1].min() + 0.5
    return float(points[highest, 0].mean())


def _taken(rig: Hung, placed: Placed) -> tuple[Point, Bools]:
    """The view's corner with its air, and what is drawn there, one entry a point."""
    air = AIR if placed.view.upright else 0.0
    corner = (placed.corner[0], placed.corner[1] - air)
    taken = np.zeros((int(placed.height + air) + 1, int(placed.width) + 1), np.bool_)
    meshes = [*(body.mesh for body, _ in placed.sight.bodies), *(mesh for mesh, _ in rig.wires)]
    for mesh in meshes:
        flat = placed.on_paper(mesh.corners[:, :, list(placed.view.axes)]) - np.array(corner)
        corners = np.concatenate([flat, np.zeros((*flat.shape[:2], 1))], axis=2)
        taken |= _grown(seen(corners, width=taken.shape[1], height=taken.shape[0]).covered)
    if placed.view.upright:
        level = placed.level(rig.liquid_depth)
        wires = [(_wire_top(placed, outline), level) for outline in placed.sight.wires]
        for x, foot in (*_hooks(placed), *wires):
            column = int(x - corner[0])
            taken[: int(foot - corner[1]), max(column - 1, 0) : column + 2] = True
    return corner, taken


def _grown(mask: Bools) -> Bools:
    """A mask with a rim of one point added."""
    grown = mask.copy()
    grown[1:] |= mask[:-1]
    grown[:-1] |= mask[1:]
    grown[:, 1:] |= mask[:, :-1]
    grown[:, :-1] |= mask[:, 1:]
    return grown


def _balls(rig: Hung, placed: Placed) -> list[Box]:
    places = [placed.point(contact.position) for contact in rig.contacts]
    return [Box(x - _BALL, y - _BALL, 2 * _BALL, 2 * _BALL) for x, y in places]


def _along(start: Point, end: Point) -> list[Box]:
    count = max(1, int(hypot(end[0] - start[0], end[1] - start[1]) / 3))
    points = np.linspace(start, end, count + 1).tolist()
    return [Box(x - 1.5, y - 1.5, 3.0, 3.0) for x, y in points]


def _between(line: Length, placed: Placed, free: Ground) -> str:
    """A length between things, with its number where there is room."""
    start, end = ends_on_paper(line, placed)
    words = ruled_length(line.value)
    points = [tuple(point) for point in np.linspace(start, end, 9)[[4, 3, 5, 2, 6]].tolist()]
    box = free.placed(points, width_of(words, SMALL), SMALL)
    shapes = [svg.line(start, end, width=0.4), *strokes(start, end)]
    if box is not None:
        shapes += [*thin_line(points, box), _pad(box), _written(box, words, SMALL)]
    return named(line, shapes)


def _contact_marks(rig: Hung, placed: Placed) -> Iterator[tuple[list[Point], str]]:
    """Each contact; those behind one another share a mark."""
    groups: list[tuple[Point, list[int]]] = []
    for contact in rig.contacts:
        at = placed.point(contact.position)
        twin = next((g for g in groups if hypot(g[0][0] - at[0], g[0][1] - at[1]) < 1.0), None)
        if twin is None:
            groups.append((at, [contact.number]))
        else:
            twin[1].append(contact.number)
    for at, numbers in groups:
        yield [at], listed(map(str, numbers))


def _body_marks(placed: Placed) -> Iterator[tuple[list[Point], str]]:
    """Each body; those of one role that hide each other share a mark."""
    groups: list[tuple[HungBody, list[str]]] = []
    axes = list(placed.view.axes)
    for body, _ in placed.sight.bodies:
        box = np.array(body.mesh.box)[:, axes]
        twin = next(
            (
                marks
                for other, marks in groups
                if other.role is body.role
                and np.abs(np.array(other.mesh.box)[:, axes] - box).max() < _SAME
            ),
            None,
        )
        if twin is None:
            groups.append((body, [body.mark]))
        else:
            twin.append(body.mark)
    for body, marks in groups:
        (left, bottom), (right, top) = placed.on_paper(np.array(body.mesh.box)[:, axes]).tolist()
        x, y = (left + right) / 2, (top + bottom) / 2
        yield [(x, y), (left, y), (right, y), (x, top), (x, bottom)], listed(marks)


def _gauges(rig: Hung, placed: Placed) -> Iterator[tuple[list[Point], str]]:
    """Each wire's thickness, at wires over the liquid; alike wires once."""
    groups: dict[tuple[float, bool], list[int]] = {}
    for contact in rig.contacts:
        groups.setdefault((contact.wire_diameter, contact.insulated), []).append(contact.number)
    for (diameter, coated), numbers in groups.items():
        tops = [_wire_top(placed, placed.sight.wires[number - 1]) for number in numbers]
        marks = [(x, placed.corner[1] - AIR + 9.0) for x in tops]
        yield marks, f"{_wires_named(rig, len(groups), numbers, coated)} {gauge(diameter)}"


def _wires_named(rig: Hung, groups: int, numbers: list[int], coated: bool) -> str:
    """Alike wires by their numbers, or without where all are alike."""
    if len(rig.contacts) == 1:
        return worded("wire (coated)") if coated else worded("wire")
    if groups == 1:
        return worded("wires (coated)") if coated else worded("wires")
    who = listed(map(str, numbers))
    if coated:
        return worded("wire {numbers} (coated)", numbers=who)
    return worded("wire {numbers}", numbers=who)


def _mark(
    marks: list[Point], words: str, free: Ground, *, ring: bool = False, bold: bool = True
) -> list[str]:
    box = free.placed(marks, width_of(words) + (4.0 if ring else 1.0), SIZE + 2.0)
    if box is None:
        return []
    shapes = thin_line(marks, box)
    shapes.append(_pill(box) if ring else _pad(box))
    return [*shapes, _written(box, words, SIZE, bold=bold)]


def _pill(box: Box) -> str:
    """A white rim round a contact's number."""
    half = svg.number(box.height / 2)
    return (
        f'<rect x="{svg.number(box.left)}" y="{svg.number(box.top)}" '
        f'width="{svg.number(box.width)}" height="{svg.number(box.height)}" rx="{half}" '
        f'fill="{svg.PAPER}" stroke="{svg.INK}" stroke-width="0.6"/>'
    )


def _pad(box: Box) -> str:
    """Paper under words, so that hatching and lines stop there."""
    narrow = 0.08 * box.width  # the box is for the widest letters
    corner = (box.left + narrow, box.top + 0.5)
    return svg.rectangle(corner, box.width - 2 * narrow, box.height - 1.0, fill=svg.PAPER)


def _written(box: Box, words: str, size: float, *, bold: bool = False) -> str:
    at = (box.middle[0], box.middle[1] + 0.34 * size)
    return svg.text(at, words, size=size, anchor="middle", bold=bold)
