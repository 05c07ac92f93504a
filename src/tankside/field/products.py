"""Near blocks of both layers in full, and the product of stored blocks with a pair of vectors.

A near block is kept as codes, a row (2 n,) for each target: the single layer of its sources, then
their double layer with its sign turned, each with the value of one step, so that two sums give
S q - K phi. Products wait for memory, and codes are half of it: their error is a 1/65534 of the
largest entry of the row. Far blocks are the coded terms that `compression.py` writes; rises and
moments are those of `reconstruction.py`. Sums run in float32 within a block of a row; a piece's
results are added in float64.
"""

import numpy as np
import numpy.typing as npt

from tankside.field.integrals import WORK, near_row
from tankside.field.kernels import kernel
from tankside.field.truncation import coded

_Real = npt.NDArray[np.float64]
_Short = npt.NDArray[np.float32]
_Index = npt.NDArray[np.int64]


@kernel("void(float64[:, ::1], boolean, int64[:, ::1], int16[::1], float32[::1])")
def fill_near(
    geometry: _Real,
    mirrored: bool,
    blocks: _Index,
    codes: npt.NDArray[np.int16],
    steps: _Short,
) -> None:
    """Set codes to the rows of blocks (first and last target, first and last source), in order, and
    steps to the two values of one step of each row."""
    longest = 1
    for b in range(len(blocks)):
        longest = max(longest, blocks[b, 3] - blocks[b, 2])
    row, work = np.zeros((2, longest)), np.zeros((WORK, longest))
    chosen = np.zeros(longest, dtype=np.int64)
    at, place = 0, 0
    for b in range(len(blocks)):
        first, last = blocks[b, 2], blocks[b, 3]
        n = last - first
        single, double = row[0][:n], row[1][:n]
        for target in range(blocks[b, 0], blocks[b, 1]):
            near_row(geometry, target, mirrored, first, last, single, double, work, chosen)
            steps[place] = coded(single, 0, n, codes, at)
            steps[place + 1] = -coded(double, 0, n, codes, at + n)
            at += 2 * n
            place += 2


@kernel(
    "void(int64[:, ::1], int16[::1], float32[::1], float32[::1], float32[::1], int64, float32[::1])"
)
def add_near(
    blocks: _Index,
    codes: npt.NDArray[np.int16],
    steps: _Short,
    flux: _Short,
    potential: _Short,
    start: int,
    result: _Short,
) -> None:
    """Add to result, whose first entry is target `start`, the near blocks' S flux - K potential."""
    at, place = 0, 0
    for b in range(len(blocks)):
        n = blocks[b, 3] - blocks[b, 2]
        q = flux[blocks[b, 2] : blocks[b, 3]]
        phi = potential[blocks[b, 2] : blocks[b, 3]]
        for target in range(blocks[b, 0] - start, blocks[b, 1] - start):
            single, double = codes[at : at + n], codes[at + n : at + 2 * n]
            of_flux, of_potential = np.float32(0.0), np.float32(0.0)
            for j in range(n):
                of_flux += np.float32(single[j]) * q[j]
                of_potential += np.float32(double[j]) * phi[j]
            result[target] += steps[place] * of_flux + steps[place + 1] * of_potential
            at += 2 * n
            place += 2


@kernel(
    "void(int64[:, ::1], int64[::1], int16[::1], float32[::1], float32[::1], float32[::1], int64,"
    " float32[::1])"
)
def add_far(
    blocks: _Index,
    ranks: _Index,
    codes: npt.NDArray[np.int16],
    factors: _Short,
    flux: _Short,
    potential: _Short,
    start: int,
    result: _Short,
) -> None:
    """Add to result, whose first entry is target `start`, the far blocks' S flux - K potential."""
    at, term = 0, 0
    for b in range(len(blocks)):
        m, n, rank = blocks[b, 1] - blocks[b, 0], blocks[b, 3] - blocks[b, 2], ranks[b]
        q = flux[blocks[b, 2] : blocks[b, 3]]
        phi = potential[blocks[b, 2] : blocks[b, 3]]
        y = result[blocks[b, 0] - start : blocks[b, 1] - start]
        sources = at + rank * m
        for p in range(rank):
            single = codes[sources + 2 * p * n : sources + (2 * p + 1) * n]
            double = codes[sources + (2 * p + 1) * n : sources + (2 * p + 2) * n]
            of_flux, of_potential = np.float32(0.0), np.float32(0.0)
            for j in range(n):
                of_flux += np.float32(single[j]) * q[j]
                of_potential += np.float32(double[j]) * phi[j]
            weight = factors[term + 2 * p] * of_flux + factors[term + 2 * p + 1] * of_potential
            targets = codes[at + p * m : at + (p + 1) * m]
            for i in range(m):
                y[i] += weight * np.float32(targets[i])
        at += rank * (m + 2 * n)
        term += 2 * rank


@kernel(
    "void(int64[::1], int64[::1], int32[::1], float32[:, ::1], float32[::1], int64, int64,"
    " float32[:, ::1])"
)
def set_gradients(
    starts: _Index,
    counts: _Index,
    panel: npt.NDArray[np.int32],
    weight: _Short,
    potential: _Short,
    first: int,
    last: int,
    gradient: _Short,
) -> None:
    """Set gradient[first:last] (n, 2) by the weights of `reconstruction.Slopes`."""
    for i in range(first, last):
        along, across = np.float32(0.0), np.float32(0.0)
        for k in range(starts[i], starts[i] + counts[i]):
            step = potential[panel[k]] - potential[i]
            along += weight[k, 0] * step
            across += weight[k, 1] * step
        gradient[i, 0], gradient[i, 1] = along, across


@kernel(
    "void(int64[::1], int32[::1], float32[:, ::1], float32[::1], float32[:, ::1], int64, int64,"
    " float32[::1])"
)
def set_corners(
    starts: _Index,
    panel: npt.NDArray[np.int32],
    weight: _Short,
    potential: _Short,
    gradient: _Short,
    first: int,
    last: int,
    at_corner: _Short,
) -> None:
    """Set at_corner[first:last] to the potentials there (`reconstruction.Corners`)."""
    for c in range(first, last):
        total = np.float32(0.0)
        for k in range(starts[c], starts[c + 1]):
            j = panel[k]
            total += weight[k, 0] * potential[j]
            total += weight[k, 1] * gradient[j, 0] + weight[k, 2] * gradient[j, 1]
        at_corner[c] = total


@kernel(
    "void(int32[:, ::1], float32[:, :, ::1], float32[::1], float32[::1], float32[:, ::1], int64,"
    " int64, float32[:, ::1])"
)
def set_rises(
    number: npt.NDArray[np.int32],
    part: npt.NDArray[np.float32],
    at_corner: _Short,
    potential: _Short,
    gradient: _Short,
    first: int,
    last: int,
    rise: _Short,
) -> None:
    """Set rise[first:last] (n, 3): the potential at each corner of a panel over its own."""
    for i in range(first, last):
        for side in range(3):
            step = part[i, side, 0] * (at_corner[number[i, side]] - potential[i])
            step += part[i, side, 1] * gradient[i, 0] + part[i, side, 2] * gradient[i, 1]
            rise[i, side] = step


@kernel("void(int64[::1], int32[::1], float32[:, ::1], float32[:, ::1], float32[::1])")
def subtract_moments(
    row: _Index,
    panel: npt.NDArray[np.int32],
    moment: _Short,
    rise: _Short,
    result: _Short,
) -> None:
    """Subtract from result the moments' products with the rises (see `NearMoments`)."""
    for i in range(len(result)):
        places, moments = panel[row[i] : row[i + 1]], moment[row[i] : row[i + 1]]
        # Three sums side by side, and places without a sign: both let the loop be vectorised.
        a, b, c = np.float32(0.0), np.float32(0.0), np.float32(0.0)
        for k in range(len(places)):
            j = np.uint32(places[k])
            a += moments[k, 0] * rise[j, 0]
            b += moments[k, 1] * rise[j, 1]
            c += moments[k, 2] * rise[j, 2]
        result[i] -= a + b + c
