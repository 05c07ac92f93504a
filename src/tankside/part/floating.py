"""What a print weighs, and whether it floats in the bath.

A print is a dense wall along its whole skin and an inside that is filled to a fraction. The share
of the volume that lies within the wall's thickness of the surface is found by asking points on a
lattice for their distance. Sealed cavities and the pores of the filling are taken as full of air:
where solution seeps in, the part gets heavier with time, which the notes say.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.base.messages import said
from tankside.part.measures import measured
from tankside.part.mesh import TriangleMesh

_LATTICE = (0.8191725133961645, 0.6710436067037893, 0.5497004779019703)
_POINTS_INSIDE, _MOST_POINTS = 15_000, 1_500_000


@dataclass(frozen=True, kw_only=True)
class Buoyancy:
    """A part in a liquid.

    mass              of the print in air [kg]
    displaced_mass    of the liquid whose place it takes [kg]
    wall_share        share of the material that is dense wall [-]
    notes             what the numbers lean on
    """

    mass: float
    displaced_mass: float
    liquid_density: float
    wall_share: float
    notes: tuple[str, ...]

    @property
    def floats(self) -> bool:
        """True where the liquid's lift is more than the weight."""
        return self.displaced_mass > self.mass

    @property
    def apparent_mass(self) -> float:
        """What a scale shows with the part in the liquid [kg]; negative where it floats."""
        return self.mass - self.displaced_mass

    def ballast_mass(self, density: float) -> float:
        """Mass of ballast of a density [kg/m³] that just holds the part down [kg]; 0 where it sinks
        by itself. BadInput where the ballast is no denser than the liquid."""
        if not density > self.liquid_density:
            raise BadInput(
                "ballast of {density:g} kg/m3 does not sink in a liquid of {liquid_density:g} "
                "kg/m3; use a denser one",
                density=density,
                liquid_density=self.liquid_density,
            )
        if not self.floats:
            return 0.0
        return -self.apparent_mass / (1 - self.liquid_density / density)


def buoyancy(
    mesh: TriangleMesh,
    *,
    print_density: float,
    infill: float,
    wall: float,
    liquid_density: float,
) -> Buoyancy:
    """Weight and lift of a closed mesh printed with a wall [m] and an infill fraction [-], in a
    liquid; densities [kg/m³]. BadInput for numbers that make no sense; MeshDefect for a mesh
    without a defined volume."""
    _check(print_density, infill, wall)
    if not 0 < liquid_density < np.inf:
        raise BadInput(
            "a liquid of {liquid_density} kg/m3 makes no sense", liquid_density=liquid_density
        )
    measures = measured(mesh)
    share = wall_share(mesh, wall) if infill < 1 else 1.0
    material = measures.material_volume.best
    mass = print_density * material * (share + infill * (1 - share))
    notes = [said("the inside of the print is taken as sealed: solution that seeps in adds weight")]
    if measures.cavity_volume.best > 0:
        notes.append(said("sealed cavities are taken as full of air"))
    return Buoyancy(
        mass=mass,
        displaced_mass=liquid_density * measures.outer_volume.best,
        liquid_density=liquid_density,
        wall_share=share,
        notes=(*notes, *measures.notes),
    )


def print_mass(mesh: TriangleMesh, *, density: float, infill: float, wall: float) -> float:
    """Mass of a print [kg] of a density [kg/m³], with walls [m] and an infill fraction [-]."""
    _check(density, infill, wall)
    share = wall_share(mesh, wall) if infill < 1 else 1.0
    return density * measured(mesh).material_volume.best * (share + infill * (1 - share))


def wall_share(mesh: TriangleMesh, wall: float) -> float:
    """Share of the inside of a closed mesh that lies within `wall` [m] of its surface [-]; found
    from some fifteen thousand points, so within about half a percent of the whole."""
    import igl

    if wall == 0:
        return 0.0
    low, high = mesh.box
    triangles = np.ascontiguousarray(mesh.triangles)
    count, inside = 2 * _POINTS_INSIDE, np.zeros((0, 3))
    while True:
        points = _lattice(low, high, count)
        winding = igl.fast_winding_number(mesh.vertices, triangles, points)
        inside = points[winding > 0.5]
        if len(inside) >= _POINTS_INSIDE or count >= _MOST_POINTS:
            break
        count = min(_MOST_POINTS, int(count * 1.2 * _POINTS_INSIDE / max(len(inside), 100)))
    if not len(inside):
        return 1.0
    squared = igl.point_mesh_squared_distance(inside, mesh.vertices, triangles)[0]
    return float((squared < wall**2).mean())


def _lattice(low: Floats, high: Floats, count: int) -> Floats:
    """Points (count, 3) spread evenly through a box (Roberts' R3 sequence)."""
    steps = np.arange(1, count + 1)[:, None] * np.array(_LATTICE)
    return np.asarray(low + (steps % 1.0) * (high - low))


def _check(density: float, infill: float, wall: float) -> None:
    if not 0 < density < np.inf:
        raise BadInput(
            "a print of {density} kg/m3 makes no sense; give a density above nought",
            density=density,
        )
    if not 0 <= infill <= 1:
        raise BadInput(
            "an infill of {infill} makes no sense; give a fraction from 0 to 1", infill=infill
        )
    if not 0 <= wall < np.inf:
        raise BadInput(
            "a wall of {wall} m makes no sense; give a thickness of nought or more", wall=wall
        )
