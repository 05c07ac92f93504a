"""Points spread over a surface, and how far two surfaces are apart."""

import numpy as np

from tankside.base.arrays import Floats
from tankside.part.mesh import TriangleMesh
from tankside.part.remesh_tree import nearest, tree_of

SAMPLES = 50_000
"""Points spread over each surface when their distance is measured [-]."""


def largest_distance(one: TriangleMesh, two: TriangleMesh) -> float:
    """The largest distance found between two surfaces, from samples of each to the other."""
    return max(_farthest(one, two), _farthest(two, one))


def largest_distance_on(
    mesh: TriangleMesh, skin: TriangleMesh, near: float, other: TriangleMesh
) -> float:
    """The largest distance found from those points of a mesh that lie within `near` of its skin to
    another surface."""
    points = spread_points(mesh, SAMPLES)
    on_skin = nearest(tree_of(skin.corners), points)[1] < near
    if not on_skin.any():
        return 0.0
    return float(nearest(tree_of(other.corners), points[on_skin])[1].max())


def _farthest(start: TriangleMesh, end: TriangleMesh) -> float:
    corners = start.corners
    middles = (corners + np.roll(corners, 1, axis=1)) / 2
    points = np.concatenate(
        [start.vertices, start.centroids, middles.reshape(-1, 3), spread_points(start, SAMPLES)]
    )
    return float(nearest(tree_of(end.corners), points)[1].max())


def spread_points(mesh: TriangleMesh, count: int) -> Floats:
    """Points (count, 3) [m] spread over a surface in proportion to area, the same every time."""
    return spread_with_normals(mesh, count)[0]


def spread_with_normals(mesh: TriangleMesh, count: int) -> tuple[Floats, Floats]:
    """Points (count, 3) [m] spread over a surface in proportion to area, and the normals there: a
    low-discrepancy sequence (Roberts 2018, generalised golden ratio) folded on to the triangles."""
    whole = np.cumsum(mesh.areas)
    k = np.arange(count)
    place = np.searchsorted(whole, (k + 0.5) / count * whole[-1])
    place = np.minimum(place, len(whole) - 1)
    u, v = (k * 0.7548776662466927) % 1.0, (k * 0.5698402909980532) % 1.0
    over = u + v > 1
    u, v = np.where(over, 1 - u, u), np.where(over, 1 - v, v)
    a, b, c = (mesh.corners[place, j] for j in range(3))
    points = a + u[:, None] * (b - a) + v[:, None] * (c - a)
    return np.asarray(points), mesh.normals[place]
