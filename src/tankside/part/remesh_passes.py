"""One sweep of each change of the mesh over a surface: split, collapse and flip, where it is wise.

Split what is longer than wished, collapse what is shorter, flip where that opens the smallest
angle. A change is refused when it would turn a triangle over, leave the reference by more than the
slack of the place, or cut across a sharp line. The scheme is that of Botsch and Kobbelt (2004, "A
remeshing approach to multiresolution modeling"), with a size field, sharp lines and a bound on the
distance added.
"""

import numpy as np

from tankside.base.arrays import Ints
from tankside.part.remesh_checks import (
    MOST_SPOKES,
    Reference,
    drawn_on,
    edge_normal,
    is_near,
    may_stray,
    put,
    read_reference,
    relative_length,
    sine_of,
    worth_moving,
)
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
from tankside.part.remesh_kernels import inner, kernel
from tankside.part.remesh_tree import barycentric, closest
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

TINY = 0.5
"""Edges shorter than this share of the slack may be collapsed although lines end or meet there
[-]."""

SHORT = 4 / 5
"""Edges shorter than this many wished lengths are collapsed [-] (Botsch and Kobbelt 2004)."""


@kernel
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
        normal = edge_normal(mesh, edge)
        size = (mesh.size[a] + mesh.size[b]) / 2
        slack = min(mesh.slack[a], mesh.slack[b])
        point = middle(row(mesh.points, a), row(mesh.points, b))
        reach = distance(row(mesh.points, a), row(mesh.points, b)) / 3
        new = split(mesh, edge)
        mesh.size[new], mesh.slack[new] = size, slack
        mesh.fixed[new] = 1 if on_line else 0
        for k in range(2):
            mesh.arc[new, k] = max(mesh.arc[a, k], mesh.arc[b, k]) if on_line else 0.0
        put(mesh, new, point)
        _settle(mesh, reference, new, point, normal, reach)
    return True


@inner
def _settle(
    mesh: HalfEdges, reference: Reference, vertex: int, point: Vector, normal: Vector, reach: float
) -> None:
    """Draws a new vertex on to the reference unless that would spoil its triangles."""
    place, foot = drawn_on(mesh, reference, vertex, point, normal, reach)
    if place < 0:
        return
    spokes = np.zeros(MOST_SPOKES, dtype=np.int64)
    count = ring(mesh, vertex, spokes)
    if worth_moving(mesh, spokes, count, foot, 0.0):
        put(mesh, vertex, foot)
        read_reference(mesh, reference, vertex, place)


@kernel
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
        if _is_held(mesh, chosen):
            mesh.fixed[mesh.start[mesh.twin[chosen]]] = 2
        collapse(mesh, chosen, spokes, count)
        done += 1
    return done


@inner
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
    slack = min(mesh.slack[a], mesh.slack[b])
    tiny = distance(row(mesh.points, a), row(mesh.points, b)) < TINY * slack
    if _is_held(mesh, edge) and not tiny:
        return -1.0
    count = ring(mesh, a, spokes)
    count_b = ring(mesh, b, others)
    if count > MOST_SPOKES or count + count_b > 4 + 12 or not _link_is_simple(mesh, edge, tiny):
        return -1.0
    target = row(mesh.points, b)
    before = after = 1.0
    exact = mesh.fixed[a] > 0
    for k in range(count):
        spoke = spokes[k]
        x, y = mesh.start[following(spoke)], mesh.start[preceding(spoke)]
        old = area_vector(row(mesh.points, a), row(mesh.points, x), row(mesh.points, y))
        sine = sine_of(mesh, spoke // 3)
        before = min(before, sine)
        if x == b or y == b:
            continue
        if _stretched(mesh, b, x, a, longest):
            return -1.0
        new = area_vector(target, row(mesh.points, x), row(mesh.points, y))
        size = length(new)
        cosine = dot(unit(old), unit(new))
        if size <= 0.0 or (cosine < 0.5 and sine > (0.2 if tiny else 1e-4)):
            return -1.0
        after = min(after, sine_of_smallest_angle(target, row(mesh.points, x), row(mesh.points, y)))
        exact = exact or may_stray(cosine, mesh, b, x, y, slack)
    if after < least and after <= before:
        return -1.0
    if exact and not _collapse_stays(mesh, reference, edge, spokes, count, slack):
        return -1.0
    return after


@inner
def _is_held(mesh: HalfEdges, edge: int) -> bool:
    """Whether the start of an edge is a corner, or on a sharp line that the edge leaves."""
    fixed = mesh.fixed[mesh.start[edge]]
    return bool(fixed == 2 or (fixed == 1 and not mesh.sharp[edge]))


@inner
def _link_is_simple(mesh: HalfEdges, edge: int, tiny: bool) -> bool:
    """Whether the ends of an edge have only the two corners across from it as common neighbours,
    neither of which would be left with two triangles; unless the edge is tiny, no two sharp lines
    may become one."""
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
    return tiny or not ((mesh.sharp[bc] and mesh.sharp[ca]) or (mesh.sharp[ad] and mesh.sharp[db]))


@inner
def _valence_is_three(mesh: HalfEdges, vertex: int) -> bool:
    edge = mesh.leaving[vertex]
    for _ in range(3):
        edge = mesh.twin[preceding(edge)]
    return bool(edge == mesh.leaving[vertex])


@inner
def _stretched(mesh: HalfEdges, b: int, x: int, a: int, longest: float) -> bool:
    wished = (mesh.size[b] + mesh.size[x]) / 2
    new = distance(row(mesh.points, b), row(mesh.points, x))
    return new > longest * wished and new > distance(row(mesh.points, a), row(mesh.points, x))


@inner
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
        if not is_near(reference.surface, centre(target, p, q), normal, slack):
            return False
        if not is_near(reference.surface, middle(target, p), normal, slack):
            return False
        if mesh.sharp[spoke] and not _chord_stays(reference, lost, target, p, slack):
            return False
        v, w = barycentric(target, p, q, lost)
        foot = along(along(along((0.0, 0.0, 0.0), target, 1.0 - v - w), p, v), q, w)
        nearest = min(nearest, distance(foot, lost))
    return nearest <= slack


@inner
def _chord_stays(
    reference: Reference, lost: Vector, one: Vector, two: Vector, slack: float
) -> bool:
    """Whether a chord that replaces a bend of a sharp line stays near the line."""
    v, _ = barycentric(one, two, two, lost)
    if distance(along(one, minus(two, one), v), lost) > slack:
        return False
    halfway = middle(one, two)
    return closest(reference.lines, halfway, one, -2.0, slack * slack)[0] >= 0


@kernel
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


@inner
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
    old = unit(edge_normal(mesh, edge))
    one, two = unit(area_vector(p, s, r)), unit(area_vector(s, q, r))
    if dot(one, old) < 0.5 or dot(two, old) < 0.5:
        return False
    if joined(mesh, c, d) or _valence_is_three(mesh, a) or _valence_is_three(mesh, b):
        return False
    slack = min(min(mesh.slack[a], mesh.slack[b]), min(mesh.slack[c], mesh.slack[d]))
    turned = min(dot(one, two), dot(one, old), dot(two, old))
    if not may_stray(turned, mesh, a, b, c, slack):
        return True
    return is_near(reference.surface, middle(r, s), old, slack)
