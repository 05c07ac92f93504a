"""How the triangles of a mesh hang together: edges, bodies, winding.

Triangles that share an edge of two belong to one body; at an edge of more, those that enclose one
wedge of material (`around_edges`). So two boxes that touch along an edge stay two closed bodies,
and a box with an inner wall is one body that is not manifold. Corners are the same where their
numbers are: no distance is measured.
"""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from tankside.base.arrays import Bools, Ints
from tankside.part.around_edges import paired_around
from tankside.part.mesh import TriangleMesh


@dataclass(frozen=True, kw_only=True)
class Edges:
    """Undirected edges of a mesh.

    corners   (ne, 2) corner numbers, the lower first
    edge      (nt, 3) edge of each triangle's side k, from its corner k to its corner k + 1
    forward   (nt, 3) True where that side runs from the lower corner to the higher
    count     (ne,) how many triangles share the edge
    """

    corners: Ints
    edge: Ints
    forward: Bools
    count: Ints

    @property
    def neighbours(self) -> tuple[Ints, Ints, Bools]:
        """(first, second, agree) for edges of exactly two triangles: the two, and whether they are
        wound alike (the edge is run through once in each direction)."""
        first, second = _sides_by_edge(self.edge, self.count == 2)
        flat = self.forward.reshape(-1)
        return first // 3, second // 3, flat[first] != flat[second]


def edges_of(mesh: TriangleMesh) -> Edges:
    """The edges of a mesh; a side between two equal corner numbers counts as an edge too."""
    start = mesh.triangles
    end = np.roll(start, -1, axis=1)
    low, high = np.minimum(start, end), np.maximum(start, end)
    key, edge, count = np.unique(
        (low * len(mesh.vertices) + high).reshape(-1), return_inverse=True, return_counts=True
    )
    return Edges(
        corners=np.stack(np.divmod(key, max(len(mesh.vertices), 1)), axis=1),
        edge=edge.reshape(-1, 3),
        forward=start < end,
        count=count,
    )


def _sides_by_edge(edge: Ints, wanted: Bools) -> tuple[Ints, Ints]:
    """The two sides (numbers 3 t + k) of each wanted edge; wanted edges have exactly two."""
    flat = edge.reshape(-1)
    sides = np.flatnonzero(wanted[flat])
    sides = sides[np.argsort(flat[sides], kind="stable")]
    return sides[0::2], sides[1::2]


def bodies_of(mesh: TriangleMesh, edges: Edges) -> Ints:
    """Body number of each triangle (nt,), from 0 in order of their first triangle."""
    first, second, _ = edges.neighbours
    crowded, sides = _crowded_edges(edges)
    more_first, more_second = paired_around(mesh, edges.corners[crowded], sides)
    return _in_order_of_mention(
        joined_labels(
            np.concatenate([first, more_first]),
            np.concatenate([second, more_second]),
            len(edges.edge),
        )
    )


def _crowded_edges(edges: Edges) -> tuple[Ints, list[Ints]]:
    """Edges with more than two triangles, and the sides (3 t + k) at each."""
    flat = edges.edge.reshape(-1)
    crowded = np.flatnonzero(edges.count > 2)
    if not len(crowded):
        return crowded, []
    sides = np.flatnonzero(edges.count[flat] > 2)
    sides = sides[np.argsort(flat[sides], kind="stable")]
    return crowded, np.split(sides, np.flatnonzero(np.diff(flat[sides])) + 1)


@dataclass(frozen=True, kw_only=True)
class BodyEdges:
    """How the edges of each body close (nb,): open ones have an odd number of the body's
    triangles; unlike ones are not run through as often in one direction as in the other."""

    open: Ints
    unlike: Ints


def edges_by_body(edges: Edges, body: Ints) -> BodyEdges:
    """Counts of open and unlike edges for each body."""
    bodies = int(body.max(initial=-1)) + 1
    key = (np.repeat(body, 3) * len(edges.count)) + edges.edge.reshape(-1)
    own, place, count = np.unique(key, return_inverse=True, return_counts=True)
    balance = np.bincount(place, np.where(edges.forward.reshape(-1), 1, -1), minlength=len(own))
    owner = own // max(len(edges.count), 1)
    odd = count % 2 == 1
    return BodyEdges(
        open=np.bincount(owner[odd], minlength=bodies),
        unlike=np.bincount(owner[~odd & (balance != 0)], minlength=bodies),
    )


def joined_labels(first: Ints, second: Ints, count: int) -> Ints:
    """Group number of each of `count` things (count,), where thing first[k] is with second[k]."""
    links = coo_array((np.ones(len(first), dtype=np.bool_), (first, second)), shape=(count, count))
    return np.asarray(connected_components(links, directed=False)[1], dtype=np.int64)


def pieces_of(triangles: Ints, vertices: int) -> Ints:
    """The piece of each of triangles (nt, 3), from nought up: those of one piece share corners."""
    a, b, c = triangles.T
    label = joined_labels(np.concatenate([a, b]), np.concatenate([b, c]), vertices)[a]
    return np.asarray(np.unique(label, return_inverse=True)[1], dtype=np.int64)


def _in_order_of_mention(labels: Ints) -> Ints:
    first = np.unique(labels, return_index=True)[1]
    rank = np.zeros(len(first), dtype=np.int64)
    rank[np.argsort(first)] = np.arange(len(first))
    return rank[labels]


def sides_to_turn(edges: Edges) -> tuple[Bools, Bools]:
    """(turn, one_sided): which triangles (nt,) to turn round so that neighbours are wound alike
    within each patch, turning the fewer triangles of a patch; and which lie in a patch that has
    only one side (as a Moebius strip), where no choice works."""
    count = len(edges.edge)
    first, second, agree = edges.neighbours
    same, other = np.flatnonzero(agree), np.flatnonzero(~agree)
    doubled = joined_labels(
        np.concatenate([first[same], first[same] + count, first[other], first[other] + count]),
        np.concatenate([second[same], second[same] + count, second[other] + count, second[other]]),
        2 * count,
    )
    as_is, turned = doubled[:count], doubled[count:]
    one_sided = as_is == turned
    votes = np.bincount(as_is, minlength=doubled.max(initial=-1) + 1)
    losing = votes[as_is] < votes[turned]
    tied = (votes[as_is] == votes[turned]) & (as_is > turned)
    return (losing | tied) & ~one_sided, one_sided
