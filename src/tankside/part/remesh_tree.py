"""A tree of boxes over triangles: the nearest point, the first hit of a ray, pairs that cross.

The tree is a complete binary one, split at the median of the longest side of the centroids' box,
so that it holds no pointers: node i has the children 2i + 1 and 2i + 2. A triangle whose corners
coincide stands for a segment or a point. Everything runs on one thread and gives the same answer
every time. Searched branch-and-bound; point to triangle after Ericson, Real-Time Collision
Detection (2005), section 5.1.5; crossing by the signs of tetrahedra.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from tankside.base.arrays import Floats, Ints
from tankside.part.remesh_vectors import Vector, area_vector, cross, distance, dot, minus, row

LEAF = 4
"""Triangles in a leaf [-]."""

TOUCH = 1e-9
"""Triangles that reach through each other by less than this share of the whole only touch [-]."""

Hit = tuple[int, float, Vector]
"""(place in the tree or -1, squared distance, point on the triangle)."""


class Tree(NamedTuple):
    """low, high (nodes, 3) boxes; order (n,) triangle at each place; corners (n, 3, 3) and unit
    normals (n, 3) by place; levels, the depth of the leaves."""

    low: Floats
    high: Floats
    order: Ints
    corners: Floats
    normals: Floats
    levels: int


def tree_of(corners: Floats) -> Tree:
    """The tree over triangles with these corners (n, 3, 3); n may be nought."""
    corners = np.ascontiguousarray(corners, dtype=np.float64).reshape(-1, 3, 3)
    levels = 0
    while len(corners) > LEAF << levels:
        levels += 1
    order = np.arange(len(corners), dtype=np.int64)
    _sort_by_median(corners.sum(axis=1), order, levels)
    placed = np.ascontiguousarray(corners[order])
    vectors = np.cross(placed[:, 1] - placed[:, 0], placed[:, 2] - placed[:, 0])
    lengths = np.linalg.norm(vectors, axis=1)
    normals = vectors / np.where(lengths > 0, lengths, 1.0)[:, None]
    low = np.full(((2 << levels) - 1, 3), np.inf)
    high = np.full(((2 << levels) - 1, 3), -np.inf)
    _fill_boxes(placed.min(axis=1), placed.max(axis=1), low, high, levels)
    return Tree(low, high, order, placed, normals, levels)


def nearest(tree: Tree, points: Floats) -> tuple[Ints, Floats, Floats]:
    """For each point (n, 3): the nearest triangle (n,), its distance (n,), the point on it (n, 3)."""
    points = np.ascontiguousarray(points, dtype=np.float64).reshape(-1, 3)
    place, squared, foot = _nearest_all(tree, points)
    return tree.order[place], np.sqrt(squared), foot


def ray_lengths(tree: Tree, origins: Floats, directions: Floats, leaving: bool) -> Floats:
    """Distance (n,) along each unit direction to the first triangle that the ray crosses from the
    inside out (`leaving`) or from the outside in; inf where there is none."""
    return np.asarray(_ray_lengths(tree, origins, directions, leaving))


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


@njit(cache=True)
def _sort_by_median(keys: Floats, order: Ints, levels: int) -> None:
    n = len(order)
    for level in range(levels):
        for node in range(1 << level):
            first = (n * node) >> level
            last = (n * (node + 1)) >> level
            middle = (n * (2 * node + 1)) >> (level + 1)
            _select(keys, order, first, last - 1, middle, _longest_side(keys, order, first, last))


@njit(cache=True)
def _longest_side(keys: Floats, order: Ints, first: int, last: int) -> int:
    side = 0
    longest = -1.0
    for axis in range(3):
        low = np.inf
        high = -np.inf
        for k in range(first, last):
            low = min(low, keys[order[k], axis])
            high = max(high, keys[order[k], axis])
        if high - low > longest:
            longest = high - low
            side = axis
    return side


@njit(cache=True)
def _select(keys: Floats, order: Ints, left: int, right: int, middle: int, axis: int) -> None:
    """Quickselect: the `middle`-th smallest key to its place, smaller before, larger behind."""
    while left < right:
        pivot = keys[order[(left + right) // 2], axis]
        i = left
        j = right
        while i <= j:
            while keys[order[i], axis] < pivot:
                i += 1
            while keys[order[j], axis] > pivot:
                j -= 1
            if i <= j:
                order[i], order[j] = order[j], order[i]
                i += 1
                j -= 1
        if middle <= j:
            right = j
        elif middle >= i:
            left = i
        else:
            return


@njit(cache=True)
def _fill_boxes(lows: Floats, highs: Floats, low: Floats, high: Floats, levels: int) -> None:
    n = len(lows)
    first_leaf = (1 << levels) - 1
    for leaf in range(1 << levels):
        for k in range((n * leaf) >> levels, (n * (leaf + 1)) >> levels):
            for axis in range(3):
                node = first_leaf + leaf
                low[node, axis] = min(low[node, axis], lows[k, axis])
                high[node, axis] = max(high[node, axis], highs[k, axis])
    for node in range(first_leaf - 1, -1, -1):
        for axis in range(3):
            low[node, axis] = min(low[2 * node + 1, axis], low[2 * node + 2, axis])
            high[node, axis] = max(high[2 * node + 1, axis], high[2 * node + 2, axis])


@njit(cache=True)
def _box_distance(tree: Tree, node: int, point: Vector) -> float:
    squared = 0.0
    for axis in range(3):
        away = max(tree.low[node, axis] - point[axis], 0.0, point[axis] - tree.high[node, axis])
        squared += away * away
    return squared


@njit(cache=True)
def closest(tree: Tree, point: Vector, normal: Vector, facing: float, limit: float) -> Hit:
    """The nearest triangle within the squared distance `limit` whose unit normal has at least the
    cosine `facing` with `normal` (-2 for any); place -1 where there is none."""
    best = (-1, limit, point)
    if len(tree.order) == 0:
        return best
    stack = np.zeros(64, dtype=np.int64)
    reach = np.zeros(64)
    top = 1
    reach[0] = _box_distance(tree, 0, point)
    first_leaf = (1 << tree.levels) - 1
    while top > 0:
        top -= 1
        node = stack[top]
        if reach[top] >= best[1]:
            continue
        if node >= first_leaf:
            best = _closest_in_leaf(tree, node - first_leaf, point, normal, facing, best)
            continue
        near = 2 * node + 1
        far = near + 1
        to_near = _box_distance(tree, near, point)
        to_far = _box_distance(tree, far, point)
        if to_far < to_near:
            near, far = far, near
            to_near, to_far = to_far, to_near
        stack[top], reach[top] = far, to_far
        stack[top + 1], reach[top + 1] = near, to_near
        top += 2
    return best


@njit(cache=True)
def _closest_in_leaf(
    tree: Tree, leaf: int, point: Vector, normal: Vector, facing: float, best: Hit
) -> Hit:
    n = len(tree.order)
    for k in range((n * leaf) >> tree.levels, (n * (leaf + 1)) >> tree.levels):
        if facing > -1.5 and dot(row(tree.normals, k), normal) < facing:
            continue
        a, b, c = corners_at(tree, k)
        v, w = barycentric(a, b, c, point)
        u = 1.0 - v - w
        foot = (
            u * a[0] + v * b[0] + w * c[0],
            u * a[1] + v * b[1] + w * c[1],
            u * a[2] + v * b[2] + w * c[2],
        )
        away = minus(foot, point)
        squared = dot(away, away)
        if squared < best[1]:
            best = (k, squared, foot)
    return best


@njit(cache=True)
def corners_at(tree: Tree, k: int) -> tuple[Vector, Vector, Vector]:
    """The corners of the triangle at place k."""
    three = tree.corners[k]
    return row(three, 0), row(three, 1), row(three, 2)


@njit(cache=True)
def barycentric(a: Vector, b: Vector, c: Vector, point: Vector) -> tuple[float, float]:
    """Weights of b and c at the point of the triangle that is nearest to `point`."""
    ab = minus(b, a)
    ac = minus(c, a)
    d1, d2 = dot(ab, minus(point, a)), dot(ac, minus(point, a))
    d3, d4 = dot(ab, minus(point, b)), dot(ac, minus(point, b))
    d5, d6 = dot(ab, minus(point, c)), dot(ac, minus(point, c))
    if d1 <= 0.0 and d2 <= 0.0:
        return 0.0, 0.0
    if d3 >= 0.0 and d4 <= d3:
        return 1.0, 0.0
    if d6 >= 0.0 and d5 <= d6:
        return 0.0, 1.0
    vc = d1 * d4 - d3 * d2
    if vc <= 0.0 and d1 >= 0.0 and d3 <= 0.0:
        return d1 / (d1 - d3), 0.0
    vb = d5 * d2 - d1 * d6
    if vb <= 0.0 and d2 >= 0.0 and d6 <= 0.0:
        return 0.0, d2 / (d2 - d6)
    va = d3 * d6 - d5 * d4
    if va <= 0.0 and d4 >= d3 and d5 >= d6:
        w = (d4 - d3) / ((d4 - d3) + (d5 - d6))
        return 1.0 - w, w
    return vb / (va + vb + vc), vc / (va + vb + vc)


@njit(cache=True)
def _nearest_all(tree: Tree, points: Floats) -> tuple[Ints, Floats, Floats]:
    place = np.zeros(len(points), dtype=np.int64)
    squared = np.zeros(len(points))
    foot = np.zeros((len(points), 3))
    for k in range(len(points)):
        hit = closest(tree, row(points, k), (0.0, 0.0, 0.0), -2.0, np.inf)
        place[k], squared[k] = hit[0], hit[1]
        foot[k, 0], foot[k, 1], foot[k, 2] = hit[2]
    return place, squared, foot


@njit(cache=True)
def _ray_lengths(tree: Tree, origins: Floats, directions: Floats, leaving: bool) -> Floats:
    lengths = np.full(len(origins), np.inf)
    stack = np.zeros(64, dtype=np.int64)
    for k in range(len(origins)):
        lengths[k] = _first_hit(tree, row(origins, k), row(directions, k), leaving, stack)
    return lengths


@njit(cache=True)
def _first_hit(tree: Tree, origin: Vector, direction: Vector, leaving: bool, stack: Ints) -> float:
    best = np.inf
    n = len(tree.order)
    first_leaf = (1 << tree.levels) - 1
    stack[0] = 0
    top = 1
    while top > 0:
        top -= 1
        node = stack[top]
        if not _ray_meets_box(tree, node, origin, direction, best):
            continue
        if node < first_leaf:
            stack[top] = 2 * node + 1
            stack[top + 1] = 2 * node + 2
            top += 2
            continue
        leaf = node - first_leaf
        for k in range((n * leaf) >> tree.levels, (n * (leaf + 1)) >> tree.levels):
            cosine = dot(row(tree.normals, k), direction)
            if (cosine > 1e-9) if leaving else (cosine < -1e-9):
                best = min(best, _ray_meets_triangle(tree, k, origin, direction))
    return best


@njit(cache=True)
def _ray_meets_box(tree: Tree, node: int, origin: Vector, direction: Vector, end: float) -> bool:
    start = 0.0
    for axis in range(3):
        if abs(direction[axis]) < 1e-300:
            if origin[axis] < tree.low[node, axis] or origin[axis] > tree.high[node, axis]:
                return False
            continue
        one = (tree.low[node, axis] - origin[axis]) / direction[axis]
        two = (tree.high[node, axis] - origin[axis]) / direction[axis]
        start = max(start, min(one, two))
        end = min(end, max(one, two))
    return start <= end


@njit(cache=True)
def _ray_meets_triangle(tree: Tree, k: int, origin: Vector, direction: Vector) -> float:
    """Distance along the ray to the triangle, inf where it passes by (Möller, Trumbore 1997)."""
    a, b, c = corners_at(tree, k)
    one = minus(b, a)
    two = minus(c, a)
    across = cross(direction, two)
    determinant = dot(one, across)
    if abs(determinant) < 1e-300:
        return np.inf
    offset = minus(origin, a)
    other = cross(offset, one)
    u = dot(offset, across) / determinant
    v = dot(direction, other) / determinant
    reached = dot(two, other) / determinant
    if u < -1e-9 or v < -1e-9 or u + v > 1.0 + 1e-9 or reached <= 0.0:
        return np.inf
    return reached


@njit(cache=True)
def _crossings(tree: Tree, triangles: Ints, pairs: Ints) -> int:
    """Fills `pairs` as far as it reaches and returns how many there are."""
    count = 0
    stack = np.zeros(64, dtype=np.int64)
    first_leaf = (1 << tree.levels) - 1
    n = len(triangles)
    for k in range(n):
        stack[0] = 0
        top = 1
        while top > 0:
            top -= 1
            node = stack[top]
            if not _box_meets_triangle(tree, node, k):
                continue
            if node < first_leaf:
                stack[top] = 2 * node + 1
                stack[top + 1] = 2 * node + 2
                top += 2
                continue
            leaf = node - first_leaf
            for other in range((n * leaf) >> tree.levels, (n * (leaf + 1)) >> tree.levels):
                if other > k and _cross(tree, triangles, k, other):
                    if count < len(pairs):
                        pairs[count, 0], pairs[count, 1] = k, other
                    count += 1
    return count


@njit(cache=True)
def _box_meets_triangle(tree: Tree, node: int, k: int) -> bool:
    a, b, c = corners_at(tree, k)
    for axis in range(3):
        if tree.low[node, axis] > max(a[axis], b[axis], c[axis]):
            return False
        if tree.high[node, axis] < min(a[axis], b[axis], c[axis]):
            return False
    return True


@njit(cache=True)
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


@njit(cache=True)
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


@njit(cache=True)
def _stranger(triangles: Ints, i: int, j: int) -> int:
    """Which corner of triangle i triangle j does not have."""
    for p in range(3):
        if not _names(triangles, j, triangles[i, p]):
            return p
    return 0


@njit(cache=True)
def _names(triangles: Ints, k: int, vertex: int) -> bool:
    return bool(triangles[k, 0] == vertex or triangles[k, 1] == vertex or triangles[k, 2] == vertex)


@njit(cache=True)
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


@njit(cache=True)
def _breadth(tree: Tree) -> float:
    return distance(row(tree.low, 0), row(tree.high, 0))


@njit(cache=True)
def _volume(a: Vector, b: Vector, c: Vector, d: Vector) -> float:
    """Six times the signed volume of a tetrahedron."""
    return dot(area_vector(a, b, c), minus(d, a))
