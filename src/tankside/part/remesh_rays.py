"""How far a ray runs until it meets a surface (Möller and Trumbore 1997)."""

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.part.remesh_kernels import inner, kernel
from tankside.part.remesh_tree import Tree, corners_at
from tankside.part.remesh_vectors import Vector, cross, dot, minus, row


def ray_lengths(tree: Tree, origins: Floats, directions: Floats, leaving: bool) -> Floats:
    """Distance (n,) along each unit direction to the first triangle that the ray crosses from the
    inside out (`leaving`) or from the outside in; inf where there is none."""
    lengths = np.full(len(origins), np.inf)
    _measure(tree, origins, directions, leaving, lengths)
    return lengths


@kernel
def _measure(
    tree: Tree, origins: Floats, directions: Floats, leaving: bool, lengths: Floats
) -> None:
    stack = np.zeros(64, dtype=np.int64)
    for k in range(len(origins)):
        lengths[k] = _first_hit(tree, row(origins, k), row(directions, k), leaving, stack)


@inner
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


@inner
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


@inner
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
