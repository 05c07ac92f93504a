"""bempp-cl: dense Galerkin matrices with constants on triangles, assembled by its numba kernels.

Settings: precision (single | double), regular quadrature order (2), singular order (3).
"""

import os

os.environ.setdefault("BEMPP_DEFAULT_DEVICE_INTERFACE", "numba")

import bempp_cl.api as bempp
import numpy as np
import task
from boundary_newton import BoundaryCell


def main() -> None:
    surface, what, settings = task.arguments()
    bempp.DEFAULT_DEVICE_INTERFACE = "numba"
    bempp.DEFAULT_PRECISION = settings.get("precision", "single")
    quadrature = bempp.GLOBAL_PARAMETERS.quadrature
    quadrature.regular = int(settings.get("regular", "2"))
    quadrature.singular = int(settings.get("singular", "3"))
    matrices(bempp.shapes.regular_sphere(1), settings)
    clock = task.Clock()
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
    took = clock.stop()
    wanted = current if what == "one" else thickness
    task.answer(surface, wanted[cell.cathode], -cell.metal, took,
                unknowns=len(surface.triangles), iterations=[cell.newton, cell.linear])  # fmt: skip


def matrices(grid: bempp.Grid, settings: dict[str, str]) -> tuple[np.ndarray, np.ndarray]:
    space = bempp.function_space(grid, "DP", 0)
    laplace = bempp.operators.boundary.laplace
    options = {"precision": settings.get("precision", "single"), "device_interface": "numba"}
    return tuple(
        np.ascontiguousarray(make(space, space, space, **options).weak_form().to_dense())
        for make in (laplace.single_layer, laplace.double_layer)
    )


if __name__ == "__main__":
    main()
