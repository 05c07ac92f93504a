"""A closed triangle surface that can be edited: half-edges with their three local changes.

Half-edge e = 3 t + k of triangle t runs from its k-th corner to the next; `twin` is the same edge
seen from the other side. The changes (split, flip, collapse) keep the surface closed and its
topology unchanged; whether a change is wise is decided elsewhere. Nothing here moves a vertex.
"""

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Bools, Floats, Ints
from tankside.base.errors import MeshDefect
from tankside.part.remesh_kernels import inner


class HalfEdges(NamedTuple):
    """Arrays with room to spare; `used` holds how many vertices and triangles are in use.

    points (nv, 3); size (nv,) wished edge length; slack (nv,) distance that the surface may stray
    there; fixed (nv,) 0 free, 1 slides on a sharp line, 2 never moves; leaving (nv,) a half-edge
    that starts there, -1 when removed; arc (nv, 2) curvature [1/length] and turn [rad] of the sharp
    line there
    start, twin, sharp (3 nt,) vertex, opposite half-edge, and whether the edge is a sharp line;
    start is -1 for removed triangles; bend (nt, 2) curvature of the surface [1/length] and turn
    over an edge [rad], where the triangle lies
    """

    points: Floats
    size: Floats
    slack: Floats
    fixed: Ints
    leaving: Ints
    arc: Floats
    start: Ints
    twin: Ints
    sharp: Bools
    bend: Floats
    used: Ints


def half_edges(vertices: Floats, triangles: Ints) -> HalfEdges:
    """Half-edges of a closed, consistently wound surface; MeshDefect where it is not one."""
    count = len(triangles)
    start = np.ascontiguousarray(triangles, dtype=np.int64).reshape(-1)
    end = np.ascontiguousarray(np.roll(triangles, -1, axis=1), dtype=np.int64).reshape(-1)
    forward = start * len(vertices) + end
    backward = end * len(vertices) + start
    order = np.argsort(forward, kind="stable")
    place = np.searchsorted(forward[order], backward)
    twin = order[np.minimum(place, len(order) - 1)]
    if not (forward[twin] == backward).all() or (np.diff(forward[order]) == 0).any():
        raise MeshDefect("the surface is open or has edges with more than two triangles")
    leaving = np.full(len(vertices), -1, dtype=np.int64)
    leaving[start[::-1]] = np.arange(3 * count)[::-1]
    return HalfEdges(
        points=np.array(vertices, dtype=np.float64, order="C"),
        size=np.ones(len(vertices)),
        slack=np.zeros(len(vertices)),
        fixed=np.zeros(len(vertices), dtype=np.int64),
        leaving=leaving,
        arc=np.zeros((len(vertices), 2)),
        start=start.copy(),
        twin=twin,
        sharp=np.zeros(3 * count, dtype=np.bool_),
        bend=np.zeros((count, 2)),
        used=np.array([len(vertices), count], dtype=np.int64),
    )


def compacted(mesh: HalfEdges, room: float = 0.0) -> HalfEdges:
    """A copy without removed vertices and triangles, with room for `room` times as many more."""
    vertices = np.flatnonzero(mesh.leaving[: mesh.used[0]] >= 0)
    kept = np.flatnonzero(mesh.start[: 3 * mesh.used[1] : 3] >= 0)
    new_vertex = np.full(mesh.used[0], -1, dtype=np.int64)
    new_vertex[vertices] = np.arange(len(vertices))
    new_triangle = np.full(mesh.used[1], -1, dtype=np.int64)
    new_triangle[kept] = np.arange(len(kept))
    edges = (3 * kept[:, None] + np.arange(3)).reshape(-1)
    more_vertices, more_triangles = (int(room * len(part)) + 8 for part in (vertices, kept))
    twin = mesh.twin[edges]
    leaving = mesh.leaving[vertices]
    return HalfEdges(
        points=_longer(mesh.points[vertices], more_vertices),
        size=_longer(mesh.size[vertices], more_vertices),
        slack=_longer(mesh.slack[vertices], more_vertices),
        fixed=_longer(mesh.fixed[vertices], more_vertices),
        leaving=_longer(3 * new_triangle[leaving // 3] + leaving % 3, more_vertices),
        arc=_longer(mesh.arc[vertices], more_vertices),
        start=_longer(new_vertex[mesh.start[edges]], 3 * more_triangles),
        twin=_longer(3 * new_triangle[twin // 3] + twin % 3, 3 * more_triangles),
        sharp=_longer(mesh.sharp[edges], 3 * more_triangles),
        bend=_longer(mesh.bend[kept], more_triangles),
        used=np.array([len(vertices), len(kept)], dtype=np.int64),
    )


def _longer(values: npt.NDArray[Any], more: int) -> npt.NDArray[Any]:
    return np.concatenate([values, np.zeros((more, *values.shape[1:]), dtype=values.dtype)])


def soup(mesh: HalfEdges) -> tuple[Floats, Ints]:
    """Vertices (nv, 3) and triangles (nt, 3) of a compacted surface."""
    vertices, triangles = int(mesh.used[0]), int(mesh.used[1])
    return mesh.points[:vertices].copy(), mesh.start[: 3 * triangles].reshape(-1, 3).copy()


def edge_list(mesh: HalfEdges) -> Ints:
    """One half-edge of each edge, in ascending order."""
    all_edges = np.arange(3 * mesh.used[1])
    alive = mesh.start[: 3 * mesh.used[1]] >= 0
    return all_edges[alive & (all_edges < mesh.twin[: 3 * mesh.used[1]])]


def relative_lengths(mesh: HalfEdges, edges: Ints) -> Floats:
    """Length of each edge over the mean wished size of its ends [-]."""
    a = mesh.start[edges]
    b = mesh.start[mesh.twin[edges]]
    lengths = np.linalg.norm(mesh.points[a] - mesh.points[b], axis=1)
    return np.asarray(lengths / (0.5 * (mesh.size[a] + mesh.size[b])))


@inner
def following(edge: int) -> int:
    """The next half-edge of the same triangle."""
    return edge - 2 if edge % 3 == 2 else edge + 1


@inner
def preceding(edge: int) -> int:
    """The half-edge before this one in the same triangle."""
    return edge + 2 if edge % 3 == 0 else edge - 1


@inner
def ring(mesh: HalfEdges, vertex: int, spokes: Ints) -> int:
    """The half-edges that leave a vertex, anticlockwise, into `spokes`; returns how many, or the
    length of `spokes` + 1 when they do not fit."""
    first = mesh.leaving[vertex]
    edge = first
    count = 0
    while True:
        if count == len(spokes):
            return count + 1
        spokes[count] = edge
        count += 1
        edge = mesh.twin[preceding(edge)]
        if edge == first:
            return count


@inner
def joined(mesh: HalfEdges, a: int, b: int) -> bool:
    """Whether an edge joins vertices a and b."""
    first = mesh.leaving[a]
    edge = first
    while True:
        if mesh.start[mesh.twin[edge]] == b:
            return True
        edge = mesh.twin[preceding(edge)]
        if edge == first:
            return False


@inner
def _link(mesh: HalfEdges, one: int, two: int, sharp: bool) -> None:
    mesh.twin[one] = two
    mesh.twin[two] = one
    mesh.sharp[one] = sharp
    mesh.sharp[two] = sharp


@inner
def _set_corners(mesh: HalfEdges, triangle: int, a: int, b: int, c: int) -> None:
    mesh.start[3 * triangle] = a
    mesh.start[3 * triangle + 1] = b
    mesh.start[3 * triangle + 2] = c
    mesh.leaving[a] = 3 * triangle
    mesh.leaving[b] = 3 * triangle + 1
    mesh.leaving[c] = 3 * triangle + 2


@inner
def split(mesh: HalfEdges, edge: int) -> int:
    """Puts a new vertex on an edge and returns it; its place, size and freedom are the caller's."""
    twin = mesh.twin[edge]
    bc, ca = following(edge), preceding(edge)
    ad, db = following(twin), preceding(twin)
    a, b, c, d = mesh.start[edge], mesh.start[twin], mesh.start[ca], mesh.start[db]
    o_bc, o_ca, o_ad, o_db = mesh.twin[bc], mesh.twin[ca], mesh.twin[ad], mesh.twin[db]
    s_bc, s_ca, s_ad, s_db = mesh.sharp[bc], mesh.sharp[ca], mesh.sharp[ad], mesh.sharp[db]
    along_edge = mesh.sharp[edge]
    t, s = edge // 3, twin // 3
    m, t2 = mesh.used[0], mesh.used[1]
    s2 = t2 + 1
    mesh.used[0] += 1
    mesh.used[1] += 2
    _set_corners(mesh, t, a, m, c)
    _set_corners(mesh, t2, m, b, c)
    _set_corners(mesh, s, m, a, d)
    _set_corners(mesh, s2, b, m, d)
    _link(mesh, 3 * t, 3 * s, along_edge)
    _link(mesh, 3 * t2, 3 * s2, along_edge)
    _link(mesh, 3 * t + 1, 3 * t2 + 2, False)
    _link(mesh, 3 * s + 2, 3 * s2 + 1, False)
    _link(mesh, 3 * t + 2, o_ca, s_ca)
    _link(mesh, 3 * t2 + 1, o_bc, s_bc)
    _link(mesh, 3 * s + 1, o_ad, s_ad)
    _link(mesh, 3 * s2 + 2, o_db, s_db)
    for k in range(2):
        mesh.bend[t2, k] = mesh.bend[t, k]
        mesh.bend[s2, k] = mesh.bend[s, k]
    return int(m)


@inner
def flip(mesh: HalfEdges, edge: int) -> None:
    """Turns an edge to join the two corners that lie across from it."""
    twin = mesh.twin[edge]
    bc, ca = following(edge), preceding(edge)
    ad, db = following(twin), preceding(twin)
    a, b, c, d = mesh.start[edge], mesh.start[twin], mesh.start[ca], mesh.start[db]
    o_bc, o_ca, o_ad, o_db = mesh.twin[bc], mesh.twin[ca], mesh.twin[ad], mesh.twin[db]
    s_bc, s_ca, s_ad, s_db = mesh.sharp[bc], mesh.sharp[ca], mesh.sharp[ad], mesh.sharp[db]
    t, s = edge // 3, twin // 3
    _set_corners(mesh, t, a, d, c)
    _set_corners(mesh, s, d, b, c)
    _link(mesh, 3 * t + 1, 3 * s + 2, False)
    _link(mesh, 3 * t, o_ad, s_ad)
    _link(mesh, 3 * t + 2, o_ca, s_ca)
    _link(mesh, 3 * s, o_db, s_db)
    _link(mesh, 3 * s + 1, o_bc, s_bc)


@inner
def collapse(mesh: HalfEdges, edge: int, spokes: Ints, count: int) -> None:
    """Pulls the start of an edge into its end; `spokes` is the ring of the start."""
    twin = mesh.twin[edge]
    bc, ca = following(edge), preceding(edge)
    ad, db = following(twin), preceding(twin)
    a, b, c, d = mesh.start[edge], mesh.start[twin], mesh.start[ca], mesh.start[db]
    o_bc, o_ca, o_ad, o_db = mesh.twin[bc], mesh.twin[ca], mesh.twin[ad], mesh.twin[db]
    s_c = mesh.sharp[bc] or mesh.sharp[ca]
    s_d = mesh.sharp[ad] or mesh.sharp[db]
    for k in range(count):
        mesh.start[spokes[k]] = b
    for k in range(3):
        mesh.start[3 * (edge // 3) + k] = -1
        mesh.start[3 * (twin // 3) + k] = -1
    _link(mesh, o_bc, o_ca, s_c)
    _link(mesh, o_ad, o_db, s_d)
    mesh.leaving[a] = -1
    mesh.leaving[b] = o_ca
    mesh.leaving[c] = o_bc
    mesh.leaving[d] = o_ad
