"""Low-rank forms of far blocks of both layers, by adaptive cross approximation that is checked.

A far block of targets x sources is approximated by U W, with W = [W_S | W_K]: one basis of rows for
the single layer and the double layer, the latter times the source box's diagonal so that both count
alike. Plain cross approximation (Bebendorf, Numer. Math. 86 (2000) 565) follows the largest
residual it has seen, and never sees the few rows whose targets stand off the plane in which the
others and the sources lie, where the double layer is zero but for them. So each block, once it
seems done, is checked at the panels of `checks.py`, rows first, then columns of the double layer;
whatever fails is taken up as the next cross, until all pass. What is left is cut to the fewest
terms and coded (`truncation.py`). All tolerances are by the worst row and not by the block's norm:
one bad row is one bad panel.

`crossed` is longer than functions here should be: its loop is one thought, and kernels that call
kernels are compiled twice.
"""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.integrals import add_quadrature_row, quadrature_column
from tankside.field.kernels import kernel
from tankside.field.truncation import coded, truncated

_Real = npt.NDArray[np.float64]
_Index = npt.NDArray[np.int64]

LARGEST_RANK = 96
"""A block that needs more terms is kept whole."""

_COLUMN_MARGIN = 3.0
"""A checked column may be off by this many tolerances at its worst entry [-]."""


@kernel(
    "float64(float64[:, ::1], int64[::1], boolean, float64, int64, int64, float64[:, ::1],"
    " float64[:, ::1])"
)
def residual_row(
    geometry: _Real,
    block: _Index,
    mirrored: bool,
    scale: float,
    row: int,
    rank: int,
    u: _Real,
    w: _Real,
) -> float:
    """Set w[rank] to one row of the block less the terms so far; the whole row's square norm."""
    first, last = block[2], block[3]
    count = last - first
    target = block[0] + row
    x, y, z = geometry[0, target], geometry[1, target], geometry[2, target]
    r = w[rank][: 2 * count]
    single, double = r[:count], r[count:]
    for j in range(2 * count):
        r[j] = 0.0
    for image in range(2 if mirrored else 1):
        add_quadrature_row(geometry, x, y, z - 2.0 * image * z, first, last, single, double)
    square = 0.0
    for j in range(count):
        double[j] *= scale
        square += single[j] * single[j] + double[j] * double[j]
    for p in range(rank):
        factor = u[p, row]
        term = w[p]
        for j in range(2 * count):
            r[j] -= factor * term[j]
    return square


@kernel(
    "void(float64[:, ::1], int64[::1], boolean, float64, int64, int64, float64[:, ::1],"
    " float64[:, ::1], float64[::1])"
)
def residual_column(
    geometry: _Real,
    block: _Index,
    mirrored: bool,
    scale: float,
    column: int,
    rank: int,
    u: _Real,
    w: _Real,
    values: _Real,
) -> None:
    """Set values (m,) to one column, single or double layer, less the terms so far."""
    first, last = block[0], block[1]
    sources = block[3] - block[2]
    double_layer = column >= sources
    source = block[2] + (column - sources if double_layer else column)
    c = values[: last - first]
    quadrature_column(geometry, source, double_layer, mirrored, first, last, c)
    factor = scale if double_layer else 1.0
    for i in range(c.size):
        c[i] *= factor
    for p in range(rank):
        factor = w[p, column]
        term = u[p]
        for i in range(c.size):
            c[i] -= factor * term[i]


@kernel(
    "int64(float64[:, ::1], int64[::1], boolean, int64[::1], int64[::1], float64, float64,"
    " int64, float64[:, ::1], float64[:, ::1], boolean[::1], float64[::1])"
)
def crossed(
    geometry: _Real,
    block: _Index,
    mirrored: bool,
    row_checks: _Index,
    column_checks: _Index,
    scale: float,
    tolerance: float,
    limit: int,
    u: _Real,
    w: _Real,
    used: npt.NDArray[np.bool_],
    norm: _Real,
) -> int:
    """Fill u[:rank, :m] and w[:rank, :2 n] for one block; the rank, or -1 where it would pass
    `limit` (u and w have room for one more). norm[0] becomes the mean square norm of the rows."""
    m, n = block[1] - block[0], block[3] - block[2]
    for i in range(m):
        used[i] = False
    rank, rows, square = 0, 0, 0.0
    asked_rows, asked_columns = 1, 0
    row = row_checks[0]
    while row >= 0:
        if rank == limit:
            return -1
        used[row] = True
        rows += 1
        square += (residual_row(geometry, block, mirrored, scale, row, rank, u, w) - square) / rows
        allowed = tolerance * tolerance * square
        left, best, column = 0.0, -1.0, 0
        r = w[rank]
        for j in range(2 * n):
            left += r[j] * r[j]
            if abs(r[j]) > best:
                best = abs(r[j])
                column = j
        row = -1
        if left > allowed:
            c = u[rank]
            residual_column(geometry, block, mirrored, scale, column, rank, u, w, c)
            factor = 1.0 / r[column]
            largest, best = 0.0, -1.0
            for i in range(m):
                c[i] *= factor
                size = abs(c[i])
                largest = max(largest, size)
                if not used[i] and size > best:
                    best = size
                    row = i
            rank += 1
            if largest * largest * left <= allowed:
                row = -1
        # It seems done: go on to the rows, then the columns, where it could still fail.
        while row < 0 and asked_rows < row_checks.size and row_checks[asked_rows] >= 0:
            if not used[row_checks[asked_rows]]:
                row = row_checks[asked_rows]
            asked_rows += 1
        while row < 0 and asked_columns < column_checks.size and column_checks[asked_columns] >= 0:
            column = n + column_checks[asked_columns]
            residual_column(geometry, block, mirrored, scale, column, rank, u, w, u[rank])
            best = _COLUMN_MARGIN * math.sqrt(allowed / (2 * n))
            for i in range(m):
                if not used[i] and abs(u[rank, i]) > best:
                    best = abs(u[rank, i])
                    row = i
            asked_columns += 1
    norm[0] = square
    return rank


@kernel(
    "int64(float64[:, ::1], boolean, int64[:, ::1], int64[:, ::1], int64[:, ::1],"
    " float64[::1], float64, int64, int64[::1], int16[::1], float32[::1])"
)
def compressed(
    geometry: _Real,
    mirrored: bool,
    blocks: _Index,
    row_checks: _Index,
    column_checks: _Index,
    scales: _Real,
    tolerance: float,
    begin: int,
    ranks: _Index,
    codes: npt.NDArray[np.int16],
    factors: npt.NDArray[np.float32],
) -> int:
    """Compress blocks[begin:] (first and last target, first and last source) until `codes` is full.

    Returns the first block left over. ranks becomes -1 where a block is better kept whole. A block
    of rank k adds k (m + 2 n) codes, the terms of U before those of W, and 2 k factors, those by
    which the products with the single and with the double layer's terms count in S q - K phi.
    """
    longest_m, longest_n = 1, 1
    for b in range(begin, len(blocks)):
        longest_m = max(longest_m, blocks[b, 1] - blocks[b, 0])
        longest_n = max(longest_n, blocks[b, 3] - blocks[b, 2])
    deepest = min(LARGEST_RANK, longest_m) + 1
    u, w = np.zeros((deepest, longest_m)), np.zeros((deepest, 2 * longest_n))
    u_out, w_out = np.zeros((deepest, longest_m)), np.zeros((deepest, 2 * longest_n))
    used = np.zeros(longest_m, dtype=np.bool_)
    norm = np.zeros(1)
    at, term = 0, 0
    for b in range(begin, len(blocks)):
        m, n = blocks[b, 1] - blocks[b, 0], blocks[b, 3] - blocks[b, 2]
        limit = min(LARGEST_RANK, m, (4 * m * n) // (m + 2 * n))
        if at + limit * (m + 2 * n) > codes.size or term + 2 * limit > factors.size:
            return b
        rank = crossed(
            geometry,
            blocks[b],
            mirrored,
            row_checks[b],
            column_checks[b],
            scales[b],
            0.5 * tolerance,
            limit,
            u,
            w,
            used,
            norm,
        )
        if rank > 0:
            allowed = tolerance * tolerance * norm[0]
            rank = truncated(u, w, rank, m, 2 * n, allowed, u_out, w_out)
        ranks[b] = rank
        for p in range(rank):
            step_u = coded(u_out[p], 0, m, codes, at + p * m)
            step_s = coded(w_out[p], 0, n, codes, at + rank * m + 2 * p * n)
            step_k = coded(w_out[p], n, 2 * n, codes, at + rank * m + (2 * p + 1) * n)
            factors[term + 2 * p] = step_u * step_s
            factors[term + 2 * p + 1] = -step_u * step_k / scales[b]
        if rank > 0:
            at += rank * (m + 2 * n)
            term += 2 * rank
    return len(blocks)
