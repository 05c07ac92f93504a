"""Which boxes overlap which: all pairs of boxes of one set, without looking at every pair.

The boxes are put along a space-filling curve, and a tree of larger boxes is laid over them; pairs
of tree boxes that overlap are opened level by level, all at once. The work grows with the number of
pairs found.
"""

from collections.abc import Iterator

import numpy as np

from tankside.base.arrays import Floats, Ints

_LEAF = 4
_CHUNK = 200_000


def overlapping_pairs(low: Floats, high: Floats) -> Iterator[tuple[Ints, Ints]]:
    """Pairs (first < second) of boxes [low, high], (n, 3) each, that meet or overlap; in chunks."""
    if len(low) < 2:
        return
    order = _along_curve((low + high) / 2)
    levels = _levels(low[order], high[order])
    first, second = np.zeros(1, np.int64), np.zeros(1, np.int64)
    for boxes in reversed(levels[:-1]):
        first, second = _opened(first, second, 2)
        keep = _overlap(boxes, first, second)
        first, second = first[keep], second[keep]
    leaves = (low[order], high[order])
    for start in range(0, len(first), _CHUNK):
        chunk = slice(start, start + _CHUNK)
        one, two = _opened(first[chunk], second[chunk], _LEAF)
        inside = (one < len(low)) & (two < len(low)) & (one != two)
        one, two = one[inside], two[inside]
        keep = _overlap(leaves, one, two)
        pair = order[one[keep]], order[two[keep]]
        yield np.minimum(*pair), np.maximum(*pair)


def _along_curve(points: Floats) -> Ints:
    """An order of points (n, 3) in which near ones are mostly near: the Z-order curve."""
    low, high = points.min(axis=0), points.max(axis=0)
    scale = np.where(high > low, high - low, 1.0)
    cells = ((points - low) / scale * (2**20 - 1)).astype(np.uint64)
    code = np.zeros(len(points), dtype=np.uint64)
    for axis in range(3):
        code |= _spread(cells[:, axis]) << np.uint64(axis)
    return np.argsort(code, kind="stable")


def _spread(
    cells: np.ndarray[tuple[int], np.dtype[np.uint64]],
) -> np.ndarray[tuple[int], np.dtype[np.uint64]]:
    """The bits of 21-bit numbers with two zeros after each."""
    spread = cells
    for shift, mask in (
        (32, 0x1F00000000FFFF),
        (16, 0x1F0000FF0000FF),
        (8, 0x100F00F00F00F00F),
        (4, 0x10C30C30C30C30C3),
        (2, 0x1249249249249249),
    ):
        spread = (spread | (spread << np.uint64(shift))) & np.uint64(mask)
    return spread


def _levels(low: Floats, high: Floats) -> list[tuple[Floats, Floats]]:
    """Boxes of groups of _LEAF, then of pairs of groups, up to one box for all."""
    levels = [_grouped(low, high, _LEAF)]
    while len(levels[-1][0]) > 1:
        levels.append(_grouped(*levels[-1], 2))
    return levels


def _grouped(low: Floats, high: Floats, size: int) -> tuple[Floats, Floats]:
    groups = -(-len(low) // size)
    padded = groups * size - len(low)
    low = np.concatenate([low, np.full((padded, 3), np.inf)])
    high = np.concatenate([high, np.full((padded, 3), -np.inf)])
    return low.reshape(groups, size, 3).min(axis=1), high.reshape(groups, size, 3).max(axis=1)


def _opened(first: Ints, second: Ints, size: int) -> tuple[Ints, Ints]:
    """Pairs of children of pairs, each unordered pair once."""
    child = np.arange(size)
    one = np.repeat(first[:, None] * size + child, size, axis=1).reshape(-1)
    two = np.tile(second[:, None] * size + child, (1, size)).reshape(-1)
    keep = one <= two
    return one[keep], two[keep]


def _overlap(
    boxes: tuple[Floats, Floats], first: Ints, second: Ints
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    low, high = boxes
    known = (first < len(low)) & (second < len(low))
    first, second = np.where(known, first, 0), np.where(known, second, 0)
    overlap = known
    for axis in range(3):
        overlap = overlap & (low[first, axis] <= high[second, axis])
        overlap &= low[second, axis] <= high[first, axis]
    return overlap
