"""What the pictures of the parts need of a plan: one soup of panels with values at the corners."""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.cell.bodies import Role
from tankside.plan.plan import BodyResult, Plan
from tankside.sheets.colours import bare, burning
from tankside.sheets.corners import corner_means


@dataclass(frozen=True, kw_only=True)
class Skin:
    """Panels of all parts, then of the wires: corners (n, 3, 3) [m]; areas (n,) [m²]; thickness
    (n,) [m] and the same averaged to the corners (n, 3); normals at the corners (n, 3, 3) and of
    the panels (n, 3); which are burning, bare, and of a part (n,)."""

    corners: Floats
    areas: Floats
    thickness: Floats
    corner_thickness: Floats
    corner_normals: Floats
    normals: Floats
    burning: Bools
    bare: Bools
    of_part: Bools

    @property
    def thinnest(self) -> int:
        """The part's panel with the least copper."""
        return int(np.where(self.of_part, self.thickness, np.inf).argmin())

    @property
    def thickest(self) -> int:
        """The part's panel with the most copper."""
        return int(np.where(self.of_part, self.thickness, -np.inf).argmax())


def skin_of(plan: Plan) -> Skin:
    """The parts and wires of a plan."""
    parts = [result for result in plan.results if result.body.role is Role.PART]
    wires = [result for result in plan.results if result.body.role is Role.WIRE]
    bodies = [*parts, *wires]
    meshes = [result.body.surface for result in bodies]

    def of_parts(flags: list[Bools]) -> Bools:
        return np.concatenate([*flags, *(np.zeros(len(w.thickness), np.bool_) for w in wires)])

    return Skin(
        corners=np.concatenate([mesh.corners for mesh in meshes]),
        areas=np.concatenate([mesh.areas for mesh in meshes]),
        thickness=np.concatenate([result.thickness for result in bodies]),
        corner_thickness=np.concatenate([_thickness(result) for result in bodies]),
        corner_normals=np.concatenate([corner_means(mesh, mesh.normals) for mesh in meshes]),
        normals=np.concatenate([mesh.normals for mesh in meshes]),
        burning=of_parts([burning(part) for part in parts]),
        bare=of_parts([bare(part) for part in parts]),
        of_part=of_parts([np.ones(len(part.thickness), np.bool_) for part in parts]),
    )


def _thickness(result: BodyResult) -> Floats:
    return corner_means(result.body.surface, result.thickness)
