"""How thick the walls of a part are, and where they are thin.

From points spread over the skin a ray goes inwards, square to the surface, to the far side of the
wall. Only where the far side faces away within 30 degrees is the way a wall's thickness: towards a
sharp edge every distance goes to nothing, and that is no wall. Printed walls under about a
millimetre bend, leak and hold little heat; that limit is common practice, without a source.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, Ints, frozen_floats
from tankside.part.mesh import TriangleMesh
from tankside.part.rays import RayTree
from tankside.part.sampling import spread_points

THIN = 1e-3
"""Walls below this thickness are called thin [m]. Common practice, no source."""

_POINTS = 12_000
_OPPOSED = np.cos(np.pi / 6)


@dataclass(frozen=True, kw_only=True)
class Walls:
    """thinnest wall met [m] and where (3,) [m]; thin_limit [m] and the share of the measured area
    whose wall is thinner [-]; the median thickness [m]; the share of the area that has a wall to
    measure [-]."""

    thinnest: float
    where: Floats
    thin_limit: float
    thin_area_fraction: float
    median: float
    measured_area_fraction: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "where", frozen_floats(self.where))


def walls_of(
    mesh: TriangleMesh, triangles: Ints, *, thin: float = THIN, points: int = _POINTS
) -> Walls | None:
    """Thickness under some triangles, all of which face outwards; None where no wall is met."""
    low, high = mesh.box
    skin = spread_points(mesh, triangles, points)
    clearance = 1e-7 * float(np.linalg.norm(high - low))
    hit, distance = RayTree(mesh).first_hits(skin.points - clearance * skin.normals, -skin.normals)
    facing = np.einsum("ij,ij->i", skin.normals, mesh.normals[hit])
    wall = (hit >= 0) & (facing < -_OPPOSED)
    if not wall.any():
        return None
    thickness = distance[wall] + clearance
    weights = skin.weights[wall]
    thinnest = int(np.argmin(thickness))
    return Walls(
        thinnest=float(thickness[thinnest]),
        where=skin.points[wall][thinnest],
        thin_limit=thin,
        thin_area_fraction=_share(weights, thickness < thin),
        median=_median(thickness, weights),
        measured_area_fraction=float(weights.sum() / skin.weights.sum()),
    )


def _share(weights: Floats, thin: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> float:
    total = float(weights.sum())
    return float(weights[thin].sum() / total) if total > 0 else float(thin.mean())


def _median(values: Floats, weights: Floats) -> float:
    order = np.argsort(values)
    cumulative = np.cumsum(weights[order])
    return float(values[order[np.searchsorted(cumulative, cumulative[-1] / 2)]])
