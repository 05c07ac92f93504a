"""The preconditioner's dense work: the local parts of both layers, and the inverses of their sums.

Elimination is written out and not left to LAPACK, whose own threads would get in the way of ours.
"""

import numpy as np
import numpy.typing as npt

from tankside.field.integrals import WORK, near_row
from tankside.field.kernels import kernel


@kernel("void(float64[:, ::1], boolean, int64[:, ::1], float32[:, :, ::1], float32[:, :, ::1])")
def fill_local(
    geometry: npt.NDArray[np.float64],
    mirrored: bool,
    index: npt.NDArray[np.int64],
    single: npt.NDArray[np.float32],
    half_less_double: npt.NDArray[np.float32],
) -> None:
    """Set single and half_less_double (blocks, m, m) to S and 1/2 - K among index (blocks, m)."""
    blocks, m = index.shape
    local = np.zeros((geometry.shape[0], m))
    s, k, work = np.zeros(m), np.zeros(m), np.zeros((WORK, m))
    chosen = np.zeros(m, dtype=np.int64)
    for b in range(blocks):
        for part in range(len(local)):
            for column in range(m):
                local[part, column] = geometry[part, index[b, column]]
        for row in range(m):
            near_row(local, row, mirrored, 0, m, s, k, work, chosen)
            for column in range(m):
                single[b, row, column] = s[column]
                half_less_double[b, row, column] = -k[column]
            half_less_double[b, row, row] += 0.5


@kernel("void(float32[:, ::1], int64)")
def eliminate(rows: npt.NDArray[np.float32], m: int) -> None:
    """Solve the m equations rows[:, :m] x = rows[:, m:], the answers in place of the right sides
    (Gauss, with the largest pivot of each column)."""
    width = rows.shape[1]
    for k in range(m):
        best, at = abs(rows[k, k]), k
        for i in range(k + 1, m):
            if abs(rows[i, k]) > best:
                best, at = abs(rows[i, k]), i
        pivot, other = rows[k], rows[at]
        if at != k:
            for j in range(k, width):
                pivot[j], other[j] = other[j], pivot[j]
        per_pivot = np.float32(1.0) / pivot[k]
        for i in range(k + 1, m):
            row = rows[i]
            factor = row[k] * per_pivot
            for j in range(k + 1, width):
                row[j] -= factor * pivot[j]
    for k in range(m - 1, -1, -1):
        answer = rows[k][m:]
        for i in range(k + 1, m):
            factor, known = rows[k, i], rows[i][m:]
            for j in range(width - m):
                answer[j] -= factor * known[j]
        per_pivot = np.float32(1.0) / rows[k, k]
        for j in range(width - m):
            answer[j] *= per_pivot


@kernel(
    "void(float32[:, :, ::1], float32[:, :, ::1], float64[:, ::1], float64[:, ::1], int64[::1],"
    " float32[:, :, ::1])"
)
def invert_cores(
    half_less_double: npt.NDArray[np.float32],
    single: npt.NDArray[np.float32],
    potential_weight: npt.NDArray[np.float64],
    flux_weight: npt.NDArray[np.float64],
    chosen: npt.NDArray[np.int64],
    inverse: npt.NDArray[np.float32],
) -> None:
    """Set inverse[b] (core, m) for each chosen block b to the first rows of the inverse of
    (1/2 - K) diag(potential_weight[b]) + S diag(flux_weight[b])."""
    m, core = inverse.shape[2], inverse.shape[1]
    # Rows of an inverse solve the transposed system, its right sides beside it.
    rows = np.zeros((m, m + core), dtype=np.float32)
    for b in chosen:
        for j in range(m):
            a, f = np.float32(potential_weight[b, j]), np.float32(flux_weight[b, j])
            for i in range(m):
                rows[j, i] = a * half_less_double[b, i, j] + f * single[b, i, j]
            for c in range(core):
                rows[j, m + c] = 1.0 if c == j else 0.0
        eliminate(rows, m)
        for c in range(core):
            for j in range(m):
                inverse[b, c, j] = rows[j, m + c]
