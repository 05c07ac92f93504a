"""How large a panel may be at each place of the vessel and of the solids that hang in it.

On the vessel a panel is about as large as the nearest body is far; on a solid it shrinks towards
sharp edges, where the current crowds, and towards other bodies. Each law has one free length, the
longest edge far from everything, and that is found from the budget of panels by counting: a panel
takes _AREA of its edge squared, and a facet has at least its border's points less two.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, log, sqrt
from typing import Any, Protocol

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.cell.nearness import Nearness
from tankside.cell.polyhedra import Facet, Polyhedron
from tankside.cell.welding import welded

_GRADES = 4.0
"""The longest panel edge over the shortest that nearness asks for [-]."""

_PER_DISTANCE = 0.7
"""Panel edge over the distance to the nearest other body [-]."""

_EDGE_SHARE = 1 / 3
"""Panel edge at a sharp edge over the longest [-]."""

_EDGE_GROWTH = 0.5
"""Growth of the panel edge with the distance from a sharp edge [-]."""

_AREA = 0.48
"""Area of a panel over the square of the edge asked for, as measured [-]."""

_SHARP = np.cos(np.deg2rad(40.0))
"""Facets whose normals differ by more than this form a sharp edge."""

_IN_CORNER = 1e-4
"""An edge of a lining this close to a corner of the vessel lies in it [m]."""

_SAMPLES = 3000
"""Places of a group of facets, about, at which panels are counted."""

_FEWEST_SAMPLES = 16
"""Places of a facet, at least, at which panels are counted."""


class Spacing(Protocol):
    """A law for panel edges, in two steps so that the second can be repeated cheaply."""

    def distances(self, points: Floats) -> Floats:
        """What the law must know of each place (n, k) [m]."""
        ...

    def sizes(self, distances: Floats, longest: float) -> Floats:
        """Panel edge at those places (n,) [m], for a longest edge [m]."""
        ...


@dataclass(frozen=True)
class VesselSpacing:
    """Finer where bodies come near."""

    bodies: Nearness

    def distances(self, points: Floats) -> Floats:
        """Distance to the nearest body."""
        return self.bodies.distances(points)[:, None]

    def sizes(self, distances: Floats, longest: float) -> Floats:
        """Within a factor of _GRADES of the longest."""
        return np.clip(_PER_DISTANCE * distances[:, 0], longest / _GRADES, longest)


@dataclass(frozen=True)
class BodySpacing:
    """Finer at sharp edges and where other bodies come near; never above `widest` [m]."""

    sharp_edges: Nearness
    others: Nearness
    widest: float

    def distances(self, points: Floats) -> Floats:
        """Distance to the nearest sharp edge, and to the nearest other body."""
        return np.column_stack([self.sharp_edges.distances(points), self.others.distances(points)])

    def sizes(self, distances: Floats, longest: float) -> Floats:
        """Growing away from edges and other bodies up to the longest."""
        by_edge = longest * _EDGE_SHARE + _EDGE_GROWTH * distances[:, 0]
        by_other = np.maximum(_PER_DISTANCE * distances[:, 1], longest / _GRADES)
        return np.minimum(np.minimum(by_edge, by_other), min(longest, self.widest))


def sharp_edges(solid: Polyhedron, vessel: Sequence[Facet], level: float) -> Floats:
    """Edges where the current crowds (n, 2, 3) [m].

    Of a solid: those between two wet facets that meet sharply, not those in the liquid's surface,
    where the mirror image goes on straight. Of a lining: those on the open wall, not those in the
    vessel's corners.
    """
    at_edge = _facets_at_edges(solid)
    if solid.sheet:
        corners = Nearness.to_segments(
            np.concatenate([_edges_of(loop) for facet in vessel for loop in facet.loops])
        )
        open_edges = np.array([ends for ends, _ in at_edge]).reshape(-1, 2, 3)
        return open_edges[corners.distances(open_edges.mean(axis=1)) > _IN_CORNER]
    found = [
        ends
        for ends, around in at_edge
        if len(around) == 2 and around[0] @ around[1] < _SHARP and not (ends[:, 2] == level).all()
    ]
    return np.array(found).reshape(-1, 2, 3)


def _facets_at_edges(solid: Polyhedron) -> list[tuple[Floats, list[Floats]]]:
    """Each edge once (2, 3), with the normals of the facets that meet there."""
    loops = [loop for facet in solid.facets for loop in facet.loops]
    normals = [facet.normal for facet in solid.facets for _ in facet.loops]
    points, place = welded(np.concatenate(loops), 1e-8)
    at_edge: dict[tuple[int, int], list[Floats]] = {}
    start = 0
    for loop, normal in zip(loops, normals, strict=True):
        ids = place[start : start + len(loop)].tolist()
        for a, b in zip(ids, ids[1:] + ids[:1], strict=True):
            at_edge.setdefault((min(a, b), max(a, b)), []).append(normal)
        start += len(loop)
    return [(points[[a, b]], around) for (a, b), around in at_edge.items()]


def _edges_of(loop: Floats) -> Floats:
    return np.stack([loop, np.roll(loop, -1, axis=0)], axis=1)


def longest_edge(groups: Sequence[tuple[Sequence[Facet], Spacing]], budget: int) -> float:
    """The longest panel edge [m] with which the groups of facets have about `budget` panels."""
    counted = [_Counted(facets, law) for facets, law in groups if facets]
    low, high = 1e-5, 10.0
    for _ in range(40):
        middle = sqrt(low * high)
        if sum(group.panels(middle) for group in counted) > budget:
            low = middle
        else:
            high = middle
    return high


class _Counted:
    """Facets under one law, with the distances that the count of their panels needs."""

    def __init__(self, facets: Sequence[Facet], law: Spacing) -> None:
        self._law, self._count = law, len(facets)
        each = max(_SAMPLES // len(facets), _FEWEST_SAMPLES)
        places, self._areas, self._of_inside = _gathered([_inside_samples(f, each) for f in facets])
        self._inside = law.distances(places)
        places, self._lengths, self._of_border = _gathered([_border_samples(f) for f in facets])
        self._border = law.distances(places)

    def panels(self, longest: float) -> float:
        """How many panels the facets have, about, for a longest edge [m]."""
        inside = self._areas / (_AREA * self._law.sizes(self._inside, longest) ** 2)
        border = self._lengths / self._law.sizes(self._border, longest)
        by_area = np.bincount(self._of_inside, inside, self._count)
        by_border = np.bincount(self._of_border, border, self._count) - 2
        return float(np.maximum(np.maximum(by_area, by_border), 2.0).sum())


def _gathered(samples: Sequence[tuple[Floats, Floats]]) -> tuple[Floats, Floats, Ints]:
    """All places (n, 3), their weights (n,), and the number of the facet of each (n,)."""
    numbers = np.repeat(np.arange(len(samples)), [len(weights) for _, weights in samples])
    places = np.concatenate([places for places, _ in samples])
    return places, np.concatenate([weights for _, weights in samples]), numbers


def _inside_samples(facet: Facet, count: int) -> tuple[Floats, Floats]:
    """Centroids (n, 3) [m] and areas (n,) [m²] of `count` triangles or more that fill a facet."""
    corners = facet_triangles(facet)
    for _ in range(max(1, ceil(log(count / len(corners), 4)))):
        a, b, c = (corners[:, k] for k in range(3))
        ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
        rows = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
        corners = np.concatenate([np.stack(row, axis=1) for row in rows])
    doubled = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return corners.mean(axis=1), np.linalg.norm(doubled, axis=1) / 2


def facet_triangles(facet: Facet) -> Floats:
    """Few triangles that fill the facet (n, 3, 3) [m]."""
    import manifold3d

    axes = in_plane_axes(facet)
    flat = [np.ascontiguousarray((loop - facet.outline[0]) @ axes.T) for loop in facet.loops]
    found: Any = manifold3d.triangulate(flat)
    triangles: Ints = np.asarray(found, dtype=np.int64).reshape(-1, 3)
    return np.concatenate(facet.loops)[triangles]


def in_plane_axes(facet: Facet) -> Floats:
    """Unit rows (2, 3): along the longest edge of the outline, and across it, to the left."""
    edges = np.roll(facet.outline, -1, axis=0) - facet.outline
    lengths = np.linalg.norm(edges, axis=1)
    one = edges[lengths.argmax()] / lengths.max()
    return np.array([one, np.cross(facet.normal, one)])


def _border_samples(facet: Facet) -> tuple[Floats, Floats]:
    shares = (np.arange(16) + 0.5) / 16
    places, lengths = [], []
    for loop in facet.loops:
        edges = np.roll(loop, -1, axis=0) - loop
        places.append((loop[:, None] + shares[None, :, None] * edges[:, None]).reshape(-1, 3))
        lengths.append(np.repeat(np.linalg.norm(edges, axis=1) / 16, 16))
    return np.concatenate(places), np.concatenate(lengths)
