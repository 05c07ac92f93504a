"""The fewest terms of a low-rank product within a tolerance, and their short form.

u^T w is brought to orthogonal terms, largest first (Gram-Schmidt on u, then the eigenvectors of the
rows' products of w), and the last are left out as long as no row of the product misses more than is
allowed. Terms are kept as 16-bit integers with one factor a vector: a 30 000th of the largest value
is far below the tolerance, and half the memory is half the time of every product.
"""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.kernels import Scalar, kernel

_Real = npt.NDArray[np.float64]
_Short = npt.NDArray[np.float32]

_STEPS = np.float32(32767.0)
_NEARLY = 0.2
"""Cosine between two terms that passes for a right angle: the errors of what is left out take it
into account, and the smallest terms come out hardly larger than at exact right angles [-]."""


@kernel("void(float32[:, ::1], float32[:, ::1], int64, int64, int64)")
def orthonormalised(u: _Short, w: _Short, rank: int, m: int, columns: int) -> None:
    """Make u[:rank] orthonormal and change w so that the product stays (Gram-Schmidt)."""
    for p in range(rank):
        a, wa = u[p], w[p]
        for q in range(p):
            b, wb = u[q], w[q]
            along = np.float32(0.0)
            for i in range(m):
                along += a[i] * b[i]
            for i in range(m):
                a[i] -= along * b[i]
            for j in range(columns):
                wb[j] += along * wa[j]
        square = np.float32(0.0)
        for i in range(m):
            square += a[i] * a[i]
        length = math.sqrt(square)
        shrink = np.float32(1.0) / length if length > 0.0 else np.float32(0.0)
        for i in range(m):
            a[i] *= shrink
        for j in range(columns):
            wa[j] *= length


@kernel("void(float64[:, ::1], float32[:, ::1], int64, int64, int64, float32[:, ::1])")
def combined(
    mixing: _Real, terms: _Short, kept: int, rank: int, columns: int, result: _Short
) -> None:
    """Set result[p, :columns] = sum over q of mixing[p, q] terms[q, :columns], for p < kept."""
    for p in range(kept):
        r = result[p]
        for j in range(columns):
            r[j] = np.float32(0.0)
        for q in range(rank):
            factor = np.float32(mixing[p, q])
            term = terms[q]
            for j in range(columns):
                r[j] += factor * term[j]


@kernel("void(float64[::1], float64[::1], int64, float64, float64)")
def rotated(one: _Real, other: _Real, count: int, cosine: float, sine: float) -> None:
    """Turn two rows into each other."""
    for k in range(count):
        a, b = one[k], other[k]
        one[k], other[k] = cosine * a + sine * b, cosine * b - sine * a


@kernel("void(float64[:, ::1], int64, float64[:, ::1])")
def diagonalised(gram: _Real, rank: int, turn: _Real) -> None:
    """Turn a symmetric matrix nearly diagonal, largest first: turn gram turn^T, in place (Jacobi).

    Nearly will do: `turn` is orthogonal whatever is left, so no term is lost, only badly sorted.
    Rows are turned, and what that makes of the columns follows by symmetry.
    """
    for p in range(rank):
        for q in range(rank):
            turn[p, q] = 1.0 if p == q else 0.0
    for _sweep in range(12):
        turned = False
        for p in range(rank - 1):
            for q in range(p + 1, rank):
                pp, qq, pq = gram[p, p], gram[q, q], gram[p, q]
                if pp < qq or pq * pq > _NEARLY * _NEARLY * pp * qq:
                    turned = True
                    # Half the angle of (pp - qq, 2 pq): it leaves the larger at p, so that the
                    # order comes out as well.
                    length = math.sqrt((pp - qq) * (pp - qq) + 4.0 * pq * pq)
                    cosine = (pp - qq) / length if length > 0.0 else 1.0
                    c = math.sqrt(max(0.5 + 0.5 * cosine, 0.0))
                    s = math.sqrt(max(0.5 - 0.5 * cosine, 0.0))
                    s = -s if pq < 0.0 else s
                    rotated(gram[p], gram[q], rank, c, s)
                    rotated(turn[p], turn[q], rank, c, s)
                    for k in range(rank):
                        gram[k, p], gram[k, q] = gram[p, k], gram[q, k]
                    middle, half = 0.5 * (pp + qq), 0.5 * length
                    gram[p, p], gram[q, q] = middle + half, middle - half
                    gram[p, q], gram[q, p] = 0.0, 0.0
        if not turned:
            return


@kernel(
    "int64(float32[:, ::1], float32[:, ::1], int64, int64, int64, float64, float32[:, ::1],"
    " float32[:, ::1])"
)
def truncated(
    u: _Short,
    w: _Short,
    rank: int,
    m: int,
    columns: int,
    allowed: float,
    u_out: _Short,
    w_out: _Short,
) -> int:
    """Fewest terms whose every row is within sqrt(allowed) of u^T w, in u_out and w_out; u and w
    are overwritten."""
    orthonormalised(u, w, rank, m, columns)
    gram = np.zeros((rank, rank))
    for p in range(rank):
        a = w[p]
        for q in range(p + 1):
            b = w[q]
            total = 0.0
            for j in range(columns):
                total += np.float64(a[j]) * np.float64(b[j])
            gram[p, q] = total
            gram[q, p] = total
    mixing = np.zeros((rank, rank))
    diagonalised(gram, rank, mixing)
    combined(mixing, u, rank, rank, m, u_out)
    kept = rank
    error = np.zeros(m)
    while kept > 1:
        worst = 0.0
        for q in range(kept - 1, rank):  # the terms are not quite at right angles
            both = gram[kept - 1, q] * (1.0 if q < kept else 2.0)
            for i in range(m):
                error[i] += both * u_out[kept - 1, i] * u_out[q, i]
        for i in range(m):
            worst = max(worst, error[i])
        if worst > allowed:
            break
        kept -= 1
    combined(mixing, w, kept, rank, columns, w_out)
    return kept


@kernel("float32(float32[::1], int64, int64, int16[::1], int64)")
def coded(values: _Short, first: int, last: int, codes: npt.NDArray[np.int16], at: int) -> Scalar:
    """Write values[first:last] to codes[at:] as integers; the value of one step."""
    largest = np.float32(0.0)
    for j in range(first, last):
        largest = max(largest, abs(values[j]))
    per_value = _STEPS / largest if largest > 0.0 else np.float32(0.0)
    for j in range(last - first):
        codes[at + j] = np.int16(np.rint(values[first + j] * per_value))
    return largest / _STEPS
