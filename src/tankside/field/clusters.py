"""Panels gathered in a tree of boxes, and the pairs of boxes that are far enough to be compressed.

Each group of panels has a tree of its own, so that a cluster never holds two bodies: between bodies
the potential jumps in ways that one smooth basis cannot follow, and walls are coarser than parts.
A cluster is halved across the longest side of its box until leaves hold at most `leaf_size` panels.

A pair (target, source) is far where the smaller of the two boxes' diagonals is at most RATIO gaps,
and the gap exceeds CLEARANCE of the source's longest edges, so that quadrature holds. As all panels
lie on one side of the liquid's surface, the image of a far target is farther still.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tankside.field.panels import Panels

_Index = npt.NDArray[np.int64]
_Real = npt.NDArray[np.float64]

_NO_PAIRS = np.zeros((0, 2), dtype=np.int64)

RATIO = 4.0
"""Largest ratio of the smaller box's diagonal to the gap between the boxes of a far pair [-]."""

CLEARANCE = 2.0
"""Smallest gap of a far pair in the source's longest edges [-]."""

LARGEST = 4096
"""Panels of the largest cluster of a far pair: bounds the work space and evens out the work."""


@dataclass(frozen=True, kw_only=True)
class Clusters:
    """A forest of boxes over the panels in `order`; a node holds the run first..last of it.

    order   (n,) the panel at each place; first, last, left, right (nodes,), left < 0 at a leaf
    low, high  corners of the box of whole panels (nodes, 3) [m]
    edge    longest edge of a panel in it (nodes,) [m]
    roots   one node a group
    """

    order: _Index
    first: _Index
    last: _Index
    left: _Index
    right: _Index
    low: _Real
    high: _Real
    edge: _Real
    roots: _Index

    @property
    def count(self) -> _Index:
        """Panels in each node (nodes,)."""
        return self.last - self.first

    @property
    def diagonal(self) -> _Real:
        """Of each node's box (nodes,) [m]."""
        return np.asarray(np.linalg.norm(self.high - self.low, axis=1))

    @property
    def leaves(self) -> _Index:
        """The nodes without children, in the panels' order."""
        leaves = np.flatnonzero(self.left < 0)
        return leaves[np.argsort(self.first[leaves])]


def clustered(panels: Panels, leaf_size: int) -> Clusters:
    """The forest of `panels`, leaves of at most `leaf_size`, the same whatever the panels' order
    but for panels with the same centroid."""
    centres = np.asarray(panels.centroids)
    # Start from an order by place, so that a shuffled set of panels gives the same clusters.
    order = np.lexsort((centres[:, 2], centres[:, 1], centres[:, 0], panels.group))
    starts = np.unique(panels.group[order], return_index=True)[1]
    first, last, left, right = _split(centres, order, starts, leaf_size)
    low, high, edge = _boxes(panels, order, first, last)
    return Clusters(
        order=order,
        first=first,
        last=last,
        left=left,
        right=right,
        low=low,
        high=high,
        edge=edge,
        roots=np.arange(len(starts)),
    )


def _split(
    centres: _Real, order: _Index, starts: _Index, leaf_size: int
) -> tuple[_Index, _Index, _Index, _Index]:
    """first, last, left, right of the nodes, level by level, the groups that begin at `starts`
    first; `order` is rearranged to them."""
    first, last = starts, np.append(starts[1:], len(order))
    levels, count = [], len(first)
    while len(first):
        size = last - first
        leaves = -(-size // leaf_size)
        split = np.flatnonzero(leaves > 1)
        left, right = np.full(len(first), -1), np.full(len(first), -1)
        left[split] = count + np.arange(len(split))
        right[split] = left[split] + len(split)
        levels.append((first, last, left, right))
        first, last, size, leaves = first[split], last[split], size[split], leaves[split]
        owner = np.repeat(np.arange(len(split)), size)
        begins = np.cumsum(size) - size
        place = np.arange(len(owner)) + (first - begins)[owner]
        points = centres[order[place]]
        if len(split):
            extent = np.maximum.reduceat(points, begins) - np.minimum.reduceat(points, begins)
            along = points[np.arange(len(points)), extent.argmax(axis=1)[owner]]
            # Stable: panels in one plane keep their order by place.
            order[place] = order[place][np.lexsort((along, owner))]
        # Whole leaves to each side, so that all are nearly full.
        cut = first + size * (leaves // 2) // leaves
        first, last = np.concatenate([first, cut]), np.concatenate([cut, last])
        count += len(first)
    first, last, left, right = (np.concatenate(parts) for parts in zip(*levels, strict=True))
    return first, last, left, right


def _boxes(
    panels: Panels, order: _Index, first: _Index, last: _Index
) -> tuple[_Real, _Real, _Real]:
    corners, sizes = panels.corners[order], panels.sizes[order]
    low = of_runs(np.minimum, corners.min(axis=1), first, last)
    high = of_runs(np.maximum, corners.max(axis=1), first, last)
    return low, high, of_runs(np.maximum, sizes, first, last)


def of_runs(least_or_most: np.ufunc, values: _Real, first: _Index, last: _Index) -> _Real:
    """least_or_most of values[first[k]:last[k]] for each k; no run is empty."""
    bounds = np.stack([first, last], axis=1).reshape(-1)
    behind = np.concatenate([values, values[-1:]])  # so that a run may end with the values
    return np.asarray(least_or_most.reduceat(behind, bounds)[::2])


def far_and_near(clusters: Clusters) -> tuple[_Index, _Index]:
    """All pairs of panels in two sets of pairs of nodes (pairs, 2): far, and near (of leaves).

    Both are sorted by target and source.
    """
    sizes, diagonal = clusters.count, clusters.diagonal

    def far(target: _Index, source: _Index) -> npt.NDArray[np.bool_]:
        gap = gaps(clusters.low[target], clusters.high[target], clusters, source)
        small = np.minimum(diagonal[target], diagonal[source]) <= RATIO * gap
        handy = np.maximum(sizes[target], sizes[source]) <= LARGEST
        return np.asarray(small & handy & (gap > CLEARANCE * clusters.edge[source]))

    return _walked(clusters, far)


def leaves_within(clusters: Clusters, reach: float, level: float | None = None) -> _Index:
    """Pairs of leaves (pairs, 2), sorted, with the target closer to the source's box than `reach`
    of its longest edges; with `level` it is the target's image in the plane z = level."""
    low, high = clusters.low, clusters.high
    if level is not None:
        low, high = low.copy(), high.copy()
        low[:, 2], high[:, 2] = 2 * level - clusters.high[:, 2], 2 * level - clusters.low[:, 2]

    def beyond(target: _Index, source: _Index) -> npt.NDArray[np.bool_]:
        gap = gaps(low[target], high[target], clusters, source)
        return np.asarray(gap >= reach * clusters.edge[source])

    return _walked(clusters, beyond)[1]


def gaps(low: _Real, high: _Real, clusters: Clusters, nodes: _Index) -> _Real:
    """Distance between boxes low..high (k, 3) and the boxes of nodes (k,) [m]."""
    apart = np.maximum(low - clusters.high[nodes], clusters.low[nodes] - high)
    return np.asarray(np.linalg.norm(np.maximum(apart, 0.0), axis=1))


def _walked(
    clusters: Clusters, settled: Callable[[_Index, _Index], npt.NDArray[np.bool_]]
) -> tuple[_Index, _Index]:
    """Pairs of nodes that are settled, and the pairs of leaves that never were; each sorted."""
    done, left = [_NO_PAIRS], [_NO_PAIRS]
    pairs = np.stack(np.meshgrid(clusters.roots, clusters.roots, indexing="ij"), -1).reshape(-1, 2)
    diagonal = clusters.diagonal
    while len(pairs):
        is_settled = settled(pairs[:, 0], pairs[:, 1])
        done.append(pairs[is_settled])
        pairs = pairs[~is_settled]
        leaves = (clusters.left[pairs] < 0).all(axis=1)
        left.append(pairs[leaves])
        pairs = _halved(clusters, diagonal, pairs[~leaves])
    return _sorted(clusters, np.concatenate(done)), _sorted(clusters, np.concatenate(left))


def _halved(clusters: Clusters, diagonal: _Real, pairs: _Index) -> _Index:
    """Each pair with its larger node, or the one that is no leaf, replaced by the two halves."""
    target, source = pairs.T
    halve_source = (clusters.left[target] < 0) | (
        (clusters.left[source] >= 0) & (diagonal[source] > diagonal[target])
    )
    t, s = target[halve_source], source[halve_source]
    u, v = target[~halve_source], source[~halve_source]
    return np.concatenate(
        [
            np.stack([t, clusters.left[s]], -1),
            np.stack([t, clusters.right[s]], -1),
            np.stack([clusters.left[u], v], -1),
            np.stack([clusters.right[u], v], -1),
        ]
    )


def _sorted(clusters: Clusters, pairs: _Index) -> _Index:
    rank = np.empty_like(clusters.first)
    rank[np.lexsort((clusters.last, clusters.first))] = np.arange(len(rank))
    return pairs[np.argsort(rank[pairs[:, 0]] * len(rank) + rank[pairs[:, 1]], kind="stable")]
