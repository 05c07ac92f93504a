"""The analysis surface: the skin of a part as the field solver needs it.

Closed, outer skin only, normals out, well-shaped triangles, and a map from each of its triangles
back to the nearest triangle of the mesh that was loaded.
"""

from dataclasses import dataclass

from tankside.base.arrays import Ints, frozen_ints
from tankside.part.mesh import TriangleMesh


@dataclass(frozen=True, kw_only=True)
class AnalysisSurface:
    """What `analysis_surface` returns.

    mesh                       closed skin [m], normals out of the part
    original_triangle          (nt,) nearest triangle of the loaded mesh, per triangle
    route                      "direct" for whole input, "level set" for broken input
    largest_distance           largest distance found between the two surfaces, from samples of each
                               to the other; over openings closed by a level set, to its cap [m]
    area_change                skin area over the original outer area (by the level set where that
                               was the way), minus 1 [-]
    smallest_angle_5_percent   angle that 95 % of the triangles' smallest angles exceed [rad]
    notes                      what was given up or assumed, in sentences
    """

    mesh: TriangleMesh
    original_triangle: Ints
    route: str
    largest_distance: float
    area_change: float
    smallest_angle_5_percent: float
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "original_triangle", frozen_ints(self.original_triangle))
