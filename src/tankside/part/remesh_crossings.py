"""Pairs of triangles of a surface that pass through each other, by the signs of tetrahedra.

Built for the remesher's own surfaces, of which it is asked often: what merely touches is no pair.
"""

import numpy as np

from tankside.base.arrays import Ints
from tankside.part.remesh_kernels import inner, kernel
from tankside.part.remesh_tree import Tree, corners_at
from tankside.part.remesh_vectors import Vector, area_vector, cross, distance, dot, minus, row

TOUCH = 1e-9
"""Triangles that reach through each other by less than this share of the whole only touch [-]."""


def crossings(tree: Tree, triangles: Ints) -> Ints:
    """Pairs (m, 2) of triangles that pass through each other or lie folded back on a neighbour.

    triangles (n, 3) names the corners, so that neighbours are told from strangers. Triangles that
    only touch are no pair.
    """
    placed = np.ascontiguousarray(triangles[tree.order])
    pairs = np.zeros((max(256, len(placed) // 8), 2), dtype=np.int64)
    while True:
        count = _crossings(tree, placed, pairs)
        if count <= len(pairs):
            found = np.sort(tree.order[pairs[:count]], axis=1)
            return found[np.lexsort((found[:, 1], found[:, 0]))]
        pairs = np.zeros((count, 2), dtype=np.int64)


@kernel
def _crossings(tree: Tree, triangles: Ints, pairs: Ints) -> int:
    """Fills `pairs` as far as it reaches and returns how many there are."""
    count = 0
    stack = np.zeros(64, dtype=np.int64)
    first_leaf = (1 << tree.levels) - 1
    for home in range(first_leaf, len(tree.low)):
        stack[0] = 0
        top = 1
        while top > 0:
            top -= 1
            node = stack[top]
            if not _boxes_meet(tree, node, home):
                continue
            if node < first_leaf:
                stack[top] = 2 * node + 1
                stack[top + 1] = 2 * node + 2
                top += 2
            elif node >= home:
                count = _leaf_crossings(tree, triangles, home, node, pairs, count)
    return count


@inner
def _leaf_crossings(
    tree: Tree, triangles: Ints, home: int, away: int, pairs: Ints, count: int
) -> int:
    first_leaf = (1 << tree.levels) - 1
    n = len(triangles)
    one, two = home - first_leaf, away - first_leaf
    for k in range((n * one) >> tree.levels, (n * (one + 1)) >> tree.levels):
        if not _box_meets_triangle(tree, away, k):
            continue
        for other in range((n * two) >> tree.levels, (n * (two + 1)) >> tree.levels):
            if other > k and _cross(tree, triangles, k, other):
                if count < len(pairs):
                    pairs[count, 0], pairs[count, 1] = k, other
                count += 1
    return count


@inner
def _boxes_meet(tree: Tree, one: int, two: int) -> bool:
    for axis in range(3):
        if tree.low[one, axis] > tree.high[two, axis] or tree.low[two, axis] > tree.high[one, axis]:
            return False
    return True


@inner
def _box_meets_triangle(tree: Tree, node: int, k: int) -> bool:
    a, b, c = corners_at(tree, k)
    for axis in range(3):
        if tree.low[node, axis] > max(a[axis], b[axis], c[axis]):
            return False
        if tree.high[node, axis] < min(a[axis], b[axis], c[axis]):
            return False
    return True


@inner
def _cross(tree: Tree, triangles: Ints, i: int, j: int) -> bool:
    shared = 0
    for p in range(3):
        for q in range(3):
            if triangles[i, p] == triangles[j, q]:
                shared += 1
    if shared >= 3:
        return True
    if shared == 2:
        return _folded(tree, triangles, i, j)
    for p in range(3):
        if _edge_pierces(tree, triangles, i, j, p) or _edge_pierces(tree, triangles, j, i, p):
            return True
    return False


@inner
def _folded(tree: Tree, triangles: Ints, i: int, j: int) -> bool:
    """Whether two neighbours over an edge lie on the same side of it and in one plane."""
    if dot(row(tree.normals, i), row(tree.normals, j)) > -0.9999999:
        return False
    p = _stranger(triangles, i, j)
    tip = row(tree.corners[i], p)
    one = row(tree.corners[i], (p + 1) % 3)
    two = row(tree.corners[i], (p + 2) % 3)
    other = row(tree.corners[j], _stranger(triangles, j, i))
    edge = minus(two, one)
    side = cross(cross(edge, minus(tip, one)), edge)
    return dot(side, minus(other, one)) > 0.0


@inner
def _stranger(triangles: Ints, i: int, j: int) -> int:
    """Which corner of triangle i triangle j does not have."""
    for p in range(3):
        if not _names(triangles, j, triangles[i, p]):
            return p
    return 0


@inner
def _names(triangles: Ints, k: int, vertex: int) -> bool:
    return bool(triangles[k, 0] == vertex or triangles[k, 1] == vertex or triangles[k, 2] == vertex)


@inner
def _edge_pierces(tree: Tree, triangles: Ints, i: int, j: int, p: int) -> bool:
    """Whether edge p of triangle i passes through the inside of triangle j; an edge that starts in
    a corner of j does not count."""
    q = (p + 1) % 3
    if _names(triangles, j, triangles[i, p]) or _names(triangles, j, triangles[i, q]):
        return False
    a, b, c = corners_at(tree, j)
    start = row(tree.corners[i], p)
    end = row(tree.corners[i], q)
    normal = row(tree.normals, j)
    above, below = dot(normal, minus(start, a)), dot(normal, minus(end, a))
    if above * below >= 0.0 or min(abs(above), abs(below)) < TOUCH * _breadth(tree):
        return False
    one = _volume(start, end, a, b)
    two = _volume(start, end, b, c)
    three = _volume(start, end, c, a)
    total = one + two + three
    return min(one * total, two * total, three * total) > TOUCH * total * total


@inner
def _breadth(tree: Tree) -> float:
    return distance(row(tree.low, 0), row(tree.high, 0))


@inner
def _volume(a: Vector, b: Vector, c: Vector, d: Vector) -> float:
    """Six times the signed volume of a tetrahedron."""
    return dot(area_vector(a, b, c), minus(d, a))
