"""The preconditioner's dense work: the local parts of both layers, and the inverses of their sums.

Integrals by closed forms near and one point farther off: a preconditioner need not be exact.
Elimination is written out and not left to LAPACK, whose own threads would get in the way of ours.
"""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.discretisation import IN_PLANE
from tankside.field.integrals import exact
from tankside.field.kernels import kernel

_NEAR_SIZES = 3.0
_PER_SPHERE = 1.0 / (4.0 * math.pi)


@kernel("UniTuple(float64, 2)(float64[:, ::1], int64, float64, float64, float64)")
def roughly(
    geometry: npt.NDArray[np.float64], panel: int, x: float, y: float, z: float
) -> tuple[float, float]:
    """Single [m] and double layer [-] of one panel at a point."""
    g, j = geometry, panel
    dx, dy, dz = x - g[0, j], y - g[1, j], z - g[2, j]
    square = dx * dx + dy * dy + dz * dz
    reach = _NEAR_SIZES * g[25, j]
    if square < reach * reach:
        return exact(geometry, panel, x, y, z)
    per_distance = 1.0 / math.sqrt(square)
    single = _PER_SPHERE * g[24, j] * per_distance
    height = dx * g[21, j] + dy * g[22, j] + dz * g[23, j]
    return single, single * height * per_distance * per_distance


@kernel("void(float64[:, ::1], boolean, int64[:, ::1], float32[:, :, ::1], float32[:, :, ::1])")
def fill_local(
    geometry: npt.NDArray[np.float64],
    mirrored: bool,
    index: npt.NDArray[np.int64],
    single: npt.NDArray[np.float32],
    half_less_double: npt.NDArray[np.float32],
) -> None:
    """Set single and half_less_double (blocks, m, m) to S and 1/2 - K among index (blocks, m)."""
    g = geometry
    blocks, m = index.shape
    for b in range(blocks):
        for row in range(m):
            i = index[b, row]
            for column in range(m):
                j = index[b, column]
                s, k = 0.0, 0.0
                for image in range(2 if mirrored else 1):
                    z = g[2, i] - 2.0 * image * g[2, i]
                    share_s, share_k = roughly(g, j, g[0, i], g[1, i], z)
                    if i == j and image == 0:
                        share_k = -0.5  # its own double layer is none; this is the jump
                    elif i == j and abs(z) < IN_PLANE * g[25, i]:
                        share_k = -0.5  # in the liquid's surface, its image is its own back
                    s, k = s + share_s, k + share_k
                single[b, row, column] = s
                half_less_double[b, row, column] = -k


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
