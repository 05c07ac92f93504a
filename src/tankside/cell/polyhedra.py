"""Solids with flat facets: the tank, plates, baskets, rods and rings, before they are panelled.

A round section becomes a regular polygon: of equal perimeter for rods, wires and rings, so that the
wet area of the side is the round one's; of equal area for the tank, so that its volume is. Facets
are convex loops, except the floor of a prism tank. Normals point INTO the solution.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import singledispatch
from math import pi, sin, sqrt

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.cell.description import (
    Basket,
    BoxTank,
    CylinderTank,
    Lining,
    Plate,
    PrismTank,
    Ring,
    Rod,
    Tank,
)
from tankside.cell.placing import frame_facing
from tankside.cell.welding import welded
from tankside.part.mesh import TriangleMesh

TANK_SIDES = 40
"""Sides of the polygon that stands for a round tank."""

ROD_SIDES = 10
"""Sides of the polygon that stands for a round rod."""

RING_SIDES = 24
"""Sides of the polygons that stand for the two edges of a ring."""

SHEET_DEPTH = 1e-3
"""How far the block that stands for a lining reaches into the wall [m]."""

ON_PLANE = 1e-9
"""A corner this close to the liquid's surface lies on it [m]."""


@dataclass(frozen=True, kw_only=True)
class Facet:
    """A flat polygon: loops (k, 3) [m], the first its outline anticlockwise seen from the solution,
    the others holes, clockwise; unit normal (3,) into the solution."""

    loops: tuple[Floats, ...]
    normal: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "loops", tuple(frozen_floats(loop) for loop in self.loops))
        object.__setattr__(self, "normal", frozen_floats(self.normal))

    @property
    def outline(self) -> Floats:
        """The outer loop (k, 3) [m]."""
        return self.loops[0]


@dataclass(frozen=True, kw_only=True)
class Polyhedron:
    """A closed solid by its facets. `widest_panel` [m] bounds the panels where the sides of a
    polygon stand for something round; infinity elsewhere. A `sheet` is no solid but the one facet
    of a lining, that which touches the wall."""

    facets: tuple[Facet, ...]
    widest_panel: float = float("inf")
    sheet: bool = False


@singledispatch
def polyhedron(shape: object) -> Polyhedron:
    """The solid of a plate, basket, rod or ring, whole, in the tank's coordinates."""
    raise TypeError(f"{type(shape).__name__} has no flat facets")


@polyhedron.register
def _(shape: Plate) -> Polyhedron:
    return _box((*shape.size, shape.thickness), frame_facing(shape.facing), shape.at)


@polyhedron.register
def _(shape: Lining) -> Polyhedron:
    block = _box((*shape.size, 1.0), frame_facing(shape.facing), shape.at)
    back = block.facets[0]
    outline = back.outline - (back.outline.mean(axis=0) - np.asarray(shape.at))
    return Polyhedron(facets=(Facet(loops=(outline,), normal=back.normal),), sheet=True)


@polyhedron.register
def _(shape: Basket) -> Polyhedron:
    depth, width, height = shape.size
    return _box((width, height, depth), frame_facing(shape.facing), shape.at)


@polyhedron.register
def _(shape: Rod) -> Polyhedron:
    section = equal_perimeter_polygon(shape.diameter, ROD_SIDES)
    solid = _prism(section, -shape.length / 2, shape.length / 2)
    side = float(np.linalg.norm(section[1] - section[0]))
    return _moved(solid, frame_facing(shape.axis), shape.at, widest_panel=4 * side)


@polyhedron.register
def _(shape: Ring) -> Polyhedron:
    inner = equal_perimeter_polygon(shape.inner_diameter, RING_SIDES)
    outer = equal_perimeter_polygon(shape.outer_diameter, RING_SIDES)
    corners = [
        _raised(loop, z)
        for loop, z in (
            (outer, -shape.thickness / 2),
            (outer, shape.thickness / 2),
            (inner, shape.thickness / 2),
            (inner, -shape.thickness / 2),
        )
    ]
    loops = [
        np.array([here[k], here[k - RING_SIDES + 1], there[k - RING_SIDES + 1], there[k]])
        for here, there in zip(corners, corners[1:] + corners[:1], strict=True)
        for k in range(RING_SIDES)
    ]
    return _moved(loops, frame_facing(shape.facing), shape.at)


def footprint(tank: Tank) -> Floats:
    """Corners of the tank's floor (k, 2) [m], anticlockwise, none in the middle of a straight."""
    match tank:
        case BoxTank(inside=(x, y, _)):
            return np.array([[-x, -y], [x, -y], [x, y], [-x, y]]) / 2
        case CylinderTank(diameter=diameter):
            return _equal_area_polygon(diameter, TANK_SIDES)
        case PrismTank(footprint=corners):
            return _without_straights(np.array(corners, dtype=np.float64))


def tank_height(tank: Tank) -> float:
    """Height of the rim over the floor [m]."""
    return tank.inside[2] if isinstance(tank, BoxTank) else tank.height


def vessel_facets(corners: Floats, level: float) -> tuple[Facet, ...]:
    """The floor, then the walls from each corner of the footprint to the next, up to the liquid's
    surface; normals into the tank."""
    low, high = _raised(corners, 0.0), _raised(corners, level)
    floor = Facet(loops=(low,), normal=np.array([0.0, 0.0, 1.0]))
    walls = [
        np.array([low[k], high[k], high[(k + 1) % len(low)], low[(k + 1) % len(low)]])
        for k in range(len(low))
    ]
    return (floor, *(_facet(wall) for wall in walls))


def cut_below(solid: Polyhedron, level: float) -> Polyhedron:
    """The facets below z = level, cut there exactly; nothing lies in the plane itself."""
    facets = []
    for facet in solid.facets:
        loop = _clipped(facet.outline, level)
        if len(loop) >= 3 and not (loop[:, 2] == level).all():
            facets.append(Facet(loops=(loop,), normal=facet.normal))
    return replace(solid, facets=tuple(facets))


def coarse_mesh(solid: Polyhedron) -> TriangleMesh:
    """The solid as few triangles, corners shared; for tests of distance and overlap."""
    loops = [facet.outline for facet in (_backed(solid) if solid.sheet else solid).facets]
    points, place = welded(np.concatenate(loops), ON_PLANE)
    triangles, start = [], 0
    for loop in loops:
        ids = place[start : start + len(loop)]
        triangles += [(ids[0], ids[k], ids[k + 1]) for k in range(1, len(loop) - 1)]
        start += len(loop)
    return TriangleMesh(vertices=points, triangles=np.array(triangles))


def _backed(sheet: Polyhedron) -> Polyhedron:
    """A lining as a thin block beyond the wall, for tests of distance and overlap."""
    outline, normal = sheet.facets[0].outline, sheet.facets[0].normal
    front, back = outline[::-1], outline + SHEET_DEPTH * normal
    count = len(outline)
    sides = [
        np.array([outline[k], outline[k - count + 1], back[k - count + 1], back[k]])
        for k in range(count)
    ]
    return Polyhedron(facets=tuple(_facet(loop) for loop in (front, back, *sides)))


def equal_perimeter_polygon(diameter: float, sides: int) -> Floats:
    """Corners (sides, 2) [m] of the regular polygon with a circle's perimeter, anticlockwise."""
    return _regular_polygon(pi * diameter / (2 * sides * sin(pi / sides)), sides)


def _equal_area_polygon(diameter: float, sides: int) -> Floats:
    round_over_polygon = 2 * pi / (sides * sin(2 * pi / sides))
    return _regular_polygon(diameter / 2 * sqrt(round_over_polygon), sides)


def _regular_polygon(radius: float, sides: int) -> Floats:
    """A side, not a corner, lies across each axis where the number of sides is a multiple of 4."""
    angles = (np.arange(sides) + 0.5) * 2 * pi / sides
    corners: Floats = radius * np.column_stack([np.cos(angles), np.sin(angles)])
    return corners


def _box(size: tuple[float, float, float], frame: Floats, at: tuple[float, ...]) -> Polyhedron:
    width, height, depth = size
    section = np.array([[-width, -height], [width, -height], [width, height], [-width, height]]) / 2
    return _moved(_prism(section, -depth / 2, depth / 2), frame, at)


def _prism(section: Floats, low: float, high: float) -> list[Floats]:
    """Loops of a prism over an anticlockwise convex section, outward."""
    bottom, top = _raised(section, low), _raised(section, high)
    count = len(section)
    sides = [
        np.array([bottom[k], bottom[(k + 1) % count], top[(k + 1) % count], top[k]])
        for k in range(count)
    ]
    return [bottom[::-1], top, *sides]


def _moved(
    loops: Iterable[Floats],
    frame: Floats,
    at: tuple[float, ...],
    widest_panel: float = float("inf"),
) -> Polyhedron:
    facets = tuple(_facet(loop @ frame.T + np.asarray(at)) for loop in loops)
    return Polyhedron(facets=facets, widest_panel=widest_panel)


def _facet(loop: Floats) -> Facet:
    edges = loop - loop[0]
    normal = np.cross(edges[1:-1], edges[2:]).sum(axis=0)
    return Facet(loops=(loop,), normal=normal / np.linalg.norm(normal))


def _raised(loop: Floats, z: float) -> Floats:
    return np.column_stack([loop, np.full(len(loop), z)])


def _clipped(loop: Floats, level: float) -> Floats:
    """A convex loop cut to z <= level; what lies within ON_PLANE of the plane is put on it."""
    z = np.where(np.abs(loop[:, 2] - level) <= ON_PLANE, level, loop[:, 2])
    points = np.column_stack([loop[:, :2], z])
    kept: list[Floats] = []
    for here, there in zip(points, np.roll(points, -1, axis=0), strict=True):
        if here[2] <= level:
            kept.append(here)
        if (here[2] < level) != (there[2] < level) and level not in (here[2], there[2]):
            low, high = (here, there) if here[2] < there[2] else (there, here)
            crossing = low + (level - low[2]) / (high[2] - low[2]) * (high - low)
            crossing[2] = level
            kept.append(crossing)
    return np.array(kept).reshape(-1, 3)


def _without_straights(corners: Floats) -> Floats:
    """Anticlockwise, without corners that lie on the line between their neighbours."""
    before, after = np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0)
    area = np.sum(corners[:, 0] * after[:, 1] - corners[:, 1] * after[:, 0])
    one, two = corners - before, after - corners
    turn = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    scale = np.linalg.norm(one, axis=1) * np.linalg.norm(two, axis=1)
    kept: Floats = corners[np.abs(turn) > 1e-9 * scale]
    return kept if area > 0 else kept[::-1]
