"""Bodies that stand flat against the vessel: where they do, neither has a wet surface.

A facet within FLAT of a wall or the floor, facing it, and sharing area with it, is put exactly onto
it, and the shared area is taken out of both (a polygon difference in the wall's plane). What stands
nearer than the least gap without lying flat is refused elsewhere.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from tankside.base.arrays import Floats
from tankside.cell.placing import unit
from tankside.cell.polygons import Polygon, area_of, besides, common
from tankside.cell.polyhedra import Facet, Polyhedron

FLAT = 1e-4
"""A facet whose corners all lie this close to a wall's plane stands flat against it [m]."""

_FACING = -0.9999
"""Cosine between the normals of two facets that face each other, at most [-]."""

_SAME = 1e-9
"""A corner of an outcome this close to a given one is that one [m]."""

_LEAST_SHARED = 1e-8
"""Two facets share area where it is more than this [m²]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatAgainst:
    """One body's standing flat: numbers of the vessel's facets (0 is the floor), and how far its
    corners were moved at most [m]."""

    facets: tuple[int, ...]
    moved: float


def put_flat(solid: Polyhedron, vessel: Sequence[Facet]) -> tuple[Polyhedron, FlatAgainst]:
    """The solid with its flat-standing facets exactly in the planes of the vessel's facets."""
    pairs = [
        (body, wall)
        for body, facet in enumerate(solid.facets)
        for wall, other in enumerate(vessel)
        if _stands_flat(facet, other)
    ]
    if not pairs:
        return solid, FlatAgainst(facets=(), moved=0.0)
    planes = [(solid.facets[body].outline, vessel[wall]) for body, wall in pairs]
    moved, facets = 0.0, []
    for facet in solid.facets:
        loop = np.array([_onto_planes(corner, planes) for corner in facet.outline])
        moved = max(moved, float(np.abs(loop - facet.outline).max()))
        facets.append(Facet(loops=(loop,), normal=facet.normal))
    walls = tuple(sorted({wall for _, wall in pairs}))
    return replace(solid, facets=tuple(facets)), FlatAgainst(facets=walls, moved=moved)


def uncovered(
    vessel: Sequence[Facet], bodies: Sequence[Polyhedron]
) -> tuple[tuple[Facet, ...], tuple[Polyhedron, ...]]:
    """Vessel and bodies without the areas where they stand flat together."""
    walls = [
        _less(wall, [f for body in bodies for f in body.facets if _stands_flat(f, wall)])
        for wall in vessel
    ]
    solids = tuple(
        replace(
            body, facets=tuple(piece for facet in body.facets for piece in taken(facet, vessel))
        )
        for body in bodies
        for taken in (_shown if body.sheet else _bare,)
    )
    return tuple(piece for pieces in walls for piece in pieces), solids


def covered_share(sheet: Facet, vessel: Sequence[Facet]) -> float:
    """The share of a lining that lies on walls or floor [-]."""
    area = float(np.linalg.norm(_area_vector(sheet.outline)))
    return sum(_shared_area(sheet, wall) for wall in vessel if _stands_flat(sheet, wall)) / area


def _bare(facet: Facet, vessel: Sequence[Facet]) -> tuple[Facet, ...]:
    """What of a solid's facet does not stand flat against the vessel."""
    return _less(facet, [wall for wall in vessel if _stands_flat(facet, wall)])


def _shown(facet: Facet, vessel: Sequence[Facet]) -> tuple[Facet, ...]:
    """A lining's other side, where it lies on the vessel; normals into the solution."""
    walls = [wall for wall in vessel if _stands_flat(facet, wall)]
    return tuple(piece for wall in walls for piece in _common(wall, facet))


def _stands_flat(facet: Facet, wall: Facet) -> bool:
    if facet.normal @ wall.normal > _FACING:
        return False
    height = (facet.outline - wall.outline[0]) @ wall.normal
    return bool(np.abs(height).max() <= FLAT) and _shared_area(facet, wall) > _LEAST_SHARED


def _onto_planes(corner: Floats, planes: Sequence[tuple[Floats, Facet]]) -> Floats:
    """The corner, moved the least way onto all walls against which facets that hold it stand."""
    walls = [wall for outline, wall in planes if (outline == corner).all(axis=1).any()]
    if not walls:
        return corner
    normals = np.array([wall.normal for wall in walls])
    heights = np.array([(wall.outline[0] - corner) @ wall.normal for wall in walls])
    moved: Floats = corner + np.linalg.pinv(normals) @ heights
    for axis in np.flatnonzero(np.abs(normals).max(axis=0) == 1.0):
        wall = walls[int(np.argmax(np.abs(normals[:, axis])))]
        moved[axis] = wall.outline[0, axis]
    return moved


def _shared_area(one: Facet, other: Facet) -> float:
    axes = _axes(other)
    return sum(map(area_of, common(_flat(one, other, axes), _flat(other, other, axes))))


def _area_vector(loop: Floats) -> Floats:
    edges = loop - loop[0]
    vector: Floats = np.cross(edges[1:-1], edges[2:]).sum(axis=0) / 2
    return vector


def _less(facet: Facet, others: Sequence[Facet]) -> tuple[Facet, ...]:
    """The facet without what the others, which face it, cover: none, one or several facets."""
    if not others:
        return (facet,)
    axes = _axes(facet)
    left = besides(_flat(facet, facet, axes), [_flat(other, facet, axes) for other in others])
    return _facets(left, facet, axes, others)


def _common(facet: Facet, other: Facet) -> tuple[Facet, ...]:
    """What of the facet the other, which faces it, covers."""
    axes = _axes(facet)
    shared = common(_flat(facet, facet, axes), _flat(other, facet, axes))
    return _facets(shared, facet, axes, [other])


def _facets(
    polygons: Sequence[Polygon], facet: Facet, axes: Floats, others: Sequence[Facet]
) -> tuple[Facet, ...]:
    """Polygons in a facet's plane as facets of its normal."""
    known = np.concatenate([facet.outline, *(other.outline for other in others)])
    return tuple(
        Facet(
            loops=tuple(_lifted(loop, facet, axes, known) for loop in polygon),
            normal=facet.normal,
        )
        for polygon in polygons
        if area_of(polygon) > _LEAST_SHARED
    )


def _axes(facet: Facet) -> Floats:
    """Two unit rows in the facet's plane, right-handed with its normal (2, 3)."""
    one = unit(facet.outline[1] - facet.outline[0])
    return np.array([one, np.cross(facet.normal, one)])


def _flat(facet: Facet, plane: Facet, axes: Floats) -> Polygon:
    """A facet as a polygon in another's plane, anticlockwise there even if it faces the other."""
    step = 1 if facet.normal @ plane.normal > 0 else -1
    origin = plane.outline[0]
    return tuple(((loop - origin) @ axes.T)[::step] for loop in facet.loops)


def _lifted(loop: Floats, facet: Facet, axes: Floats, known: Floats) -> Floats:
    """A loop back in space; corners that were known before get their exact coordinates."""
    points = facet.outline[0] + np.asarray(loop) @ axes
    distance = np.linalg.norm(points[:, None] - known[None], axis=2)
    nearest = distance.argmin(axis=1)
    near = distance[np.arange(len(points)), nearest] < _SAME
    lifted = np.where(near[:, None], known[nearest], points)
    kept = [k for k, (a, b) in enumerate(pairwise([*lifted, lifted[0]])) if (a != b).any()]
    result: Floats = lifted[kept]
    return result
