"""Flexible GMRES with a right preconditioner: the linear solver inside each Newton step.

Saad, SIAM J. Sci. Comput. 14 (1993) 461. No restart: the systems here need some ten iterations.
Orthogonalised twice, so that single-precision operators do no harm to the basis.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats

Linear = Callable[[Floats], Floats]


@dataclass(frozen=True, kw_only=True)
class LinearAnswer:
    """solution (n,); the residual's norm over the right side's; iterations; converged or not."""

    solution: Floats
    relative_residual: float
    iterations: int
    converged: bool


def gmres(
    operator: Linear,
    right: Floats,
    preconditioner: Linear,
    *,
    tolerance: float,
    largest_iterations: int = 120,
) -> LinearAnswer:
    """Solves operator(x) = right until the residual's norm is below `tolerance` times right's."""
    size = float(np.linalg.norm(right))
    if size == 0.0:
        return LinearAnswer(
            solution=np.zeros_like(right), relative_residual=0.0, iterations=0, converged=True
        )
    basis = np.zeros((largest_iterations + 1, len(right)))
    basis[0] = right / size
    images: list[Floats] = []
    columns: list[Floats] = []
    coefficients, missed = np.zeros(0), 1.0
    for count in range(1, largest_iterations + 1):
        images.append(preconditioner(basis[count - 1]))
        column, remainder = _orthogonalised(operator(images[-1]), basis[:count])
        columns.append(column)
        coefficients, missed = _least_squares(columns)
        if missed <= tolerance or column[-1] == 0.0:
            break
        basis[count] = remainder / column[-1]
    solution = np.zeros_like(right)
    for coefficient, image in zip(coefficients, images, strict=True):
        solution += size * coefficient * image
    return LinearAnswer(
        solution=solution,
        relative_residual=missed,
        iterations=len(images),
        converged=missed <= tolerance,
    )


def _orthogonalised(vector: Floats, basis: Floats) -> tuple[Floats, Floats]:
    """(coefficients on the basis (k, n) and the remainder's norm, remainder)."""
    column = np.zeros(len(basis) + 1)
    for _ in range(2):
        along = basis @ vector
        vector = vector - along @ basis
        column[:-1] += along
    column[-1] = np.linalg.norm(vector)
    return column, vector


def _least_squares(columns: list[Floats]) -> tuple[Floats, float]:
    """Coefficients that leave the least of the first unit vector, and what they leave."""
    count = len(columns)
    hessenberg = np.zeros((count + 1, count))
    for k, column in enumerate(columns):
        hessenberg[: k + 2, k] = column
    target = np.zeros(count + 1)
    target[0] = 1.0
    coefficients: Floats = np.linalg.lstsq(hessenberg, target, rcond=None)[0].astype(np.float64)
    return coefficients, float(np.linalg.norm(target - hessenberg @ coefficients))
