"""Near blocks of both layers in full, and the product of stored blocks with a pair of vectors.

A near block is kept as codes, a row (2 n,) for each target: the single layer of its sources, then
their double layer with its sign turned, each with the value of one step, so that two sums give
S q - K phi. Products wait for memory, and codes are half of it: their error is a 1/65534 of the
largest entry of the row. Far blocks are the coded terms that `compression.py` writes. Sums run in
float32 within a block of a row; a piece's results are added in float64.
"""

import numpy as np
import numpy.typing as npt

from tankside.field.integrals import ROWS
from tankside.field.kernels import kernel
from tankside.field.near_panels import WORK, localised, near_layers
from tankside.field.truncation import coded

_Real = npt.NDArray[np.float64]
_Short = npt.NDArray[np.float32]
_Index = npt.NDArray[np.int64]


@kernel("boolean(int64[:, ::1], int64, int64)")
def same_targets(blocks: _Index, one: int, other: int) -> bool:
    """True where both are blocks and have the same targets."""
    if min(one, other) < 0 or max(one, other) >= len(blocks):
        return False
    return bool(blocks[one, 0] == blocks[other, 0] and blocks[one, 1] == blocks[other, 1])


@kernel(
    "void(float64[:, ::1], boolean, int64[:, ::1], int64[::1], int32[::1], float32[::1],"
    " int16[::1], float32[::1])"
)
def fill_near(
    geometry: _Real,
    mirrored: bool,
    blocks: _Index,
    row: _Index,
    panel: npt.NDArray[np.int32],
    weight: _Short,
    codes: npt.NDArray[np.int16],
    steps: _Short,
) -> None:
    """Set codes to the rows of blocks (first and last target, first and last source), in order, and
    steps to the two values of one step of each row.

    The double layer takes up what `Corrections` (row, panel, weight) hold at a block's sources, and
    those weights become zero.
    """
    widest, width = 0, 0
    for b in range(len(blocks)):
        width = blocks[b, 3] - blocks[b, 2] + (width if same_targets(blocks, b, b - 1) else 0)
        widest = max(widest, width)
    layers = np.zeros((2, widest), dtype=np.float32)
    work = np.zeros((WORK, widest), dtype=np.float32)
    local = np.zeros((ROWS, widest), dtype=np.float32)
    chosen, sources = np.zeros(widest, dtype=np.int64), np.zeros(widest, dtype=np.int64)
    column = np.full(geometry.shape[1], -1)
    at, place, begin = 0, 0, 0
    while begin < len(blocks):
        end, count = begin, 0
        while same_targets(blocks, end, begin):
            for j in range(blocks[end, 2], blocks[end, 3]):
                sources[count], column[j] = j, count
                count += 1
            end += 1
        first, last = blocks[begin, 0], blocks[begin, 1]
        x, y, z = geometry[0, first], geometry[1, first], geometry[2, first]
        localised(geometry, sources, count, x, y, z, 0, ROWS, local)
        single, double = layers[0], layers[1]
        for target in range(first, last):
            near_layers(
                geometry,
                sources,
                local,
                count,
                target,
                x,
                y,
                z,
                mirrored,
                single,
                double,
                work,
                chosen,
            )
            for k in range(row[target], row[target + 1]):
                # Other threads may take up other weights of this row meanwhile.
                if column[panel[k]] >= 0:
                    double[column[panel[k]]] += weight[k]
                    weight[k] = 0.0
            here, step, done = at, place + 2 * (target - first), 0
            for b in range(begin, end):
                n = blocks[b, 3] - blocks[b, 2]
                code = here + 2 * n * (target - first)
                steps[step] = coded(single, done, done + n, codes, code)
                steps[step + 1] = -coded(double, done, done + n, codes, code + n)
                here += 2 * n * (last - first)
                step += 2 * (last - first)
                done += n
        for j in range(count):
            column[sources[j]] = -1
        at += 2 * count * (last - first)
        place += 2 * (end - begin) * (last - first)
        begin = end


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


@kernel("void(int64[::1], int32[::1], float32[::1], float32[::1], float32[::1])")
def subtract_rows(
    row: _Index, panel: npt.NDArray[np.int32], weight: _Short, potential: _Short, result: _Short
) -> None:
    """Subtract from result the products of compressed rows (`Corrections`) with the potential."""
    for i in range(len(result)):
        places, weights = panel[row[i] : row[i + 1]], weight[row[i] : row[i + 1]]
        total = np.float32(0.0)
        for k in range(len(places)):  # places without a sign let the loop be vectorised
            total += weights[k] * potential[np.uint32(places[k])]
        result[i] -= total
