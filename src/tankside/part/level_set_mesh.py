"""From values on a grid to a closed surface whose sharp edges are sharp.

Marching cubes (scikit-image) says which patches the level set has in which cell; each patch becomes
one vertex and each crossed grid edge one quadrangle (dual marching cubes, Nielson 2004). A vertex
goes where the planes of the original's nearest triangles meet in its cell (the quadric error of
Garland and Heckbert 1997, as in dual contouring, Ju et al. 2002), so that edges and corners come
back; where the original is far, as over a closed hole, it stays in the middle of its patch.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from tankside.base.arrays import Floats, Ints
from tankside.part.remesh_crossings import crossings
from tankside.part.remesh_tree import Tree, nearest, tree_of
from tankside.part.welding import same_place

FLAT_SHARE = 0.05
"""Directions whose share of the quadric is less than this are not moved along [-]."""

REACH = 0.3
"""How far a vertex may leave its cell for a sharp edge [cells]."""

NEAR = 1.0
"""A triangle within this many cells of the level set gives its plane [-]."""

_QUADRANTS = np.array([[0, 0], [1, 0], [1, 1], [0, 1]])
"""Cells around a grid edge, anticlockwise, by their offset along the two other axes."""


@dataclass(frozen=True, kw_only=True)
class Patches:
    """points (nv, 3) crossings of grid edges, in cells; patch of each corner, as pairs of point and
    patch (m,); cell (np, 3) of each patch; quads (nq, 4) of patches, wound outwards."""

    points: Floats
    pair_point: Ints
    pair_patch: Ints
    cell: Ints
    quads: Ints


def patches(values: Floats) -> Patches:
    """The patches of the level set nought of values (positive inside) on a grid with a border of
    negative ones."""
    from skimage import measure

    marching_cubes: Any = measure.marching_cubes
    points, triangles, _, _ = marching_cubes(values, 0.0)
    points, triangles = points.astype(np.float64), triangles.astype(np.int64)
    cell_of = np.floor(points[triangles].mean(axis=1)).astype(np.int64)
    label = _patch_labels(triangles, cell_of)
    cell = np.zeros((int(label.max()) + 1, 3), dtype=np.int64)
    cell[label] = cell_of
    pairs = np.unique(triangles.reshape(-1) * len(cell) + np.repeat(label, 3))
    pair_point, pair_patch = pairs // len(cell), pairs % len(cell)
    return Patches(
        points=points,
        pair_point=pair_point,
        pair_patch=pair_patch,
        cell=cell,
        quads=_quads(values, points, cell, pair_point, pair_patch),
    )


def _patch_labels(triangles: Ints, cell: Ints) -> Ints:
    """Which triangles hang together within one cell."""
    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    size = int(triangles.max()) + 1
    keys = np.minimum(start, end) * size + np.maximum(start, end)
    order = np.argsort(keys, kind="stable")
    same = keys[order[1:]] == keys[order[:-1]]
    one, two = order[:-1][same] // 3, order[1:][same] // 3
    together = (cell[one] == cell[two]).all(axis=1)
    count = len(triangles)
    graph = coo_array(
        (np.ones(int(together.sum())), (one[together], two[together])), shape=(count, count)
    )
    return np.asarray(connected_components(graph, directed=False)[1], dtype=np.int64)


def _quads(values: Floats, points: Floats, cell: Ints, pair_point: Ints, pair_patch: Ints) -> Ints:
    """The four patches around each crossed grid edge, wound outwards."""
    on_edge = (points != np.floor(points)).sum(axis=1) == 1
    chosen = on_edge[pair_point]
    pair_point, pair_patch = pair_point[chosen], pair_patch[chosen]
    axis = (points != np.floor(points)).argmax(axis=1)[pair_point]
    lower = np.floor(points[pair_point]).astype(np.int64)
    offset = cell[pair_patch] - lower + 1
    rows = np.arange(len(offset))
    one, two = offset[rows, (axis + 1) % 3], offset[rows, (axis + 2) % 3]
    quadrant = np.where(two == 0, one, 3 - one)
    order = np.lexsort((quadrant, pair_point))
    point, count = np.unique(pair_point, return_counts=True)
    four = np.repeat(count == 4, count)
    quads = pair_patch[order][four].reshape(-1, 4)
    point = point[count == 4]
    low = np.floor(points[point]).astype(np.int64)
    inside_below = values[low[:, 0], low[:, 1], low[:, 2]] > 0
    return np.asarray(np.where(inside_below[:, None], quads, quads[:, ::-1]))


def surface(found: Patches, tree: Tree, origin: Floats, width: float) -> tuple[Floats, Ints]:
    """Vertices [m] and triangles of the dual surface; `tree` is over the original mesh.

    Vertices may leave their cells a little for a sharp edge; those of triangles that then pass
    through each other, and those that meet in one place, are called back into their cells, and at
    last to the middle of their patch.
    """
    count = len(found.cell)
    number = np.bincount(found.pair_patch, minlength=count)
    middle = _summed(found.pair_patch, found.points[found.pair_point], count) / number[:, None]
    sharp = _at_planes(found, tree, origin, width, middle)
    choices = [
        np.clip(sharp, found.cell - reach, found.cell + 1 + reach) for reach in (REACH, -0.02)
    ]
    choices.append(middle)
    level = np.zeros(count, dtype=np.int64)
    while True:
        places = np.choose(level[:, None], choices)
        vertices = origin + width * places
        triangles = _best_halves(vertices, found.quads, tree)
        crossed = triangles[crossings(tree_of(vertices[triangles]), triangles).reshape(-1)]
        again = np.union1d(crossed, _sharing_a_place(vertices))
        again = again[level[again] < len(choices) - 1]
        if not len(again):
            return vertices, triangles
        level[again] += 1


def _sharing_a_place(vertices: Floats) -> Ints:
    _, number = same_place(vertices)
    return np.flatnonzero(np.bincount(number)[number] > 1)


def _summed(label: Ints, values: Floats, count: int) -> Floats:
    return np.stack(
        [np.bincount(label, weights=column, minlength=count) for column in values.T], axis=1
    )


def _at_planes(found: Patches, tree: Tree, origin: Floats, width: float, middle: Floats) -> Floats:
    """Where the planes at a patch's crossings meet [cells]."""
    count = len(found.cell)
    triangle, distance, foot = nearest(tree, origin + width * found.points)
    place = np.zeros(len(tree.order), dtype=np.int64)
    place[tree.order] = np.arange(len(tree.order))
    normal = np.where((distance < NEAR * width)[:, None], tree.normals[place[triangle]], 0.0)
    foot = (foot - origin) / width
    n = normal[found.pair_point]
    height = np.einsum("ij,ij->i", n, foot[found.pair_point] - middle[found.pair_patch])
    outer = (n[:, :, None] * n[:, None, :]).reshape(-1, 9)
    quadric = _summed(found.pair_patch, outer, count).reshape(-1, 3, 3)
    pull = _summed(found.pair_patch, n * height[:, None], count)
    value, vector = np.linalg.eigh(quadric)
    strong = value > FLAT_SHARE * np.maximum(value[:, 2:], 1e-12)
    part = np.einsum("nij,ni->nj", vector, pull)
    part = np.where(strong, part / np.where(strong, value, 1.0), 0.0)
    shift = np.einsum("nij,nj->ni", vector, part)
    return np.asarray(middle + shift)


def _best_halves(vertices: Floats, quads: Ints, tree: Tree) -> Ints:
    """Each quadrangle as two triangles, cut along the diagonal that lies nearer to the original, so
    that sharp edges are not cut across."""
    a, b, c, d = (vertices[quads[:, k]] for k in range(4))
    _, one, _ = nearest(tree, (a + c) / 2)
    _, two, _ = nearest(tree, (b + d) / 2)
    shorter = np.linalg.norm(a - c, axis=1) <= np.linalg.norm(b - d, axis=1)
    margin = 0.02 * float(np.median(np.linalg.norm(a - c, axis=1)))
    first = np.where(np.abs(one - two) > margin, one < two, shorter)
    along_ac = np.stack([quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]], axis=1)
    along_bd = np.stack([quads[:, [1, 2, 3]], quads[:, [1, 3, 0]]], axis=1)
    return np.where(first[:, None, None], along_ac, along_bd).reshape(-1, 3)
