"""Nearest places on surfaces and lines, by a tree of boxes that is built once."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.part.mesh import TriangleMesh


class Nearness:
    """Answers how far points lie from a set of triangles (or of segments, as flat triangles)."""

    def __init__(self, vertices: Floats, triangles: Ints) -> None:
        import igl

        self._vertices = np.array(vertices, dtype=np.float64, order="C")
        self._triangles = np.array(triangles, dtype=np.int64, order="C")
        self._tree: Any = igl.AABB()
        if len(self._triangles):
            self._tree.init(self._vertices, self._triangles)

    @classmethod
    def to_meshes(cls, meshes: Sequence[TriangleMesh]) -> "Nearness":
        """Of several meshes together."""
        starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes)])
        triangles = [m.triangles + start for m, start in zip(meshes, starts, strict=False)]
        return cls(
            np.concatenate([np.zeros((0, 3)), *(mesh.vertices for mesh in meshes)]),
            np.concatenate([np.zeros((0, 3), dtype=np.int64), *triangles]),
        )

    @classmethod
    def to_segments(cls, ends: Floats) -> "Nearness":
        """Of segments given by their two ends (n, 2, 3) [m]."""
        numbers = np.arange(2 * len(ends)).reshape(-1, 2)
        return cls(np.reshape(ends, (-1, 3)), numbers[:, [0, 1, 1]])

    def distances(self, points: Floats) -> Floats:
        """Distance of each point (n,) [m]; infinity where there is nothing."""
        if not len(self._triangles) or not len(points):
            return np.full(len(points), np.inf)
        squared, _, _ = self._asked(points)
        return np.sqrt(np.maximum(squared, 0.0))

    def all_beyond(self, points: Floats, limit: Floats) -> bool:
        """True where every point lies at least its limit (n,) [m] away; cheap for far points."""
        if not len(self._triangles) or not len(points):
            return True
        low, high = self._vertices.min(axis=0), self._vertices.max(axis=0)
        near = ((points > low - limit[:, None]) & (points < high + limit[:, None])).all(axis=1)
        return bool((self.distances(points[near]) >= limit[near]).all())

    def nearest(self, points: Floats) -> tuple[Floats, Ints, Floats]:
        """Distance (n,) [m], number of the triangle (n,), and the place on it (n, 3) [m]."""
        squared, triangle, place = self._asked(points)
        return np.sqrt(np.maximum(squared, 0.0)), triangle, place

    def _asked(self, points: Floats) -> tuple[Floats, Ints, Floats]:
        asked = np.array(points, dtype=np.float64, order="C").reshape(-1, 3)
        squared, triangle, place = self._tree.squared_distance(
            self._vertices, self._triangles, asked
        )
        return (
            np.asarray(squared, dtype=np.float64).reshape(-1),
            np.asarray(triangle, dtype=np.int64).reshape(-1),
            np.asarray(place, dtype=np.float64).reshape(-1, 3),
        )
