"""Panels gathered in a tree of boxes, and the pairs of boxes that are far enough to be compressed.

Each group of panels has a tree of its own, so that a cluster never holds two bodies: between bodies
the potential jumps in ways that one smooth basis cannot follow, and walls are coarser than parts.
A cluster is halved across the longest side of its box until leaves hold at most `leaf_size` panels.

A pair (target, source) is far where the smaller of the two boxes' diagonals is at most RATIO gaps,
and the gap exceeds CLEARANCE of the source's longest edges, so that quadrature holds. As all panels
lie on one side of the liquid's surface, the image of a far target is farther still.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tankside.field.panels import Panels

_Index = npt.NDArray[np.int64]
_Real = npt.NDArray[np.float64]

RATIO = 4.0
"""Largest ratio of the smaller box's diagonal to the gap between the boxes of a far pair [-]."""

CLEARANCE = 2.0
"""Smallest gap of a far pair in the source's longest edges [-]."""

_PAIRS_A_NODE = 64
"""Room for pairs, at first."""

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
    """first, last, left, right of the nodes, the groups that begin at `starts` first; `order` is
    rearranged to them."""
    from tankside.field.cluster_kernels import halve

    leaves = len(order) // leaf_size + len(starts)  # or fewer
    nodes = np.zeros((2 * leaves, 4), dtype=np.int64)
    nodes[: len(starts), 0] = starts
    nodes[: len(starts), 1] = np.append(starts[1:], len(order))
    count = halve(np.array(centres), order, leaf_size, len(starts), nodes)
    first, last, left, right = np.ascontiguousarray(nodes[:count].T)
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
    return np.ascontiguousarray(least_or_most.reduceat(behind, bounds)[::2])


def far_and_near(clusters: Clusters) -> tuple[_Index, _Index]:
    """All pairs of panels in two sets of pairs of nodes (pairs, 2): far, and near (of leaves).

    Both are sorted by target and source.
    """
    boxes = clusters.low, clusters.high
    return _walked(clusters, boxes, ratio=RATIO, clearance=CLEARANCE, largest=LARGEST, beyond=True)


def all_near(clusters: Clusters) -> tuple[_Index, _Index]:
    """The same with no far pair."""
    pairs = np.stack(np.meshgrid(clusters.leaves, clusters.leaves, indexing="ij"), -1)
    return np.zeros((0, 2), dtype=np.int64), pairs.reshape(-1, 2)


def leaves_within(clusters: Clusters, reach: float, level: float | None = None) -> _Index:
    """Pairs of leaves (pairs, 2), sorted, with the target closer to the source's box than `reach`
    of its longest edges; with `level` it is the target's image in the plane z = level."""
    low, high = clusters.low, clusters.high
    if level is not None:
        low, high = low.copy(), high.copy()
        low[:, 2], high[:, 2] = 2 * level - clusters.high[:, 2], 2 * level - clusters.low[:, 2]
    everything = len(clusters.order)
    return _walked(
        clusters, (low, high), ratio=np.inf, clearance=reach, largest=everything, beyond=False
    )[1]


def _walked(
    clusters: Clusters,
    targets: tuple[_Real, _Real],
    *,
    ratio: float,
    clearance: float,
    largest: int,
    beyond: bool,
) -> tuple[_Index, _Index]:
    """Pairs of nodes that are settled (`cluster_kernels.walk`), with the targets' boxes as given,
    and the pairs of leaves that never were; each sorted."""
    from tankside.field.cluster_kernels import walk

    room = _PAIRS_A_NODE * len(clusters.first)
    while True:
        settled, left = (np.empty((room, 2), dtype=np.int64) for _ in range(2))
        counts = np.zeros(2, dtype=np.int64)
        if walk(
            *targets,
            clusters.low,
            clusters.high,
            clusters.diagonal,
            clusters.edge,
            clusters.count,
            clusters.left,
            clusters.right,
            len(clusters.roots),
            ratio,
            clearance,
            largest,
            beyond,
            settled,
            left,
            counts,
        ):
            break
        room *= 4
    return _sorted(clusters, settled[: counts[0]]), _sorted(clusters, left[: counts[1]])


def _sorted(clusters: Clusters, pairs: _Index) -> _Index:
    rank = np.empty_like(clusters.first)
    rank[np.lexsort((clusters.last, clusters.first))] = np.arange(len(rank))
    return pairs[np.argsort(rank[pairs[:, 0]] * len(rank) + rank[pairs[:, 1]], kind="stable")]
