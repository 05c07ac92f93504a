"""A tree of boxes over triangles, and the nearest point on them.

The tree is a complete binary one, split at the median of the longest side of the centroids' box,
so that it holds no pointers: node i has the children 2i + 1 and 2i + 2. A triangle whose corners
coincide stands for a segment or a point. Everything runs on one thread and gives the same answer
every time. Searched branch-and-bound; point to triangle after Ericson, Real-Time Collision
Detection (2005), section 5.1.5.
"""

from typing import NamedTuple

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.part.remesh_kernels import inner, kernel
from tankside.part.remesh_vectors import (
    Vector,
    dot,
    minus,
    row,
)

LEAF = 4
"""Triangles in a leaf [-]."""

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
    """The nearest triangle (n,) to each point (n, 3), its distance (n,), the point on it (n, 3)."""
    points = np.ascontiguousarray(points, dtype=np.float64).reshape(-1, 3)
    place = np.zeros(len(points), dtype=np.int64)
    squared, foot = np.zeros(len(points)), np.zeros((len(points), 3))
    _find_nearest(tree, points, place, squared, foot)
    return tree.order[place], np.sqrt(squared), foot


@kernel
def _sort_by_median(keys: Floats, order: Ints, levels: int) -> None:
    n = len(order)
    for level in range(levels):
        for node in range(1 << level):
            first = (n * node) >> level
            last = (n * (node + 1)) >> level
            middle = (n * (2 * node + 1)) >> (level + 1)
            _select(keys, order, first, last - 1, middle, _longest_side(keys, order, first, last))


@inner
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


@inner
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


@kernel
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


@inner
def _box_distance(tree: Tree, node: int, point: Vector) -> float:
    squared = 0.0
    for axis in range(3):
        away = max(tree.low[node, axis] - point[axis], 0.0, point[axis] - tree.high[node, axis])
        squared += away * away
    return squared


@inner
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


@inner
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


@inner
def corners_at(tree: Tree, k: int) -> tuple[Vector, Vector, Vector]:
    """The corners of the triangle at place k."""
    three = tree.corners[k]
    return row(three, 0), row(three, 1), row(three, 2)


@inner
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


@kernel
def _find_nearest(tree: Tree, points: Floats, place: Ints, squared: Floats, foot: Floats) -> None:
    for k in range(len(points)):
        hit = closest(tree, row(points, k), (0.0, 0.0, 0.0), -2.0, np.inf)
        place[k], squared[k] = hit[0], hit[1]
        foot[k, 0], foot[k, 1], foot[k, 2] = hit[2]
