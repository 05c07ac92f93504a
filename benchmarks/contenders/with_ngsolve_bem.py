"""ngsolve.bem: Galerkin operators with constants on triangles, by its fast multipole method.

Settings: fmm_minorder (10), fp32 (0 | 1), intorder of the regular integrals (2).
"""

import os

import netgen.meshing as nm
import ngsolve as ng
import numpy as np
import task
from boundary_newton import BoundaryCell
from ngsolve.bem import LaplaceDL, LaplaceSL


def solved(
    surface: task.Surface, what: str, settings: dict[str, str], clock: task.Clock
) -> tuple[np.ndarray, float, dict]:
    space = ng.SurfaceL2(surface_mesh(surface), order=0, dual_mapping=False)
    u, v = space.TnT()
    bonus = int(settings.get("intorder", "2"))
    options = {
        "fmm_minorder": int(settings.get("fmm_minorder", "10")),
        "fp32": settings.get("fp32", "0") == "1",
        "use_fmm": settings.get("use_fmm", "1") == "1",
        "fmm_maxdirect": int(settings.get("fmm_maxdirect", "100")),
        "fmm_separation": float(settings.get("fmm_separation", "2.0")),
    }
    single, double = (
        layer(u * ng.ds(bonus_intorder=bonus), **options) * v * ng.ds(bonus_intorder=bonus)
        for layer in (LaplaceSL, LaplaceDL)
    )
    clock.lap("operators")
    diagonal = 0.12 * surface.areas**1.5
    cell = BoundaryCell(surface, product(single.mat), product(double.mat), diagonal)
    thickness = 0.0
    for mean in task.MEAN[what]:
        current = cell.solved(mean * surface.cathode_area)
        thickness = thickness + task.THICKNESS_PER_CHARGE * task.STEP_SECONDS * current
    clock.lap("solve")
    wanted = current if what == "one" else thickness
    more = {"unknowns": space.ndof, "iterations": [cell.newton, cell.linear]}
    return wanted[cell.cathode], -cell.metal, more


def product(matrix: ng.BaseMatrix):
    into, out = matrix.CreateRowVector(), matrix.CreateColVector()

    def times(x: np.ndarray) -> np.ndarray:
        into.FV().NumPy()[:] = x
        out.data = matrix * into
        return out.FV().NumPy().copy()

    return times


def surface_mesh(surface: task.Surface) -> ng.Mesh:
    mesh = nm.Mesh(dim=3)
    mesh.AddPoints(np.ascontiguousarray(surface.points))
    mesh.Add(nm.FaceDescriptor(surfnr=1, domin=1, bc=1))
    outward = np.ascontiguousarray(surface.triangles[:, ::-1].astype(np.int32))
    mesh.AddElements(dim=2, index=1, data=outward, base=0)
    return ng.Mesh(mesh)


if __name__ == "__main__":
    ng.SetNumThreads(int(os.environ.get("PEERS_THREADS", "2")))
    with ng.TaskManager():
        task.main(solved)
