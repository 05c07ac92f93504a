"""Points spread over a surface, the same ones each time.

Every triangle gets its centroid, up to a limit; large triangles get more points, one for each equal
share of the area, laid out by a low-discrepancy sequence (Roberts' R2). No randomness: a report of
the same mesh is the same report.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.part.mesh import TriangleMesh

_R2 = (0.7548776662466927, 0.5698402909980532)


@dataclass(frozen=True, kw_only=True)
class SurfacePoints:
    """points (n, 3) [m], the triangle each lies on (n,), its unit normal (n, 3), and the area that
    each stands for (n,) [m²], which adds up to the area sampled."""

    points: Floats
    triangle: Ints
    normals: Floats
    weights: Floats


def spread_points(mesh: TriangleMesh, triangles: Ints, count: int) -> SurfacePoints:
    """About `count` points over some triangles of a mesh, one for each equal share of their area,
    and one at the centroid of each triangle (of an even selection of them above `count`)."""
    with_area = triangles[mesh.areas[triangles] > 0]
    centred = with_area
    if len(with_area) > count:
        centred = with_area[np.linspace(0, len(with_area) - 1, count).astype(np.int64)]
    cumulative = np.cumsum(mesh.areas[with_area])
    total = float(cumulative[-1]) if len(cumulative) else 0.0
    marks = (np.arange(count) + 0.5) / count * total
    place = np.minimum(np.searchsorted(cumulative, marks), max(len(with_area) - 1, 0))
    owner = with_area[place] if len(with_area) else with_area
    corners = mesh.corners[owner]
    u, v = _fractions(len(owner))
    inner = (
        corners[:, 0] + u * (corners[:, 1] - corners[:, 0]) + v * (corners[:, 2] - corners[:, 0])
    )
    triangle = np.concatenate([owner, centred])
    weights = np.concatenate([np.full(len(owner), total / count), np.zeros(len(centred))])
    return SurfacePoints(
        points=np.concatenate([inner, mesh.centroids[centred]]),
        triangle=triangle,
        normals=mesh.normals[triangle],
        weights=weights,
    )


def _fractions(count: int) -> tuple[Floats, Floats]:
    """Barycentric coordinates (count, 1) each, spread evenly over the triangle."""
    index = np.arange(1, count + 1)[:, None]
    u, v = (index * _R2[0]) % 1.0, (index * _R2[1]) % 1.0
    over = u + v > 1
    return np.where(over, 1 - u, u), np.where(over, 1 - v, v)
