"""Graded triangle meshes of plane cells: rectilinear figures, slanted four-sided ones, and a figure
with a many-sided bar in it. No mesh generator: rows and columns, so that refining is exact.
"""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from skfem import MeshTri

Floats = NDArray[np.float64]


def graded(stops: tuple[float, ...], smallest: float, growth: float = 1.25) -> Floats:
    """Coordinates that hold every stop, with cells of about `smallest` beside each stop and growing
    by `growth` away from it."""
    out = [stops[0]]
    for start, end in pairwise(stops):
        half, steps = (end - start) / 2, [smallest]
        while sum(steps) < half:
            steps.append(steps[-1] * growth)
        one = np.cumsum(steps) * half / sum(steps)
        out.extend(start + one)
        out.extend(end - one[-2::-1])
        out.append(end)
    return np.array(out)


def rectilinear(
    x: Floats, y: Floats, inside: Callable[[Floats, Floats], NDArray[np.bool_]]
) -> MeshTri:
    """The cells of the grid x by y whose middles are inside, each cut into two triangles."""
    points = np.array(np.meshgrid(x, y, indexing="ij")).reshape(2, -1)
    return _triangles(points, len(x), len(y), inside)


def four_sided(corners: NDArray[np.float64], u: Floats, v: Floats) -> MeshTri:
    """Bilinear image of a graded unit square; corners (4, 2) anticlockwise from (u, v) = (0, 0)."""
    s, t = (grid.ravel() for grid in np.meshgrid(u, v, indexing="ij"))
    weights = np.array([(1 - s) * (1 - t), s * (1 - t), s * t, (1 - s) * t])
    points = corners.T @ weights
    return _triangles(points, len(u), len(v), lambda x, y: np.ones_like(x, dtype=bool))


def ring(inner: Floats, outer: Floats, along: Floats, outward: Floats) -> MeshTri:
    """Between two closed outlines of equally many corners (n, 2), each side cut at `along` and
    each way from inner to outer at `outward`, both from 0 to 1."""
    pieces = []
    for k in range(len(inner)):
        following = (k + 1) % len(inner)
        corners = np.array([inner[k], outer[k], outer[following], inner[following]])
        pieces.append(four_sided(corners, outward, along))
    return joined(*pieces)


def joined(*meshes: MeshTri) -> MeshTri:
    """One mesh, points that coincide to a picometre made one."""
    points = np.concatenate([mesh.p for mesh in meshes], axis=1)
    starts = np.cumsum([0] + [mesh.p.shape[1] for mesh in meshes[:-1]])
    triangles = np.concatenate(
        [mesh.t + start for mesh, start in zip(meshes, starts, strict=True)], axis=1
    )
    _, first, renumbered = np.unique(
        np.round(points * 1e12).astype(np.int64), axis=1, return_index=True, return_inverse=True
    )
    return MeshTri(
        np.ascontiguousarray(points[:, first]),
        np.ascontiguousarray(renumbered.reshape(-1)[triangles]),
    )


def _triangles(
    points: Floats, rows: int, columns: int, inside: Callable[[Floats, Floats], NDArray[np.bool_]]
) -> MeshTri:
    number = np.arange(rows * columns).reshape(rows, columns)
    corners = [number[:-1, :-1], number[1:, :-1], number[1:, 1:], number[:-1, 1:]]
    a, b, c, d = (corner.ravel() for corner in corners)
    middle = (points[:, a] + points[:, b] + points[:, c] + points[:, d]) / 4
    kept = inside(middle[0], middle[1])
    even = (np.add.outer(np.arange(rows - 1), np.arange(columns - 1)) % 2 == 0).ravel()
    first = np.where(even, np.array([a, b, c]), np.array([a, b, d]))[:, kept]
    second = np.where(even, np.array([a, c, d]), np.array([b, c, d]))[:, kept]
    return _without_unused(points, np.concatenate([first, second], axis=1))


def _without_unused(points: Floats, triangles: NDArray[np.int64]) -> MeshTri:
    used, renumbered = np.unique(triangles, return_inverse=True)
    return MeshTri(
        np.ascontiguousarray(points[:, used]),
        np.ascontiguousarray(renumbered.reshape(triangles.shape)),
    )
