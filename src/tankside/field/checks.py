"""The panels of a cluster at which a compressed block is checked.

Seen from far off, a block's columns are harmonic functions at the targets, nearly polynomials of
low degree; its double layer rows are their normal derivatives at the sources. Panels are chosen by
pivoting, one after the other the one farthest from what the chosen ones determine, until they pin
down every harmonic polynomial of second degree on the cluster. Panels that stand alone off a plane,
which plain cross approximation overlooks, add most and are chosen first.
"""

import math
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from tankside.field.kernels import kernel
from tankside.field.threads import in_threads

_Real = npt.NDArray[np.float64]
_Index = npt.NDArray[np.int64]

BASIS = 9
"""Harmonic polynomials up to second degree [-]."""

_PARTS = 8
"""Runs of nodes that are handed out, of about as many panels each."""

_SMALLEST = 1e-3
"""A panel that adds less than this of what the first one did is not worth a check [-]."""


def check_panels(geometry: _Real, first: _Index, last: _Index) -> tuple[_Index, _Index]:
    """For each node first..last its checked targets and sources (nodes, BASIS), counted from
    `first`, in order of importance, -1 behind the last."""
    targets = np.full((len(first), BASIS), -1, dtype=np.int64)
    sources = np.full((len(first), BASIS), -1, dtype=np.int64)
    reached = np.cumsum(last - first)
    edges = np.searchsorted(reached, reached[-1] * np.arange(1, _PARTS) // _PARTS)
    runs = [slice(a, b) for a, b in pairwise([0, *edges.tolist(), len(first)])]
    for _ in in_threads(
        lambda run: choose(geometry, first[run], last[run], targets[run], sources[run]), runs
    ):
        pass
    return targets, sources


@kernel("void(float64[:, ::1], int64, int64[::1])")
def pivoted(vectors: _Real, count: int, chosen: _Index) -> None:
    """Set `chosen` to the columns of vectors (BASIS, count) that span the others best; -1 behind.
    The vectors are overwritten."""
    direction = np.zeros(BASIS)
    largest = 0.0
    for step in range(BASIS):
        chosen[step] = -1
    for step in range(min(BASIS, count)):
        best, at = -1.0, 0
        for i in range(count):
            square = 0.0
            for k in range(BASIS):
                square += vectors[k, i] * vectors[k, i]
            if square > best:
                best, at = square, i
        largest = max(largest, best)
        if best <= _SMALLEST * _SMALLEST * largest:
            return
        chosen[step] = at
        length = math.sqrt(best)
        for k in range(BASIS):
            direction[k] = vectors[k, at] / length
        for i in range(count):
            along = 0.0
            for k in range(BASIS):
                along += direction[k] * vectors[k, i]
            for k in range(BASIS):
                vectors[k, i] -= along * direction[k]


@kernel("void(float64[:, ::1], int64[::1], int64[::1], int64[:, ::1], int64[:, ::1])")
def choose(geometry: _Real, first: _Index, last: _Index, targets: _Index, sources: _Index) -> None:
    """Fill targets and sources (nodes, BASIS) for each node first..last."""
    g = geometry
    longest = 1
    for node in range(first.size):
        longest = max(longest, last[node] - first[node])
    v = np.zeros((BASIS, longest))
    for node in range(first.size):
        start, count = first[node], last[node] - first[node]
        middle = np.zeros(3)
        reach = 0.0
        for axis in range(3):
            low, high = g[axis, start], g[axis, start]
            for i in range(start, start + count):
                low, high = min(low, g[axis, i]), max(high, g[axis, i])
            middle[axis] = 0.5 * (low + high)
            reach += (high - low) * (high - low)
        shrink = 2.0 / math.sqrt(reach) if reach > 0.0 else 1.0
        for kind in range(2):
            for i in range(count):
                x = (g[0, start + i] - middle[0]) * shrink
                y = (g[1, start + i] - middle[1]) * shrink
                z = (g[2, start + i] - middle[2]) * shrink
                if kind == 0:
                    v[0, i], v[1, i], v[2, i], v[3, i] = 1.0, x, y, z
                    v[4, i], v[5, i], v[6, i] = x * y, x * z, y * z
                    v[7, i], v[8, i] = x * x - y * y, 2.0 * z * z - x * x - y * y
                else:
                    a, b, c = g[21, start + i], g[22, start + i], g[23, start + i]
                    v[0, i], v[1, i], v[2, i], v[3, i] = 0.0, a, b, c
                    v[4, i], v[5, i], v[6, i] = a * y + b * x, a * z + c * x, b * z + c * y
                    v[7, i] = 2.0 * (a * x - b * y)
                    v[8, i] = 4.0 * c * z - 2.0 * (a * x + b * y)
            pivoted(v, count, targets[node] if kind == 0 else sources[node])
