"""The loops of `clusters.py`, compiled: halving runs of panels, and walking pairs of boxes."""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.kernels import kernel

_Real = npt.NDArray[np.float64]
_Index = npt.NDArray[np.int64]

DEEPEST = 256
"""Pairs that wait at most while one pair of roots is walked: two more a level of both trees."""


@kernel("int64(float64[:, ::1], int64[::1], int64, int64, int64[:, ::1])")
def halve(centres: _Real, order: _Index, leaf_size: int, roots: int, nodes: _Index) -> int:
    """Halve nodes (k, 4) of first, last, left, right, of which the `roots` first are given, until
    none holds more than leaf_size; `order` is rearranged to them. Returns how many there are."""
    count, node = roots, 0
    while node < count:
        first, last = nodes[node, 0], nodes[node, 1]
        leaves = -(-(last - first) // leaf_size)
        nodes[node, 2] = nodes[node, 3] = -1
        if leaves > 1:
            widest, axis = -1.0, 0
            for k in range(3):
                low = high = centres[order[first], k]
                for i in range(first, last):
                    low = min(low, centres[order[i], k])
                    high = max(high, centres[order[i], k])
                if high - low > widest:
                    widest, axis = high - low, k
            run = order[first:last].copy()
            # Stable: panels in one plane keep their order by place.
            order[first:last] = run[np.argsort(centres[run, axis], kind="mergesort")]
            # Whole leaves to each side, so that all are nearly full.
            cut = first + (last - first) * (leaves // 2) // leaves
            nodes[node, 2], nodes[node, 3] = count, count + 1
            nodes[count, 0], nodes[count, 1] = first, cut
            nodes[count + 1, 0], nodes[count + 1, 1] = cut, last
            count += 2
        node += 1
    return count


@kernel("float64(float64[:, ::1], float64[:, ::1], int64, float64[:, ::1], float64[:, ::1], int64)")
def gap(
    low: _Real, high: _Real, box: int, other_low: _Real, other_high: _Real, other: int
) -> float:
    """Distance between two boxes."""
    square = 0.0
    for k in range(3):
        apart = max(low[box, k] - other_high[other, k], other_low[other, k] - high[box, k], 0.0)
        square += apart * apart
    return math.sqrt(square)


@kernel(
    "boolean(float64[:, ::1], float64[:, ::1], float64[:, ::1], float64[:, ::1], float64[::1],"
    " float64[::1], int64[::1], int64[::1], int64[::1], int64, float64, float64, int64, boolean,"
    " int64[:, ::1], int64[:, ::1], int64[::1])"
)
def walk(
    target_low: _Real,
    target_high: _Real,
    low: _Real,
    high: _Real,
    diagonal: _Real,
    edge: _Real,
    size: _Index,
    left: _Index,
    right: _Index,
    roots: int,
    ratio: float,
    clearance: float,
    largest: int,
    beyond: bool,
    settled: _Index,
    open_leaves: _Index,
    counts: _Index,
) -> bool:
    """Fill `settled` with the pairs of nodes whose smaller diagonal is at most `ratio` gaps, which
    hold at most `largest` panels, and whose gap is beyond `clearance` of the source's edge (or just
    there, unless `beyond`); and `open_leaves` with the pairs of leaves that never were. counts (2,)
    tells how many. False where there is not enough room."""
    stack = np.empty((DEEPEST, 2), dtype=np.int64)
    counts[:] = 0
    for root in range(roots * roots):
        stack[0, 0], stack[0, 1] = root // roots, root % roots
        depth = 1
        while depth > 0:
            depth -= 1
            t, s = stack[depth, 0], stack[depth, 1]
            between = gap(target_low, target_high, t, low, high, s)
            clear = between > clearance * edge[s] if beyond else between >= clearance * edge[s]
            small = min(diagonal[t], diagonal[s]) <= ratio * between
            if clear and small and max(size[t], size[s]) <= largest:
                if counts[0] == len(settled):
                    return False
                settled[counts[0], 0], settled[counts[0], 1] = t, s
                counts[0] += 1
            elif left[t] < 0 and left[s] < 0:
                if counts[1] == len(open_leaves):
                    return False
                open_leaves[counts[1], 0], open_leaves[counts[1], 1] = t, s
                counts[1] += 1
            else:
                # The larger of the two is halved, or the one that is no leaf.
                source = left[t] < 0 or (left[s] >= 0 and diagonal[s] > diagonal[t])
                for half in range(2):
                    if source:
                        stack[depth, 0] = t
                        stack[depth, 1] = left[s] if half == 0 else right[s]
                    else:
                        stack[depth, 0] = left[t] if half == 0 else right[t]
                        stack[depth, 1] = s
                    depth += 1
    return True
