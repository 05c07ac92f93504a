"""The bodies of a mesh: which are closed, which lie inside others, and what they therefore are.

A closed body that lies wholly inside another and faces the other way round is the wall of a sealed
cavity; one that faces the same way is a solid inside a solid. Inside is where the winding number of
the outer body is not zero (Jacobson et al. 2013), asked at some corners of the inner one; a body of
which some corners are inside and others are not overlaps.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from tankside.base.arrays import Floats, Ints, frozen_floats
from tankside.part.box_pairs import overlapping_pairs
from tankside.part.mesh import TriangleMesh
from tankside.part.topology import Edges, bodies_of, edges_by_body

NO_VOLUME = 1e-9
"""Volume below which a closed body encloses nothing but rounding, over its area to 3/2 [-]."""

_PROBES = 12
"""Triangles of a body that are asked for [-]."""

_ROUND = 0.05
"""How far from a whole number a winding number may be to be believed [-]."""

_WORTH_A_TREE = 2_000_000
"""Points times triangles from which winding numbers are summed over a tree [-]."""


class BodyKind(Enum):
    """What a body is, from its closedness, its winding and where it lies."""

    SOLID = "solid"
    INSIDE_OUT = "inside out"
    CAVITY = "sealed cavity"
    SOLID_IN_SOLID = "solid inside a solid"
    LOOSE_IN_CAVITY = "loose solid in a sealed cavity"
    MIXED = "closed, but its triangles face both ways"
    OPEN = "open"


@dataclass(frozen=True, kw_only=True)
class PartBody:
    """One body of a mesh.

    number         from 1, in order of the triangles
    triangles      how many
    kind           what it is
    closed         whether every edge has its partner
    area           sum of its triangles' areas [m²]
    signed_volume  volume by its triangles' winding [m³]; None where it is not closed
    low, high      its box [m]
    inside         number of the smallest closed body around it, 0 where there is none
    open_edges     edges with an odd number of its triangles
    unlike_edges   edges whose triangles are not wound alike
    """

    number: int
    triangles: int
    kind: BodyKind
    closed: bool
    area: float
    signed_volume: float | None
    low: Floats
    high: Floats
    inside: int
    open_edges: int
    unlike_edges: int

    def __post_init__(self) -> None:
        object.__setattr__(self, "low", frozen_floats(self.low))
        object.__setattr__(self, "high", frozen_floats(self.high))


@dataclass(frozen=True, kw_only=True)
class Bodies:
    """The bodies of a mesh, the body (from 0) of each triangle (nt,), and the pairs of bodies
    (numbers from 1) that overlap although no triangle of theirs was seen to cross."""

    bodies: tuple[PartBody, ...]
    body_of_triangle: Ints
    overlapping: tuple[tuple[int, int], ...]


def bodies_in(mesh: TriangleMesh, edges: Edges) -> Bodies:
    """The bodies of a mesh, and how they lie in one another."""
    body = bodies_of(mesh, edges)
    count = int(body.max(initial=-1)) + 1
    ends = edges_by_body(edges, body)
    area = np.bincount(body, mesh.areas, minlength=count)
    origin = mesh.vertices.mean(axis=0)
    shares = np.einsum("ij,ij->i", mesh.centroids - origin, mesh.area_vectors) / 3
    volume = np.bincount(body, shares, minlength=count).astype(np.float64)
    volume[np.abs(volume) < NO_VOLUME * area**1.5] = 0.0
    low, high = _boxes(mesh, body, count)
    closed = ends.open == 0
    containers, overlapping = _containers(mesh, body, closed & (ends.unlike == 0), low, high)
    kinds, inside = _kinds(closed, ends.unlike, volume, containers)
    sizes = np.bincount(body, minlength=count)
    return Bodies(
        bodies=tuple(
            PartBody(
                number=number + 1,
                triangles=int(sizes[number]),
                kind=kinds[number],
                closed=bool(closed[number]),
                area=float(area[number]),
                signed_volume=float(volume[number]) if closed[number] else None,
                low=low[number],
                high=high[number],
                inside=inside[number] + 1,
                open_edges=int(ends.open[number]),
                unlike_edges=int(ends.unlike[number]),
            )
            for number in range(count)
        ),
        body_of_triangle=body,
        overlapping=overlapping,
    )


def _boxes(mesh: TriangleMesh, body: Ints, count: int) -> tuple[Floats, Floats]:
    low, high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
    np.minimum.at(low, body, mesh.corners.min(axis=1))
    np.maximum.at(high, body, mesh.corners.max(axis=1))
    return low, high


def _containers(
    mesh: TriangleMesh,
    body: Ints,
    solid: np.ndarray[tuple[int], np.dtype[np.bool_]],
    low: Floats,
    high: Floats,
) -> tuple[list[list[int]], tuple[tuple[int, int], ...]]:
    """For each body, the closed bodies around it; and the pairs that overlap."""
    around: list[list[int]] = [[] for _ in low]
    overlapping: list[tuple[int, int]] = []
    triangles_of = _grouped(body, len(low))
    outers, inners = _near_pairs(solid, low, high)
    for chosen in np.split(np.arange(len(outers)), np.flatnonzero(np.diff(outers)) + 1):
        if not len(chosen):
            continue
        outer, within = int(outers[chosen[0]]), inners[chosen]
        shares = _shares_inside(
            mesh, triangles_of[outer], [triangles_of[inner] for inner in within]
        )
        boxed = (low[within] >= low[outer]).all(axis=1) & (high[within] <= high[outer]).all(axis=1)
        for inner in within[(shares == 1.0) & boxed].tolist():
            around[inner].append(outer)
        for inner in within[(shares > 0.0) & ~((shares == 1.0) & boxed)].tolist():
            overlapping.append((outer + 1, inner + 1))
    return around, tuple(sorted({(min(pair), max(pair)) for pair in overlapping}))


def _near_pairs(
    solid: np.ndarray[tuple[int], np.dtype[np.bool_]], low: Floats, high: Floats
) -> tuple[Ints, Ints]:
    """(outer, inner) of bodies whose boxes overlap by more than a face, the outer one solid; in
    order of the outer ones. Bodies are many in dust, so that not every pair is looked at."""
    nothing = np.zeros(0, np.int64)
    pairs = [(nothing, nothing), *overlapping_pairs(low, high)]
    first, second = (np.concatenate([pair[side] for pair in pairs]) for side in (0, 1))
    outer, inner = np.concatenate([first, second]), np.concatenate([second, first])
    deep = (low[inner] < high[outer]).all(axis=1) & (high[inner] > low[outer]).all(axis=1)
    outer, inner = outer[solid[outer] & deep], inner[solid[outer] & deep]
    order = np.lexsort((inner, outer))
    return outer[order], inner[order]


def _grouped(labels: Ints, count: int) -> list[Ints]:
    order = np.argsort(labels, kind="stable")
    return np.split(order, np.searchsorted(labels[order], np.arange(1, count)))


def _shares_inside(mesh: TriangleMesh, outer: Ints, inners: list[Ints]) -> Floats:
    """Share of some points on each of the bodies `inners` that lie inside body `outer`; points on
    its very surface count for neither."""
    import igl

    probes = [
        inner[np.unique(np.linspace(0, len(inner) - 1, _PROBES).astype(np.int64))]
        for inner in inners
    ]
    chosen = np.concatenate(probes)
    points = np.concatenate([mesh.centroids[chosen][:, None], mesh.corners[chosen]], axis=1)
    points = np.ascontiguousarray(points.reshape(-1, 3))
    shell = np.ascontiguousarray(mesh.corners[outer].reshape(-1, 3))
    quick = len(points) * len(outer) > _WORTH_A_TREE
    ask = igl.fast_winding_number if quick else igl.winding_number
    winding = np.abs(ask(shell, np.arange(len(shell)).reshape(-1, 3), points))
    away = np.abs(winding - np.round(winding)) < _ROUND
    of = np.repeat(np.arange(len(inners)), [4 * len(probe) for probe in probes])
    counted = np.bincount(of[away], minlength=len(inners))
    within = np.bincount(of[away & (winding > 0.5)], minlength=len(inners))
    return np.asarray(within / np.maximum(counted, 1))


def _kinds(
    closed: np.ndarray[tuple[int], np.dtype[np.bool_]],
    unlike: Ints,
    volume: Floats,
    containers: list[list[int]],
) -> tuple[list[BodyKind], list[int]]:
    """(kind, index of the smallest container or -1) of each body."""
    inside = [min(row, key=lambda one: abs(volume[one])) if row else -1 for row in containers]
    kinds: list[BodyKind] = [BodyKind.OPEN] * len(inside)
    for number in sorted(range(len(inside)), key=lambda one: len(containers[one])):
        if not closed[number]:
            continue
        if unlike[number]:
            kinds[number] = BodyKind.MIXED
        elif inside[number] < 0:
            kinds[number] = BodyKind.SOLID if volume[number] >= 0 else BodyKind.INSIDE_OUT
        else:
            alike = volume[number] * volume[inside[number]] > 0
            kinds[number] = _kind_within(kinds[inside[number]], alike)
    return kinds, inside


def _kind_within(around: BodyKind, alike: bool) -> BodyKind:
    in_cavity = around is BodyKind.CAVITY
    if alike:
        return BodyKind.CAVITY if in_cavity else BodyKind.SOLID_IN_SOLID
    return BodyKind.LOOSE_IN_CAVITY if in_cavity else BodyKind.CAVITY
