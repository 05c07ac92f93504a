"""The first triangle that a ray meets.

A thin wrapper of libigl's tree of boxes: a ray costs about two microseconds. Directions need not be
unit vectors; distances are in their lengths. The library takes triangles whose determinant is below
a fixed number for edge-on, whatever their unit, so the mesh is handed over a million units across.
"""

from typing import Any

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.part.mesh import TriangleMesh

_ACROSS = 1e6


class RayTree:
    """A mesh made ready for rays."""

    def __init__(self, mesh: TriangleMesh) -> None:
        import igl

        low, high = mesh.box
        self._origin = low
        self._scale = _ACROSS / max(float(np.linalg.norm(high - low)), np.finfo(float).tiny)
        self._vertices = np.ascontiguousarray((mesh.vertices - low) * self._scale)
        self._triangles = np.ascontiguousarray(mesh.triangles)
        self._tree: Any = igl.AABB()
        self._tree.init(self._vertices, self._triangles)

    def first_hits(self, origins: Floats, directions: Floats) -> tuple[Ints, Floats]:
        """(triangle (n,), distance (n,)) of the first hit of rays (n, 3); -1 and infinity where a
        ray meets nothing."""
        if not len(origins):
            return np.zeros(0, np.int64), np.zeros(0)
        hit, distance, _ = self._tree.intersect_ray_first(
            self._vertices,
            self._triangles,
            np.ascontiguousarray((origins - self._origin) * self._scale),
            np.ascontiguousarray(directions),
        )
        return np.asarray(hit, dtype=np.int64), np.where(hit >= 0, distance / self._scale, np.inf)
