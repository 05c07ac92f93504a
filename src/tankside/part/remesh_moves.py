"""One sweep of moves of the vertices over a surface: slide them along it, or balance its height."""

import numpy as np

from tankside.base.arrays import Ints
from tankside.part.remesh_checks import (
    MOST_SPOKES,
    SAME_SIDE,
    Reference,
    drawn_on,
    is_near,
    may_stray,
    normal_of,
    put,
    read_reference,
    ring_normal,
    worth_moving,
)
from tankside.part.remesh_halfedges import (
    HalfEdges,
    following,
    preceding,
    ring,
)
from tankside.part.remesh_kernels import inner, kernel
from tankside.part.remesh_tree import closest
from tankside.part.remesh_vectors import (
    Vector,
    along,
    area_vector,
    centre,
    distance,
    dot,
    length,
    middle,
    minus,
    row,
    unit,
)

STILL = 0.03
"""Moves shorter than this many wished lengths are left undone [-]."""


@kernel
def reread(mesh: HalfEdges, reference: Reference) -> None:
    """Reads wished size and slack of every vertex anew from the reference."""
    spokes = np.zeros(MOST_SPOKES, dtype=np.int64)
    for vertex in range(mesh.used[0]):
        if mesh.leaving[vertex] < 0:
            continue
        point = row(mesh.points, vertex)
        count = min(ring(mesh, vertex, spokes), MOST_SPOKES)
        normal = ring_normal(mesh, spokes, count)
        place = closest(reference.surface, point, normal, SAME_SIDE, np.inf)[0]
        if place < 0:
            place = closest(reference.surface, point, normal, -2.0, np.inf)[0]
        read_reference(mesh, reference, vertex, place)


@kernel
def relax(mesh: HalfEdges, reference: Reference, least: float) -> int:
    """Slides every free vertex towards the weighted centre of its ring, along the surface; a move
    is kept if no sine of an angle falls both below `least` and below what it was."""
    done = 0
    spokes = np.zeros(MOST_SPOKES, dtype=np.int64)
    for vertex in range(mesh.used[0]):
        if mesh.leaving[vertex] < 0 or mesh.fixed[vertex] == 2:
            continue
        count = ring(mesh, vertex, spokes)
        if count > MOST_SPOKES:
            continue
        start = row(mesh.points, vertex)
        normal = ring_normal(mesh, spokes, count)
        if mesh.fixed[vertex] == 1:
            wish = _between_line_neighbours(mesh, vertex, spokes, count)
        else:
            wish = _ring_centre(mesh, spokes, count)
            wish = along(wish, normal, -dot(minus(wish, start), normal))
        reach = mesh.size[vertex]
        if distance(wish, start) < STILL * reach:
            continue
        for share in (1.0, 0.4):
            aim = along(start, minus(wish, start), share)
            place, foot = drawn_on(mesh, reference, vertex, aim, normal, reach)
            if place >= 0 and _move_stays(mesh, reference, spokes, count, foot, least):
                put(mesh, vertex, foot)
                read_reference(mesh, reference, vertex, place)
                done += 1
                break
    return done


@inner
def _ring_centre(mesh: HalfEdges, spokes: Ints, count: int) -> Vector:
    """Mean of the ring's centroids, weighted by area over wished area."""
    total = 0.0
    wish = (0.0, 0.0, 0.0)
    for k in range(count):
        a, b = mesh.start[spokes[k]], mesh.start[following(spokes[k])]
        c = mesh.start[preceding(spokes[k])]
        p, q, r = row(mesh.points, a), row(mesh.points, b), row(mesh.points, c)
        size = (mesh.size[b] + mesh.size[c]) / 2
        weight = length(area_vector(p, q, r)) / (size * size)
        wish = along(wish, centre(p, q, r), weight)
        total += weight
    if total <= 0.0:
        return row(mesh.points, mesh.start[spokes[0]])
    return wish[0] / total, wish[1] / total, wish[2] / total


@inner
def _between_line_neighbours(mesh: HalfEdges, vertex: int, spokes: Ints, count: int) -> Vector:
    """The point that divides the two sharp edges of a vertex in the ratio of the wished sizes."""
    total = 0.0
    wish = (0.0, 0.0, 0.0)
    for k in range(count):
        if mesh.sharp[spokes[k]]:
            other = mesh.start[mesh.twin[spokes[k]]]
            weight = 1.0 / mesh.size[other]
            wish = along(wish, row(mesh.points, other), weight)
            total += weight
    if total <= 0.0:
        return row(mesh.points, vertex)
    return wish[0] / total, wish[1] / total, wish[2] / total


@inner
def _move_stays(
    mesh: HalfEdges, reference: Reference, spokes: Ints, count: int, to: Vector, least: float
) -> bool:
    """Whether a vertex may move: angles, sides, and the distance of the new triangles."""
    if not worth_moving(mesh, spokes, count, to, least):
        return False
    vertex = mesh.start[spokes[0]]
    slack = mesh.slack[vertex]
    for k in range(count):
        b, c = mesh.start[following(spokes[k])], mesh.start[preceding(spokes[k])]
        q, r = row(mesh.points, b), row(mesh.points, c)
        new = unit(area_vector(to, q, r))
        behind = mesh.twin[following(spokes[k])] // 3
        cosine = min(dot(new, normal_of(mesh, spokes[k] // 3)), dot(new, normal_of(mesh, behind)))
        if mesh.sharp[following(spokes[k])]:
            cosine = dot(new, normal_of(mesh, spokes[k] // 3))
        if may_stray(cosine, mesh, vertex, b, c, slack) and not (
            is_near(reference.surface, centre(to, q, r), new, slack)
            and is_near(reference.surface, middle(to, q), new, slack)
        ):
            return False
        if mesh.sharp[spokes[k]] and (
            closest(reference.lines, middle(to, q), to, -2.0, slack * slack)[0] < 0
        ):
            return False
    return True


@kernel
def balance(mesh: HalfEdges, reference: Reference, share: float) -> None:
    """Moves the free vertices off the reference by `share` of the mean height at which it stands
    over the triangles around them, so that curved places lose neither area nor volume."""
    shift = np.zeros(mesh.used[0])
    spokes = np.zeros(MOST_SPOKES, dtype=np.int64)
    for vertex in range(mesh.used[0]):
        if mesh.leaving[vertex] >= 0 and mesh.fixed[vertex] == 0:
            count = ring(mesh, vertex, spokes)
            shift[vertex] = share * _mean_height(mesh, reference, spokes, count)
    for vertex in range(mesh.used[0]):
        if shift[vertex] == 0.0:
            continue
        count = ring(mesh, vertex, spokes)
        normal = ring_normal(mesh, spokes, count)
        limit = mesh.slack[vertex]
        moved = along(row(mesh.points, vertex), normal, min(max(shift[vertex], -limit), limit))
        if worth_moving(mesh, spokes, count, moved, 0.5):
            put(mesh, vertex, moved)


@inner
def _mean_height(mesh: HalfEdges, reference: Reference, spokes: Ints, count: int) -> float:
    """Mean height of the reference over the centroids of a ring of triangles."""
    total = 0.0
    if count > MOST_SPOKES:
        return total
    slack = mesh.slack[mesh.start[spokes[0]]]
    for k in range(count):
        triangle = spokes[k] // 3
        p, q, r = (
            row(mesh.points, mesh.start[3 * triangle]),
            row(mesh.points, mesh.start[3 * triangle + 1]),
            row(mesh.points, mesh.start[3 * triangle + 2]),
        )
        normal = normal_of(mesh, triangle)
        hit = closest(reference.surface, centre(p, q, r), normal, SAME_SIDE, 4.0 * slack * slack)
        if hit[0] >= 0:
            total += dot(minus(hit[2], centre(p, q, r)), normal)
    return total / count
