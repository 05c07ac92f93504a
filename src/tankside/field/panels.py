"""The boundary of the solution as flat triangular panels, with what the integrals need of each.

Normals point out of the bodies and INTO the solution. The liquid's surface, where there is one, is
the plane z = mirror_level: every panel has an image above it, and the plane itself has no panels.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tankside.base.arrays import Floats, Ints, frozen_floats, frozen_ints
from tankside.base.errors import MeshDefect


@dataclass(frozen=True, kw_only=True)
class Panels:
    """corners (n, 3, 3) [m], anticlockwise seen from the solution; group (n,) int, panels of one
    group belong to one body; mirror_level [m] or None."""

    corners: Floats
    group: Ints
    mirror_level: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "corners", frozen_floats(self.corners).reshape(-1, 3, 3))
        object.__setattr__(self, "group", frozen_ints(self.group).reshape(-1))
        if len(self.group) != len(self.corners):
            raise MeshDefect(
                "{count} panels have {numbers} group numbers",
                count=len(self.corners),
                numbers=len(self.group),
            )
        if len(self.corners) and not self.areas.min() > 0:
            raise MeshDefect("{count} panels have no area", count=int((self.areas <= 0).sum()))

    def __len__(self) -> int:
        return len(self.corners)

    @cached_property
    def _area_vectors(self) -> Floats:
        a, b, c = (self.corners[:, k] for k in range(3))
        return frozen_floats(np.cross(b - a, c - a) / 2)

    @cached_property
    def areas(self) -> Floats:
        """(n,) [m²]."""
        return frozen_floats(np.linalg.norm(self._area_vectors, axis=1))

    @cached_property
    def normals(self) -> Floats:
        """Unit normals into the solution (n, 3) [-]."""
        return frozen_floats(self._area_vectors / self.areas[:, None])

    @cached_property
    def centroids(self) -> Floats:
        """Collocation points (n, 3) [m]."""
        return frozen_floats(self.corners.mean(axis=1))

    @cached_property
    def sizes(self) -> Floats:
        """Longest edge of each panel (n,) [m]."""
        edges = self.corners - np.roll(self.corners, 1, axis=1)
        return frozen_floats(np.linalg.norm(edges, axis=2).max(axis=1))
