"""Where gas stays under a part's roofs when solution rises around it.

Every stretch of air along an upright line is a node; stretches on neighbouring lines that overlap
in height are joined, and gas can pass between them no higher than the lower of their two roofs.
Gas in a stretch stays down to its *spill level*: the height of the lowest passage on the best way
out, the way whose lowest passage is highest (the same answer as grayscale reconstruction of a
voxel image). The best way is found over the tree of highest passages. Air without a way out is
sealed. Ridges of roofs that pass between the lines count as passages, so that a gable does not
turn into a row of pockets.
"""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import breadth_first_order, minimum_spanning_tree

from tankside.base.arrays import Floats, Ints
from tankside.part.columns import Columns
from tankside.part.ridges import Ridges
from tankside.part.topology import joined_labels

_NEIGHBOURS = ((0, 1), (1, 0), (1, 1), (1, -1))
_PAIRS_AT_ONCE = 5_000_000
_SAME_ROOF = 0.25


@dataclass(frozen=True, kw_only=True)
class Roofed:
    """Stretches of air with material above them.

    line    (n,) line of the columns
    low     (n,) floor [m], minus infinity where open below
    high    (n,) roof [m]
    spill   (n,) spill level [m]: gas stays above it; plus infinity where none stays because the
            roof itself leads out, minus infinity where the stretch is sealed
    pocket  (n,) number of the pocket of gas, -1 where no gas stays
    """

    line: Ints
    low: Floats
    high: Floats
    spill: Floats
    pocket: Ints

    @property
    def trapped(self) -> Floats:
        """Height of the gas that stays in each stretch (n,) [m]."""
        return np.where(self.pocket >= 0, self.high - np.maximum(self.low, self.spill), 0.0)


def roofed_air(columns: Columns, ridges: Ridges) -> Roofed:
    """The air under roofs, with its spill levels and pockets."""
    line, low, high = _air(columns)
    clear = _with_ridges(columns, line, low, high, ridges)
    top = float(columns.high.max(initial=0.0)) + columns.spacing
    bottom = float(columns.low.min(initial=0.0)) - columns.spacing
    node = np.zeros(len(line), dtype=np.int64)
    under_roof = np.isfinite(high)
    node[under_roof] = np.arange(1, under_roof.sum() + 1)
    first, second = _touching(columns.shape, line, low, clear)
    passage = np.minimum(np.minimum(clear[first], clear[second]), top)
    tree = _best_ways(node[first], node[second], passage, int(node.max(initial=0)) + 1, top)
    spill = _spill_levels(tree, top)[1:]
    high, low = high[under_roof], low[under_roof]
    stays = np.isfinite(spill) & (spill < high - 1e-6 * columns.spacing)
    return Roofed(
        line=line[under_roof],
        low=np.where(np.isfinite(low), low, bottom),
        high=high,
        spill=spill,
        pocket=_pockets(tree, spill, stays, top),
    )


def _air(columns: Columns) -> tuple[Ints, Floats, Floats]:
    """(line, low, high) of all stretches of air, the endless ones included, sorted."""
    lines = columns.shape[0] * columns.shape[1]
    every = np.arange(lines)
    line = np.concatenate([every, columns.line])
    low = np.concatenate([np.full(lines, -np.inf), columns.high])
    order = np.lexsort((low, line))
    upper = np.concatenate([columns.line, every])
    high = np.concatenate([columns.low, np.full(lines, np.inf)])
    return line[order], low[order], high[np.lexsort((high, upper))]


def _with_ridges(columns: Columns, line: Ints, low: Floats, high: Floats, ridges: Ridges) -> Floats:
    """The highest roof (n,) that gas meets around each line: that on the line itself, or a ridge
    between it and the next lines where one of the ridge's faces reaches the roof on the line."""
    clear = high.copy()
    nodes = np.flatnonzero(np.isfinite(high))
    points = ridges.points
    if not len(nodes) or not len(points):
        return clear
    base = min(float(high[nodes].min()), float(points[:, 2].min()))
    span = 2 * (max(float(high[nodes].max()), float(points[:, 2].max())) - base) + 1e-300
    keys = line[nodes] + (high[nodes] - base) / span
    corner = np.floor((points[:, :2] - columns.corner) / columns.spacing).astype(np.int64)
    for step in ((0, 0), (0, 1), (1, 0), (1, 1)):
        cell = np.clip(corner + step, 0, np.array(columns.shape) - 1)
        own = cell[:, 0] * columns.shape[1] + cell[:, 1]
        place = np.searchsorted(keys, own + (points[:, 2] - base) / span, side="right") - 1
        stretch = nodes[np.maximum(place, 0)]
        to_line = columns.places(own) - points[:, :2]
        reached = points[:, 2, None] + np.einsum("nkj,nj->nk", ridges.slopes, to_line)
        off = np.abs(reached - high[stretch][:, None]) <= _SAME_ROOF * columns.spacing
        same = (place >= 0) & (line[stretch] == own) & off.any(axis=1)
        np.maximum.at(clear, stretch[same], points[same, 2])
    return clear


def _touching(shape: tuple[int, int], line: Ints, low: Floats, high: Floats) -> tuple[Ints, Ints]:
    """Pairs of stretches on neighbouring lines that overlap in height."""
    lines = shape[0] * shape[1]
    start = np.searchsorted(line, np.arange(lines))
    count = np.bincount(line, minlength=lines)
    found_first, found_second = [np.zeros(0, np.int64)], [np.zeros(0, np.int64)]
    i, j = np.divmod(np.arange(lines), shape[1])
    for step_i, step_j in _NEIGHBOURS:
        valid = (i + step_i < shape[0]) & (j + step_j >= 0) & (j + step_j < shape[1])
        here = np.flatnonzero(valid)
        there = here + step_i * shape[1] + step_j
        pairs = count[here] * count[there]
        for part in np.split(
            np.arange(len(here)),
            np.flatnonzero(np.diff(np.cumsum(pairs) // _PAIRS_AT_ONCE)) + 1,
        ):
            one, two = _products(start, count, here[part], there[part])
            meet = np.minimum(high[one], high[two]) > np.maximum(low[one], low[two])
            found_first.append(one[meet])
            found_second.append(two[meet])
    return np.concatenate(found_first), np.concatenate(found_second)


def _products(start: Ints, count: Ints, here: Ints, there: Ints) -> tuple[Ints, Ints]:
    """Every stretch of each line with every stretch of its neighbour."""
    pairs = count[here] * count[there]
    owner = np.repeat(np.arange(len(here)), pairs)
    step = np.arange(len(owner)) - np.repeat(np.cumsum(pairs) - pairs, pairs)
    i, j = np.divmod(step, count[there][owner])
    return start[here][owner] + i, start[there][owner] + j


def _best_ways(first: Ints, second: Ints, passage: Floats, count: int, top: float) -> csr_array:
    """The tree of highest passages, as (top - passage + 1) on a symmetric matrix; node 0 is
    everything that is open above."""
    different = first != second
    low = np.minimum(first[different], second[different])
    high = np.maximum(first[different], second[different])
    cost = top - passage[different] + 1.0
    order = np.lexsort((cost, high, low))
    low, high, cost = low[order], high[order], cost[order]
    best = np.ones(len(low), dtype=np.bool_)
    best[1:] = (low[1:] != low[:-1]) | (high[1:] != high[:-1])
    graph = coo_array((cost[best], (low[best], high[best])), shape=(count, count)).tocsr()
    tree = minimum_spanning_tree(graph)
    return csr_array(tree + tree.T)


def _spill_levels(tree: csr_array, top: float) -> Floats:
    """Height of the lowest passage on the way from each node to node 0."""
    count = tree.shape[0]
    before = breadth_first_order(tree, 0, directed=False)[1].astype(np.int64)
    reached = before >= 0
    parent = np.where(reached, before, 0)
    child = np.flatnonzero(reached)
    level = np.full(count, np.inf)
    level[child] = top + 1.0 - np.asarray(tree[child, parent[child]]).reshape(-1)
    while parent.any():
        level = np.minimum(level, level[parent])
        parent = parent[parent]
    reached[0] = True
    return np.where(reached, level, -np.inf)


def _pockets(
    tree: csr_array, spill: Floats, stays: np.ndarray[tuple[int], np.dtype[np.bool_]], top: float
) -> Ints:
    """Number of the pocket of each stretch: those whose gas touches above the spill level."""
    edges = tree.tocoo()
    first, second = edges.row - 1, edges.col - 1
    inner = (first >= 0) & (second >= 0)
    first, second = first[inner], second[inner]
    passage = top + 1.0 - edges.data[inner]
    joins = passage > np.maximum(spill[first], spill[second])
    joins &= np.isfinite(spill[first]) & np.isfinite(spill[second])
    label = joined_labels(first[joins], second[joins], len(spill))
    numbers = np.unique(label[stays])
    return np.where(stays, np.searchsorted(numbers, label), -1)
