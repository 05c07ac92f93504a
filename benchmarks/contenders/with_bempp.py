"""bempp-cl: dense Galerkin matrices with constants on triangles, assembled by its numba kernels.

Settings: precision (single | double), regular quadrature order (2), singular order (3).
"""

import os

os.environ.setdefault("BEMPP_DEFAULT_DEVICE_INTERFACE", "numba")

import bempp_cl.api as bempp
import numpy as np
import task
from boundary_newton import BoundaryCell


def solved(
    surface: task.Surface, what: str, settings: dict[str, str], clock: task.Clock
) -> tuple[np.ndarray, float, dict]:
    bempp.DEFAULT_DEVICE_INTERFACE = "numba"
    bempp.DEFAULT_PRECISION = settings.get("precision", "single")
    quadrature = bempp.GLOBAL_PARAMETERS.quadrature
    quadrature.regular = int(settings.get("regular", "2"))
    quadrature.singular = int(settings.get("singular", "3"))
    grid = bempp.Grid(
        surface.points.T.copy(), surface.triangles[:, ::-1].T.copy().astype(np.uint32)
    )
    single, double = matrices(grid, settings)
    clock.lap("matrices")
    cell = BoundaryCell(surface, lambda x: single @ x.astype(single.dtype),
                        lambda x: double @ x.astype(double.dtype), np.diag(single))  # fmt: skip
    thickness = 0.0
    for mean in task.MEAN[what]:
        current = cell.solved(mean * surface.cathode_area)
        thickness = thickness + task.THICKNESS_PER_CHARGE * task.STEP_SECONDS * current
    clock.lap("solve")
    wanted = current if what == "one" else thickness
    more = {"unknowns": len(surface.triangles), "iterations": [cell.newton, cell.linear]}
    return wanted[cell.cathode], -cell.metal, more


def matrices(grid: bempp.Grid, settings: dict[str, str]) -> tuple[np.ndarray, np.ndarray]:
    space = bempp.function_space(grid, "DP", 0)
    laplace = bempp.operators.boundary.laplace
    options = {"precision": settings.get("precision", "single"), "device_interface": "numba"}
    return tuple(
        np.ascontiguousarray(make(space, space, space, **options).weak_form().to_dense())
        for make in (laplace.single_layer, laplace.double_layer)
    )


if __name__ == "__main__":
    task.main(solved)
