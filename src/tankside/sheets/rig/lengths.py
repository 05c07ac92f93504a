"""Which lengths stand on a rig's drawing, and at which side of which view.

Enough to hang the part by: its depth under the liquid, height, distances to walls and floor and to
each anode; where anodes are and how large; where each wire holds. What would crowd the drawing
(more than a few contacts or parts) stands in its tables only.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from tankside.base.arrays import Floats
from tankside.cell.bodies import Role
from tankside.cell.hung import Hung, HungBody
from tankside.sheets.outline import Outline, gap
from tankside.sheets.rig.views import Sight, View
from tankside.sheets.wording import spoken, worded

MOST_CONTACTS, MOST_PARTS, MOST_ANODES = 4, 4, 8
"""Beyond so many different places, each one's lengths stand in the tables only."""
_LEAST = 2e-4
"""Lengths under this are none [m]."""
_SAME = 5e-5
"""Lengths between the same places to this are one [m]."""


class Side(Enum):
    """Where a length stands: beside the view, or between the things themselves."""

    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"
    BETWEEN = "between"

    @property
    def along(self) -> int:
        """Which of the paper's axes a length beside the view runs along."""
        return 0 if self in (Side.TOP, Side.BOTTOM) else 1


@dataclass(frozen=True, kw_only=True)
class Length:
    """A length: what it is, in the reader's words; in which view and where; from and to (2,) [m],
    as points of the view; and its order, the lowest next to the view."""

    what: str
    view: View
    side: Side
    start: Floats
    end: Floats
    order: int = 0

    @property
    def value(self) -> float:
        """[m]."""
        if self.side is Side.BETWEEN:
            return float(np.linalg.norm(self.end - self.start))
        return float(abs(self.end[self.side.along] - self.start[self.side.along]))


def lengths(rig: Hung, seen: dict[View, Sight]) -> tuple[Length, ...]:
    """All lengths of a drawing, those between the same places told once."""
    found: list[Length] = []
    for one in (*_tank(rig), *_parts(rig), *_anodes(rig), *_to_parts(rig, seen), *_contacts(rig)):
        if one.value < _LEAST:
            continue
        twin = next((k for k, other in enumerate(found) if _same(one, other)), None)
        if twin is None:
            found.append(one)
        elif one.what not in found[twin].what:
            found[twin] = replace(found[twin], what=f"{found[twin].what}; {one.what}")
    return tuple(found)


def _same(one: Length, other: Length) -> bool:
    if (one.view, one.side) != (other.view, other.side):
        return False
    axes = [0, 1] if one.side is Side.BETWEEN else [one.side.along]
    ends = [sorted(tuple(end[axes]) for end in (each.start, each.end)) for each in (one, other)]
    return bool(np.abs(np.array(ends[0]) - np.array(ends[1])).max() < _SAME)


def _from_left(rig: Hung, what: str) -> str:
    if rig.is_box:
        return worded("left wall to {what}", what=what)
    return worded("left-most place of the tank to {what}", what=what)


def _from_front(rig: Hung, what: str) -> str:
    if rig.is_box:
        return worded("front wall to {what}", what=what)
    return worded("front-most place of the tank to {what}", what=what)


def _across(what: str, side: Side, view: View, ends: tuple[float, float], y: float) -> Length:
    """A level length from x to x, whose thin lines come from height y."""
    start, end = np.array([ends[0], y]), np.array([ends[1], y])
    return Length(what=what, view=view, side=side, start=start, end=end)


def _upwards(what: str, side: Side, view: View, ends: tuple[float, float], x: float) -> Length:
    start, end = np.array([x, ends[0]]), np.array([x, ends[1]])
    return Length(what=what, view=view, side=side, start=start, end=end)


def _tank(rig: Hung) -> Iterator[Length]:
    low, high = rig.low, rig.high
    across = depth = worded("tank, inside diameter")
    if not rig.round:
        across = worded("tank, inside from left to right")
        depth = worded("tank, inside from front to back")
    yield replace(_across(across, Side.TOP, View.ABOVE, (low[0], high[0]), high[1]), order=9)
    yield replace(_upwards(depth, Side.LEFT, View.ABOVE, (low[1], high[1]), low[0]), order=9)
    liquid = (0.0, rig.liquid_depth)
    words = worded("liquid, depth")
    yield replace(_upwards(words, Side.LEFT, View.FRONT, liquid, low[0]), order=8)
    words, rim = worded("tank, inside height"), (0.0, rig.rim)
    yield replace(_upwards(words, Side.LEFT, View.FRONT, rim, low[0]), order=9)


def _parts(rig: Hung) -> Iterator[Length]:
    top, wide = (Side.TOP, View.ABOVE), _across
    for part in _few(rig.of(Role.PART), 0):
        (low, high), name = part.mesh.box, spoken(part.name)
        words = worded("{name}, from left to right", name=name)
        yield wide(words, *top, (low[0], high[0]), high[1])
        from_left = wide(_from_left(rig, name), *top, (rig.low[0], low[0]), high[1])
        yield replace(from_left, order=1)
    left = (Side.LEFT, View.ABOVE)
    for part in _few(rig.of(Role.PART), 1):
        (low, high), name = part.mesh.box, spoken(part.name)
        words = worded("{name}, front to back", name=name)
        yield _upwards(words, *left, (low[1], high[1]), low[0])
        yield _upwards(_from_front(rig, name), *left, (rig.low[1], low[1]), low[0])
    left = (Side.LEFT, View.FRONT)
    for part in _few(rig.of(Role.PART), 2):
        (low, high), name = part.mesh.box, spoken(part.name)
        yield _upwards(_over_floor(name), *left, (0.0, low[2]), low[0])
        yield _upwards(worded("{name}, height", name=name), *left, (low[2], high[2]), low[0])
        if part.under_liquid > 0:
            under = (high[2], rig.liquid_depth)
            yield _upwards(_under(name), *left, under, low[0])


def _over_floor(name: str) -> str:
    return worded("{name} over the floor", name=name)


def _under(name: str) -> str:
    return worded("{name} under the liquid", name=name)


def _few(parts: tuple[HungBody, ...], axis: int) -> tuple[HungBody, ...]:
    """The parts, or none where they hang at too many different places along an axis."""
    ends = [np.round(np.array(part.mesh.box)[:, axis], 4) for part in parts]
    return parts if len({tuple(one) for one in ends}) <= MOST_PARTS else ()


def _anodes(rig: Hung) -> Iterator[Length]:
    """Sizes and heights of anodes, and how far they are from the wall at their back."""
    anodes = rig.of(Role.ANODE)
    for anode in anodes if len(anodes) <= MOST_ANODES else ():
        low, high = anode.mesh.box
        name, edge = spoken(anode.name), high[1]
        words = worded("{name}, height", name=name)
        yield _upwards(words, Side.RIGHT, View.SIDE, (low[2], high[2]), edge)
        floor = (0.0, low[2])
        yield replace(_upwards(_over_floor(name), Side.RIGHT, View.SIDE, floor, edge), order=1)
        wide = int(np.argmax((high - low)[:2]))
        view = (View.FRONT, View.SIDE)[wide]
        if _is_square_on(anode):
            span, front = (low[wide], high[wide]), (rig.low[wide], low[wide])
            words = worded("{name}, width", name=name)
            yield _across(words, Side.BOTTOM, view, span, low[2])
            words = (_from_left, _from_front)[wide](rig, name)
            yield _across(words, Side.BOTTOM, view, front, low[2])
        axis = 1 - wide
        if not _is_square_on(anode) and not (rig.is_box and anode.shape == "rod"):
            continue
        back = min((rig.low[axis], low[axis]), (high[axis], rig.high[axis]), key=np.ptp)
        words, end = worded("{name} to the wall behind it", name=name), (back[0], back[1])
        if axis == 0:
            yield _across(words, Side.TOP, View.ABOVE, end, high[1])
        else:
            yield _upwards(words, Side.LEFT, View.ABOVE, end, low[0])


def _is_square_on(body: HungBody) -> bool:
    """True where a body's box is its size: its faces look along the tank's axes."""
    if body.shape not in ("plate", "basket"):
        return False
    low, high = body.mesh.box
    return bool(np.abs(np.sort(high - low) - np.sort(body.size)).max() < _SAME)


def _to_parts(rig: Hung, seen: dict[View, Sight]) -> Iterator[Length]:
    """From each anode to the nearest part, and from parts to the wall of a tank that is no box."""
    above = {body.mark: shape for body, shape in seen[View.ABOVE].bodies}
    anodes, parts = rig.of(Role.ANODE), rig.of(Role.PART)
    for anode in anodes if len(anodes) <= MOST_ANODES else ():
        part = min(parts, key=lambda one: _apart(anode, one, above))
        yield from _to_part(anode, part, above)
    if not rig.is_box and len(parts) <= MOST_PARTS:
        for part in parts:
            line = gap(above[part.mark], (rig.floor,))
            yield Length(
                what=worded("{name} to the nearest wall", name=spoken(part.name)),
                view=View.ABOVE,
                side=Side.BETWEEN,
                start=line.start,
                end=line.end,
            )


def _apart(one: HungBody, other: HungBody, above: dict[str, Outline]) -> float:
    return gap(above[one.mark], above[other.mark]).length


def _to_part(anode: HungBody, part: HungBody, above: dict[str, Outline]) -> Iterator[Length]:
    """Level or square to it where the two face each other so; else along the shortest line."""
    (low, high), (near, far) = anode.mesh.box, part.mesh.box
    words = worded("{one} to {other}", one=spoken(anode.name), other=spoken(part.name))
    over = [bool(low[k] < far[k] and near[k] < high[k]) for k in range(3)]
    ends = [(high[k], near[k]) if high[k] <= near[k] else (far[k], low[k]) for k in range(3)]
    square = _is_square_on(anode) or anode.shape == "rod"
    if over[0] and over[1]:
        if not over[2]:
            yield _upwards(words, Side.LEFT, View.FRONT, ends[2], near[0])
    elif square and over[1]:
        yield _across(words, Side.TOP, View.ABOVE, ends[0], far[1])
    elif square and over[0]:
        yield _upwards(words, Side.LEFT, View.ABOVE, ends[1], near[0])
    else:
        line = gap(above[anode.mark], above[part.mark])
        yield Length(what=words, view=View.ABOVE, side=Side.BETWEEN, start=line.start, end=line.end)


def _contacts(rig: Hung) -> Iterator[Length]:
    """Of each contact, from left and front, and under the liquid."""
    places = [tuple(float(value) for value in contact.position) for contact in rig.contacts]
    few = [len({round(place[k], 4) for place in places}) <= MOST_CONTACTS for k in range(3)]
    for contact, (x, y, z) in zip(rig.contacts, places, strict=True):
        name = worded("contact {number}", number=contact.number)
        if few[0]:
            words, ends = _from_left(rig, name), (float(rig.low[0]), x)
            yield replace(_across(words, Side.BOTTOM, View.FRONT, ends, z), order=2)
        if few[1]:
            words, ends = _from_front(rig, name), (float(rig.low[1]), y)
            yield replace(_across(words, Side.BOTTOM, View.SIDE, ends, z), order=2)
        if few[2]:
            words, ends = _under(name), (z, rig.liquid_depth)
            yield replace(_upwards(words, Side.RIGHT, View.SIDE, ends, y), order=2)
