"""Low-rank forms of far blocks of both layers, by adaptive cross approximation that is checked.

A far block of targets x sources is approximated by U W, with W = [W_S | W_K]: one basis of rows for
the single layer and the double layer, the latter times the source box's diagonal so that both count
alike. Plain cross approximation (Bebendorf, Numer. Math. 86 (2000) 565) follows the largest
residual it has seen, and never sees the few rows whose targets stand off the plane in which the
others and the sources lie, where the double layer is zero but for them. So each block, once it
seems done, is checked at the panels of `checks.py`, rows first, then columns of the double layer;
whatever fails is taken up as the next cross, until all pass. What is left is cut to the fewest
terms and coded (`truncation.py`). All tolerances are by the worst row and not by the block's norm:
one bad row is one bad panel. Single precision will do: its steps are a thousandth of the tolerance.

`crossed` is longer than functions here should be: its loop is one thought, and kernels that call
kernels are compiled twice.
"""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.integrals import POINT, ROWS, SIZE
from tankside.field.kernels import Scalar, kernel
from tankside.field.near_panels import add_by_points, add_column_by_points, localised
from tankside.field.truncation import coded, truncated

_Real = npt.NDArray[np.float64]
_Short = npt.NDArray[np.float32]
_Index = npt.NDArray[np.int64]

LARGEST_RANK = 96
"""A block that needs more terms is kept whole."""

_COLUMN_MARGIN = 3.0
"""A checked column may be off by this many tolerances at its worst entry [-]."""


@kernel("UniTuple(float64, 4)(float64[:, ::1], int64, int64)")
def middle_and_span(geometry: _Real, first: int, last: int) -> tuple[float, float, float, float]:
    """Middle of the box of the centroids of the panels first..last, and its diagonal squared."""
    middle, square = np.zeros(3), 0.0
    for k in range(3):
        low, high = geometry[k, first], geometry[k, first]
        for i in range(first, last):
            low, high = min(low, geometry[k, i]), max(high, geometry[k, i])
        middle[k] = 0.5 * (low + high)
        square += (high - low) * (high - low)
    return middle[0], middle[1], middle[2], square


@kernel("void(float64[:, ::1], int64[::1], float32[:, ::1], float32[:, ::1], int64[::1])")
def set_local(
    geometry: _Real, block: _Index, sources: _Short, targets: _Short, panels: _Index
) -> None:
    """Set the columns of `sources` to a block's sources, and those of `targets` to its targets'
    centroids and their images' height (4 rows), all about the middle of the smaller of the two."""
    x, y, z, span = middle_and_span(geometry, block[0], block[1])
    others = middle_and_span(geometry, block[2], block[3])
    if others[3] < span:
        x, y, z = others[0], others[1], others[2]
    n = block[3] - block[2]
    for j in range(n):
        panels[j] = block[2] + j
    localised(geometry, panels, n, x, y, z, POINT, SIZE, sources)
    for i in range(block[1] - block[0]):
        target = block[0] + i
        targets[0, i] = geometry[0, target] - x
        targets[1, i] = geometry[1, target] - y
        targets[2, i] = geometry[2, target] - z
        targets[3, i] = -geometry[2, target] - z


@kernel(
    "float64(float32[:, ::1], float32[:, ::1], int64, boolean, float32, int64, int64,"
    " float32[:, ::1], float32[:, ::1])"
)
def residual_row(
    sources: _Short,
    targets: _Short,
    count: int,
    mirrored: bool,
    scale: Scalar,
    row: int,
    rank: int,
    u: _Short,
    w: _Short,
) -> Scalar:
    """Set w[rank] to one row of the block less the terms so far; the whole row's square norm."""
    x, y = targets[0, row], targets[1, row]
    r = w[rank][: 2 * count]
    single, double = r[:count], r[count:]
    for j in range(2 * count):
        r[j] = np.float32(0.0)
    for image in range(2 if mirrored else 1):
        add_by_points(sources, count, x, y, targets[2 + image, row], single, double)
    square = np.float32(0.0)
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
    "void(float32[:, ::1], float32[:, ::1], int64, int64, boolean, float32, int64,"
    " float32[:, ::1], float32[:, ::1], float32[::1])"
)
def residual_column(
    sources: _Short,
    targets: _Short,
    count: int,
    column: int,
    mirrored: bool,
    scale: Scalar,
    rank: int,
    u: _Short,
    w: _Short,
    values: _Short,
) -> None:
    """Set values (m,) to one column, single or double layer, less the terms so far."""
    m = values.size
    double_layer = column >= count
    source = column - count if double_layer else column
    for i in range(m):
        values[i] = np.float32(0.0)
    x, y = targets[0][:m], targets[1][:m]
    for image in range(2 if mirrored else 1):
        z = targets[2 + image][:m]
        add_column_by_points(sources, source, double_layer, x, y, z, values)
    if double_layer:
        for i in range(m):
            values[i] *= scale
    for p in range(rank):
        factor = w[p, column]
        term = u[p]
        for i in range(m):
            values[i] -= factor * term[i]


@kernel(
    "int64(float32[:, ::1], float32[:, ::1], int64, int64, boolean, int64[::1], int64[::1],"
    " float64, float64, int64, float32[:, ::1], float32[:, ::1], boolean[::1], float64[::1])"
)
def crossed(
    sources: _Short,
    targets: _Short,
    m: int,
    n: int,
    mirrored: bool,
    row_checks: _Index,
    column_checks: _Index,
    scale: float,
    tolerance: float,
    limit: int,
    u: _Short,
    w: _Short,
    used: npt.NDArray[np.bool_],
    norm: _Real,
) -> int:
    """Fill u[:rank, :m] and w[:rank, :2 n] for one block (`set_local`) of m targets and n sources;
    the rank, or -1 where it would pass `limit` (u and w have room for one more). norm[0] becomes
    the mean square norm of the rows."""
    by_scale = np.float32(scale)
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
        whole = float(residual_row(sources, targets, n, mirrored, by_scale, row, rank, u, w))
        square += (whole - square) / rows
        allowed = tolerance * tolerance * square
        left, largest_left, column = np.float32(0.0), np.float32(-1.0), 0
        r = w[rank][: 2 * n]
        for j in range(2 * n):
            left += r[j] * r[j]
            largest_left = max(largest_left, abs(r[j]))
        row = -1
        if left > allowed:
            while abs(r[column]) != largest_left:
                column += 1
            c = u[rank][:m]
            residual_column(sources, targets, n, column, mirrored, by_scale, rank, u, w, c)
            factor = np.float32(1.0) / r[column]
            largest, best = np.float32(0.0), np.float32(-1.0)
            for i in range(m):
                c[i] *= factor
                size = abs(c[i])
                largest = max(largest, size)
                if not used[i] and size > best:
                    best = size
                    row = i
            rank += 1
            if np.float64(largest) * largest * left <= allowed:
                row = -1
        # It seems done: go on to the rows, then the columns, where it could still fail.
        while row < 0 and asked_rows < row_checks.size and row_checks[asked_rows] >= 0:
            if not used[row_checks[asked_rows]]:
                row = row_checks[asked_rows]
            asked_rows += 1
        while row < 0 and asked_columns < column_checks.size and column_checks[asked_columns] >= 0:
            column = n + column_checks[asked_columns]
            c = u[rank][:m]
            residual_column(sources, targets, n, column, mirrored, by_scale, rank, u, w, c)
            most = _COLUMN_MARGIN * math.sqrt(allowed / (2 * n))
            for i in range(m):
                if not used[i] and abs(c[i]) > most:
                    most = abs(c[i])
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
    u = np.zeros((deepest, longest_m), dtype=np.float32)
    w = np.zeros((deepest, 2 * longest_n), dtype=np.float32)
    u_out, w_out = np.zeros_like(u), np.zeros_like(w)
    sources = np.zeros((ROWS, longest_n), dtype=np.float32)
    targets = np.zeros((4, longest_m), dtype=np.float32)
    panels = np.zeros(longest_n, dtype=np.int64)
    used = np.zeros(longest_m, dtype=np.bool_)
    norm = np.zeros(1)
    at, term = 0, 0
    for b in range(begin, len(blocks)):
        m, n = blocks[b, 1] - blocks[b, 0], blocks[b, 3] - blocks[b, 2]
        limit = min(LARGEST_RANK, m, (4 * m * n) // (m + 2 * n))
        if at + limit * (m + 2 * n) > codes.size or term + 2 * limit > factors.size:
            return b
        set_local(geometry, blocks[b], sources, targets, panels)
        rank = crossed(
            sources,
            targets,
            m,
            n,
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
