"""A triangle mesh as a value: corners in metres, triangles as corner numbers.

Triangles run anticlockwise seen from outside, so that the normal points out of the solid. Nothing
here repairs, merges or reorders: what was given is what is held.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tankside.base.arrays import Floats, Ints, frozen_floats, frozen_ints
from tankside.base.errors import BadInput


@dataclass(frozen=True, kw_only=True)
class TriangleMesh:
    """vertices (nv, 3) float64 [m]; triangles (nt, 3) int64, indices into vertices. Read-only."""

    vertices: Floats
    triangles: Ints

    def __post_init__(self) -> None:
        object.__setattr__(self, "vertices", frozen_floats(self.vertices).reshape(-1, 3))
        object.__setattr__(self, "triangles", frozen_ints(self.triangles).reshape(-1, 3))
        if not np.isfinite(self.vertices).all():
            raise BadInput("the mesh has corners that are not finite numbers")
        if self.triangles.size and not (
            self.triangles.min() >= 0 and self.triangles.max() < len(self.vertices)
        ):
            raise BadInput("the mesh names corners that it does not hold")

    @cached_property
    def corners(self) -> Floats:
        """Corner positions of each triangle (nt, 3, 3) [m]."""
        return frozen_floats(self.vertices[self.triangles])

    @cached_property
    def area_vectors(self) -> Floats:
        """Normal times area of each triangle (nt, 3) [m²]."""
        a, b, c = (self.corners[:, k] for k in range(3))
        return frozen_floats(np.cross(b - a, c - a) / 2)

    @cached_property
    def areas(self) -> Floats:
        """Area of each triangle (nt,) [m²]."""
        return frozen_floats(np.linalg.norm(self.area_vectors, axis=1))

    @cached_property
    def normals(self) -> Floats:
        """Unit normal of each triangle (nt, 3) [-]; zero where a triangle has no area."""
        lengths = np.where(self.areas > 0, self.areas, 1.0)
        return frozen_floats(self.area_vectors / lengths[:, None])

    @cached_property
    def centroids(self) -> Floats:
        """Centroid of each triangle (nt, 3) [m]."""
        return frozen_floats(self.corners.mean(axis=1))

    @property
    def area(self) -> float:
        """Sum of the triangles' areas [m²]."""
        return float(self.areas.sum())

    @property
    def signed_volume(self) -> float:
        """Volume by the divergence theorem [m³]; means something only for a closed mesh."""
        return float(np.einsum("ij,ij->", self.centroids, self.area_vectors) / 3)

    @property
    def box(self) -> tuple[Floats, Floats]:
        """Lowest and highest corner of the bounding box, each (3,) [m]."""
        return frozen_floats(self.vertices.min(axis=0)), frozen_floats(self.vertices.max(axis=0))

    def moved(self, rotation: Floats, shift: Floats) -> "TriangleMesh":
        """The mesh turned by a rotation matrix (3, 3), then shifted by (3,) [m]."""
        return TriangleMesh(
            vertices=self.vertices @ np.asarray(rotation).T + np.asarray(shift),
            triangles=self.triangles,
        )

    def flipped(self) -> "TriangleMesh":
        """The mesh with every normal turned round."""
        return TriangleMesh(vertices=self.vertices, triangles=self.triangles[:, ::-1])
