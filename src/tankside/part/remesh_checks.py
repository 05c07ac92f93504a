"""What the remesher asks before it changes anything: sizes, sides, and distance to the reference.

The reference is the skin as it came, cut into even pieces; it carries the wished edge length and
the slack, the distance that the new surface may stray from it.
"""

from typing import NamedTuple

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.part.remesh_halfedges import (
    HalfEdges,
    following,
    preceding,
)
from tankside.part.remesh_kernels import inner
from tankside.part.remesh_tree import Tree, barycentric, closest, corners_at
from tankside.part.remesh_vectors import (
    Vector,
    along,
    area_vector,
    distance,
    dot,
    row,
    sine_of_smallest_angle,
    unit,
)

SAME_SIDE = 0.3
"""Least cosine between a triangle and the place of the reference that it stands for [-]."""

MOST_SPOKES = 64
"""Edges that may meet in a vertex [-]."""


class Reference(NamedTuple):
    """What the surface must stay near: the tree over it, the tree over its sharp lines, and by
    place in the tree the wished edge length (n, 3) at the corners and the slack (n,)."""

    surface: Tree
    lines: Tree
    size: Floats
    slack: Floats


@inner
def relative_length(mesh: HalfEdges, edge: int) -> float:
    """Length of an edge over the mean wished size of its ends [-]."""
    a, b = mesh.start[edge], mesh.start[mesh.twin[edge]]
    wished = (mesh.size[a] + mesh.size[b]) / 2
    return float(distance(row(mesh.points, a), row(mesh.points, b)) / wished)


@inner
def put(mesh: HalfEdges, vertex: int, point: Vector) -> None:
    mesh.points[vertex, 0], mesh.points[vertex, 1], mesh.points[vertex, 2] = point


@inner
def twice_area(mesh: HalfEdges, triangle: int) -> Vector:
    return area_vector(
        row(mesh.points, mesh.start[3 * triangle]),
        row(mesh.points, mesh.start[3 * triangle + 1]),
        row(mesh.points, mesh.start[3 * triangle + 2]),
    )


@inner
def normal_of(mesh: HalfEdges, triangle: int) -> Vector:
    return unit(twice_area(mesh, triangle))


@inner
def sine_of(mesh: HalfEdges, triangle: int) -> float:
    return sine_of_smallest_angle(
        row(mesh.points, mesh.start[3 * triangle]),
        row(mesh.points, mesh.start[3 * triangle + 1]),
        row(mesh.points, mesh.start[3 * triangle + 2]),
    )


@inner
def edge_normal(mesh: HalfEdges, edge: int) -> Vector:
    return unit(along(twice_area(mesh, edge // 3), twice_area(mesh, mesh.twin[edge] // 3), 1.0))


@inner
def ring_normal(mesh: HalfEdges, spokes: Ints, count: int) -> Vector:
    total = (0.0, 0.0, 0.0)
    for k in range(count):
        total = along(total, twice_area(mesh, spokes[k] // 3), 1.0)
    return unit(total)


@inner
def is_near(tree: Tree, point: Vector, normal: Vector, slack: float) -> bool:
    return closest(tree, point, normal, SAME_SIDE, slack * slack)[0] >= 0


@inner
def may_stray(cosine: float, mesh: HalfEdges, b: int, x: int, y: int, slack: float) -> bool:
    """Whether a triangle turned by this much can have left a smooth surface by half the slack."""
    p, q, r = row(mesh.points, b), row(mesh.points, x), row(mesh.points, y)
    longest = max(distance(p, q), distance(q, r), distance(r, p))
    return longest * longest * max(0.0, 1.0 - cosine * cosine) > 4.0 * slack * slack


@inner
def worth_moving(mesh: HalfEdges, spokes: Ints, count: int, to: Vector, least: float) -> bool:
    before = after = 1.0
    for k in range(count):
        b, c = mesh.start[following(spokes[k])], mesh.start[preceding(spokes[k])]
        q, r = row(mesh.points, b), row(mesh.points, c)
        new = area_vector(to, q, r)
        sine = sine_of(mesh, spokes[k] // 3)
        if sine > 1e-4 and dot(unit(new), normal_of(mesh, spokes[k] // 3)) < 0.5:
            return False
        before = min(before, sine)
        after = min(after, sine_of_smallest_angle(to, q, r))
    return after > 0.0 and (after >= least or after >= before)


@inner
def drawn_on(
    mesh: HalfEdges, reference: Reference, vertex: int, point: Vector, normal: Vector, reach: float
) -> tuple[int, Vector]:
    """Place on the reference surface, and the point of it (of a sharp line if the vertex slides on
    one) that is nearest."""
    if mesh.fixed[vertex] == 1:
        hit = closest(reference.lines, point, normal, -2.0, reach * reach)
        if hit[0] < 0:
            return -1, point
        over = closest(reference.surface, hit[2], normal, -2.0, np.inf)
        return over[0], hit[2]
    hit = closest(reference.surface, point, normal, SAME_SIDE, reach * reach)
    return hit[0], hit[2]


@inner
def read_reference(mesh: HalfEdges, reference: Reference, vertex: int, place: int) -> None:
    a, b, c = corners_at(reference.surface, place)
    v, w = barycentric(a, b, c, row(mesh.points, vertex))
    size = reference.size[place]
    mesh.size[vertex] = (1.0 - v - w) * size[0] + v * size[1] + w * size[2]
    mesh.slack[vertex] = reference.slack[place]
