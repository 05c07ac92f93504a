"""One sweep of each local change over a surface, each change made only where it is wise.

Split what is longer than wished, collapse what is shorter, flip where that opens the smallest
angle, slide vertices along the surface. A change is refused when it would turn a triangle over,
leave the reference surface by more than the slack of the place, or cut across a sharp line. The
scheme is that of Botsch and Kobbelt (2004, "A remeshing approach to multiresolution modeling"),
with a size field, sharp lines and a bound on the distance added.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from tankside.base.arrays import Floats, Ints
from tankside.part.remesh_halfedges import (
    HalfEdges,
    collapse,
    flip,
    following,
    joined,
    preceding,
    ring,
    split,
)
from tankside.part.remesh_tree import Tree, barycentric, closest, corners_at
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
    sine_of_smallest_angle,
    unit,
)

LONG = 4 / 3
"""Edges longer than this many wished lengths are split [-] (Botsch and Kobbelt 2004)."""

SHORT = 4 / 5
"""Edges shorter than this many wished lengths are collapsed [-] (Botsch and Kobbelt 2004)."""

SAME_SIDE = 0.3
"""Least cosine between a triangle and the place of the reference that it stands for [-]."""

MOST_SPOKES = 64
"""Edges that may meet in a vertex [-]."""

STILL = 0.03
"""Moves shorter than this many wished lengths are left undone [-]."""


class Reference(NamedTuple):
    """What the surface must stay near: the tree over it, the tree over its sharp lines, and by
    place in the tree the wished edge length (n, 3) at the corners and the slack (n,)."""

    surface: Tree
    lines: Tree
    size: Floats
    slack: Floats


@njit(cache=True)
def split_long(mesh: HalfEdges, reference: Reference, order: Ints, limit: float) -> bool:
    """Splits the edges of `order` that are longer than `limit` wished lengths; False when the room
    of the arrays ran out before all were done."""
    for edge in order:
        if mesh.start[edge] < 0 or relative_length(mesh, edge) <= limit:
            continue
        if mesh.used[0] >= len(mesh.points) or mesh.used[1] + 2 > len(mesh.bend):
            return False
        a, b = mesh.start[edge], mesh.start[mesh.twin[edge]]
        on_line = mesh.sharp[edge]
        normal = _edge_normal(mesh, edge)
        size = (mesh.size[a] + mesh.size[b]) / 2
        slack = min(mesh.slack[a], mesh.slack[b])
        point = middle(row(mesh.points, a), row(mesh.points, b))
        reach = distance(row(mesh.points, a), row(mesh.points, b)) / 3
        new = split(mesh, edge)
        mesh.size[new], mesh.slack[new] = size, slack
        mesh.fixed[new] = 1 if on_line else 0
        for k in range(2):
            mesh.arc[new, k] = max(mesh.arc[a, k], mesh.arc[b, k]) if on_line else 0.0
        _put(mesh, new, point)
        _settle(mesh, reference, new, point, normal, reach)
    return True


@njit(cache=True)
def _settle(
    mesh: HalfEdges, reference: Reference, vertex: int, point: Vector, normal: Vector, reach: float
) -> None:
    """Draws a new vertex on to the reference unless that would spoil its triangles."""
    place, foot = _drawn(mesh, reference, vertex, point, normal, reach)
    if place < 0:
        return
    spokes = np.zeros(MOST_SPOKES, dtype=np.int64)
    count = ring(mesh, vertex, spokes)
    if _worth_moving(mesh, spokes, count, foot, 0.0):
        _put(mesh, vertex, foot)
        _read_reference(mesh, reference, vertex, place)


@njit(cache=True)
def _drawn(
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


@njit(cache=True)
def _read_reference(mesh: HalfEdges, reference: Reference, vertex: int, place: int) -> None:
    a, b, c = corners_at(reference.surface, place)
    v, w = barycentric(a, b, c, row(mesh.points, vertex))
    size = reference.size[place]
    mesh.size[vertex] = (1.0 - v - w) * size[0] + v * size[1] + w * size[2]
    mesh.slack[vertex] = reference.slack[place]


@njit(cache=True)
def reread(mesh: HalfEdges, reference: Reference) -> None:
    """Reads wished size and slack of every vertex anew from the reference."""
    spokes = np.zeros(MOST_SPOKES, dtype=np.int64)
    for vertex in range(mesh.used[0]):
        if mesh.leaving[vertex] < 0:
            continue
        point = row(mesh.points, vertex)
        count = min(ring(mesh, vertex, spokes), MOST_SPOKES)
        normal = _ring_normal(mesh, spokes, count)
        place = closest(reference.surface, point, normal, SAME_SIDE, np.inf)[0]
        if place < 0:
            place = closest(reference.surface, point, normal, -2.0, np.inf)[0]
        _read_reference(mesh, reference, vertex, place)


@njit(cache=True)
def collapse_short(
    mesh: HalfEdges, reference: Reference, order: Ints, limit: float, longest: float, least: float
) -> int:
    """Collapses the edges of `order` that are shorter than `limit` wished lengths, if no edge then
    exceeds `longest` and no sine of an angle falls below `least`; returns how many."""
    done = 0
    spokes = np.zeros(MOST_SPOKES, dtype=np.int64)
    others = np.zeros(MOST_SPOKES, dtype=np.int64)
    for edge in order:
        if mesh.start[edge] < 0 or relative_length(mesh, edge) >= limit:
            continue
        twin = mesh.twin[edge]
        ahead = _collapse_sine(mesh, reference, edge, longest, least, spokes, others)
        back = _collapse_sine(mesh, reference, twin, longest, least, spokes, others)
        if max(ahead, back) <= 0.0:
            continue
        chosen = edge if ahead >= back else twin
        count = ring(mesh, mesh.start[chosen], spokes)
        collapse(mesh, chosen, spokes, count)
        done += 1
    return done


@njit(cache=True)
def _collapse_sine(
    mesh: HalfEdges,
    reference: Reference,
    edge: int,
    longest: float,
    least: float,
    spokes: Ints,
    others: Ints,
) -> float:
    """Smallest sine of an angle after pulling the start of `edge` into its end, -1 if it must not
    be done."""
    a, b = mesh.start[edge], mesh.start[mesh.twin[edge]]
    if mesh.fixed[a] == 2 or (mesh.fixed[a] == 1 and not mesh.sharp[edge]):
        return -1.0
    count = ring(mesh, a, spokes)
    count_b = ring(mesh, b, others)
    if count > MOST_SPOKES or count + count_b > 4 + 12 or not _link_is_simple(mesh, edge):
        return -1.0
    target = row(mesh.points, b)
    before = after = 1.0
    exact = mesh.fixed[a] == 1
    slack = min(mesh.slack[a], mesh.slack[b])
    for k in range(count):
        spoke = spokes[k]
        x, y = mesh.start[following(spoke)], mesh.start[preceding(spoke)]
        old = area_vector(row(mesh.points, a), row(mesh.points, x), row(mesh.points, y))
        sine = _sine(mesh, spoke // 3)
        before = min(before, sine)
        if x == b or y == b:
            continue
        if _stretched(mesh, b, x, a, longest):
            return -1.0
        new = area_vector(target, row(mesh.points, x), row(mesh.points, y))
        size = length(new)
        cosine = dot(unit(old), unit(new))
        if size <= 0.0 or (cosine < 0.5 and sine > 1e-4):
            return -1.0
        after = min(after, sine_of_smallest_angle(target, row(mesh.points, x), row(mesh.points, y)))
        exact = exact or _may_stray(cosine, mesh, b, x, y, slack)
    if after < least and after <= before:
        return -1.0
    if exact and not _collapse_stays(mesh, reference, edge, spokes, count, slack):
        return -1.0
    return after


@njit(cache=True)
def _link_is_simple(mesh: HalfEdges, edge: int) -> bool:
    """Whether the ends of an edge have only the two corners across from it as common neighbours,
    neither of which would be left with two triangles."""
    twin = mesh.twin[edge]
    a, b = mesh.start[edge], mesh.start[twin]
    c, d = mesh.start[preceding(edge)], mesh.start[preceding(twin)]
    if _valence_is_three(mesh, c) or _valence_is_three(mesh, d):
        return False
    first = mesh.leaving[a]
    spoke = first
    while True:
        x = mesh.start[mesh.twin[spoke]]
        if x != b and x != c and x != d and joined(mesh, b, x):
            return False
        spoke = mesh.twin[preceding(spoke)]
        if spoke == first:
            break
    bc, ca = following(edge), preceding(edge)
    ad, db = following(twin), preceding(twin)
    return not ((mesh.sharp[bc] and mesh.sharp[ca]) or (mesh.sharp[ad] and mesh.sharp[db]))


@njit(cache=True)
def _valence_is_three(mesh: HalfEdges, vertex: int) -> bool:
    edge = mesh.leaving[vertex]
    for _ in range(3):
        edge = mesh.twin[preceding(edge)]
    return bool(edge == mesh.leaving[vertex])


@njit(cache=True)
def _stretched(mesh: HalfEdges, b: int, x: int, a: int, longest: float) -> bool:
    wished = (mesh.size[b] + mesh.size[x]) / 2
    new = distance(row(mesh.points, b), row(mesh.points, x))
    return new > longest * wished and new > distance(row(mesh.points, a), row(mesh.points, x))


@njit(cache=True)
def _may_stray(cosine: float, mesh: HalfEdges, b: int, x: int, y: int, slack: float) -> bool:
    """Whether a triangle turned by this much can have left a smooth surface by half the slack."""
    p, q, r = row(mesh.points, b), row(mesh.points, x), row(mesh.points, y)
    longest = max(distance(p, q), distance(q, r), distance(r, p))
    return longest * longest * max(0.0, 1.0 - cosine * cosine) > 4.0 * slack * slack


@njit(cache=True)
def _collapse_stays(
    mesh: HalfEdges, reference: Reference, edge: int, spokes: Ints, count: int, slack: float
) -> bool:
    """Whether the new triangles stay near the reference, and the lost vertex near them."""
    a, b = mesh.start[edge], mesh.start[mesh.twin[edge]]
    lost, target = row(mesh.points, a), row(mesh.points, b)
    nearest = np.inf
    for k in range(count):
        spoke = spokes[k]
        x, y = mesh.start[following(spoke)], mesh.start[preceding(spoke)]
        if x == b or y == b:
            continue
        p, q = row(mesh.points, x), row(mesh.points, y)
        normal = unit(area_vector(target, p, q))
        if not _near(reference.surface, centre(target, p, q), normal, slack):
            return False
        if not _near(reference.surface, middle(target, p), normal, slack):
            return False
        if mesh.sharp[spoke] and not _chord_stays(reference, lost, target, p, slack):
            return False
        v, w = barycentric(target, p, q, lost)
        foot = along(along(along((0.0, 0.0, 0.0), target, 1.0 - v - w), p, v), q, w)
        nearest = min(nearest, distance(foot, lost))
    return nearest <= slack


@njit(cache=True)
def _chord_stays(
    reference: Reference, lost: Vector, one: Vector, two: Vector, slack: float
) -> bool:
    """Whether a chord that replaces a bend of a sharp line stays near the line."""
    v, _ = barycentric(one, two, two, lost)
    if distance(along(one, minus(two, one), v), lost) > slack:
        return False
    halfway = middle(one, two)
    return closest(reference.lines, halfway, one, -2.0, slack * slack)[0] >= 0


@njit(cache=True)
def _near(tree: Tree, point: Vector, normal: Vector, slack: float) -> bool:
    return closest(tree, point, normal, SAME_SIDE, slack * slack)[0] >= 0


@njit(cache=True)
def flip_edges(mesh: HalfEdges, reference: Reference, order: Ints) -> int:
    """Flips the edges of `order` where the smallest angle of the two triangles grows."""
    done = 0
    for edge in order:
        if mesh.start[edge] < 0 or mesh.sharp[edge]:
            continue
        if _flip_helps(mesh, reference, edge):
            flip(mesh, edge)
            done += 1
    return done


@njit(cache=True)
def _flip_helps(mesh: HalfEdges, reference: Reference, edge: int) -> bool:
    twin = mesh.twin[edge]
    a, b = mesh.start[edge], mesh.start[twin]
    c, d = mesh.start[preceding(edge)], mesh.start[preceding(twin)]
    p, q, r, s = (
        row(mesh.points, a),
        row(mesh.points, b),
        row(mesh.points, c),
        row(mesh.points, d),
    )
    before = min(sine_of_smallest_angle(p, q, r), sine_of_smallest_angle(q, p, s))
    after = min(sine_of_smallest_angle(p, s, r), sine_of_smallest_angle(s, q, r))
    if after <= before + 1e-3:
        return False
    old = unit(_edge_normal(mesh, edge))
    one, two = unit(area_vector(p, s, r)), unit(area_vector(s, q, r))
    if dot(one, old) < 0.5 or dot(two, old) < 0.5:
        return False
    if joined(mesh, c, d) or _valence_is_three(mesh, a) or _valence_is_three(mesh, b):
        return False
    slack = min(min(mesh.slack[a], mesh.slack[b]), min(mesh.slack[c], mesh.slack[d]))
    turned = min(dot(one, two), dot(one, old), dot(two, old))
    if not _may_stray(turned, mesh, a, b, c, slack):
        return True
    return _near(reference.surface, middle(r, s), old, slack)


@njit(cache=True)
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
        normal = _ring_normal(mesh, spokes, count)
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
            place, foot = _drawn(mesh, reference, vertex, aim, normal, reach)
            if place >= 0 and _move_stays(mesh, reference, spokes, count, foot, least):
                _put(mesh, vertex, foot)
                _read_reference(mesh, reference, vertex, place)
                done += 1
                break
    return done


@njit(cache=True)
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
        normal = _ring_normal(mesh, spokes, count)
        limit = mesh.slack[vertex]
        moved = along(row(mesh.points, vertex), normal, min(max(shift[vertex], -limit), limit))
        if _worth_moving(mesh, spokes, count, moved, 0.5):
            _put(mesh, vertex, moved)


@njit(cache=True)
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
        normal = _normal(mesh, triangle)
        hit = closest(reference.surface, centre(p, q, r), normal, SAME_SIDE, 4.0 * slack * slack)
        if hit[0] >= 0:
            total += dot(minus(hit[2], centre(p, q, r)), normal)
    return total / count


@njit(cache=True)
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


@njit(cache=True)
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


@njit(cache=True)
def _move_stays(
    mesh: HalfEdges, reference: Reference, spokes: Ints, count: int, to: Vector, least: float
) -> bool:
    """Whether a vertex may move: angles, sides, and the distance of the new triangles."""
    if not _worth_moving(mesh, spokes, count, to, least):
        return False
    vertex = mesh.start[spokes[0]]
    slack = mesh.slack[vertex]
    for k in range(count):
        b, c = mesh.start[following(spokes[k])], mesh.start[preceding(spokes[k])]
        q, r = row(mesh.points, b), row(mesh.points, c)
        new = unit(area_vector(to, q, r))
        behind = mesh.twin[following(spokes[k])] // 3
        cosine = min(dot(new, _normal(mesh, spokes[k] // 3)), dot(new, _normal(mesh, behind)))
        if mesh.sharp[following(spokes[k])]:
            cosine = dot(new, _normal(mesh, spokes[k] // 3))
        if _may_stray(cosine, mesh, vertex, b, c, slack) and not (
            _near(reference.surface, centre(to, q, r), new, slack)
            and _near(reference.surface, middle(to, q), new, slack)
        ):
            return False
        if mesh.sharp[spokes[k]] and (
            closest(reference.lines, middle(to, q), to, -2.0, slack * slack)[0] < 0
        ):
            return False
    return True


@njit(cache=True)
def _worth_moving(mesh: HalfEdges, spokes: Ints, count: int, to: Vector, least: float) -> bool:
    before = after = 1.0
    for k in range(count):
        b, c = mesh.start[following(spokes[k])], mesh.start[preceding(spokes[k])]
        q, r = row(mesh.points, b), row(mesh.points, c)
        new = area_vector(to, q, r)
        sine = _sine(mesh, spokes[k] // 3)
        if sine > 1e-4 and dot(unit(new), _normal(mesh, spokes[k] // 3)) < 0.5:
            return False
        before = min(before, sine)
        after = min(after, sine_of_smallest_angle(to, q, r))
    return after > 0.0 and (after >= least or after >= before)


@njit(cache=True)
def relative_length(mesh: HalfEdges, edge: int) -> float:
    """Length of an edge over the mean wished size of its ends [-]."""
    a, b = mesh.start[edge], mesh.start[mesh.twin[edge]]
    wished = (mesh.size[a] + mesh.size[b]) / 2
    return distance(row(mesh.points, a), row(mesh.points, b)) / wished


@njit(cache=True)
def _put(mesh: HalfEdges, vertex: int, point: Vector) -> None:
    mesh.points[vertex, 0], mesh.points[vertex, 1], mesh.points[vertex, 2] = point


@njit(cache=True)
def _twice_area(mesh: HalfEdges, triangle: int) -> Vector:
    return area_vector(
        row(mesh.points, mesh.start[3 * triangle]),
        row(mesh.points, mesh.start[3 * triangle + 1]),
        row(mesh.points, mesh.start[3 * triangle + 2]),
    )


@njit(cache=True)
def _normal(mesh: HalfEdges, triangle: int) -> Vector:
    return unit(_twice_area(mesh, triangle))


@njit(cache=True)
def _sine(mesh: HalfEdges, triangle: int) -> float:
    return sine_of_smallest_angle(
        row(mesh.points, mesh.start[3 * triangle]),
        row(mesh.points, mesh.start[3 * triangle + 1]),
        row(mesh.points, mesh.start[3 * triangle + 2]),
    )


@njit(cache=True)
def _edge_normal(mesh: HalfEdges, edge: int) -> Vector:
    return unit(along(_twice_area(mesh, edge // 3), _twice_area(mesh, mesh.twin[edge] // 3), 1.0))


@njit(cache=True)
def _ring_normal(mesh: HalfEdges, spokes: Ints, count: int) -> Vector:
    total = (0.0, 0.0, 0.0)
    for k in range(count):
        total = along(total, _twice_area(mesh, spokes[k] // 3), 1.0)
    return unit(total)
