"""Closed shells out of a heap of triangles, where that needs no guess about the shape.

Corners at one place are welded; triangles that repeat another or have two corners at one place are
left out; where a corner lies on another triangle's open edge, that triangle is cut there (a seam
without width); neighbours are wound alike; where more than two triangles meet in an edge, those
that enclose material between them belong together. What is still open, or one-sided, is `Broken`.
"""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from tankside.base.arrays import Bools, Floats, Ints
from tankside.part.mesh import TriangleMesh
from tankside.part.welding import near_places, same_place

WELD = 1e-7
"""Corners nearer than this share of the box's diagonal are one [-]."""

ON_EDGE = 1e-6
"""A corner nearer to an edge than this share of the box's diagonal lies on it [-]."""

MOST_SEAMS = 20000
"""Open edges beyond which seams are not looked for [-]."""


@dataclass(frozen=True, kw_only=True)
class Broken:
    """Why a mesh has no skin by the direct way, as the end of a sentence that starts with 'it'."""

    reason: str


@dataclass(frozen=True, kw_only=True)
class Shell:
    """One connected closed surface, wound outwards: vertices (nv, 3) [m], triangles (nt, 3)."""

    vertices: Floats
    triangles: Ints

    @property
    def volume(self) -> float:
        """Enclosed volume [m³]."""
        return enclosed_volume(self.vertices, self.triangles)


def enclosed_volume(vertices: Floats, triangles: Ints) -> float:
    """Volume by the divergence theorem; negative where the winding is inwards."""
    a, b, c = (vertices[triangles[:, k]] - vertices[0] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def closed_shells(mesh: TriangleMesh) -> list[Shell] | Broken:
    """The connected closed shells of a mesh, each wound outwards, or why it has none."""
    vertices, triangles = welded(mesh.vertices, mesh.triangles)
    if not len(triangles):
        return Broken(reason="has no triangle with an area")
    vertices, triangles = _seams_cut(vertices, triangles)
    edges = _Edges.of(triangles)
    if (edges.count % 2 == 1).any():
        number = int((edges.count % 2 == 1).sum())
        return Broken(reason=f"is open or branches at {number} edges")
    turned = _turned(edges, len(triangles))
    if turned is None:
        return Broken(reason="has a one-sided surface")
    triangles = np.where(turned[:, None], triangles[:, ::-1], triangles)
    return _separated(vertices, triangles, _Edges.of(triangles))


def welded(vertices: Floats, triangles: Ints) -> tuple[Floats, Ints]:
    """The mesh with corners at one place made one, without triangles that have two corners at one
    place or repeat another (in the same winding)."""
    if not len(triangles):
        return vertices, triangles
    first, number = same_place(vertices)
    vertices, triangles = vertices[first], number[triangles]
    if (_Edges.of(triangles).count % 2 == 1).any():
        first, number = near_places(vertices, WELD * _diagonal(vertices))
        vertices, triangles = vertices[first], number[triangles]
    a, b, c = triangles.T
    triangles = triangles[(a != b) & (b != c) & (c != a)]
    if not len(triangles):
        return vertices, triangles
    lowest = triangles.argmin(axis=1)
    turned = triangles[np.arange(len(triangles))[:, None], (lowest[:, None] + np.arange(3)) % 3]
    _, kept = np.unique(turned, axis=0, return_index=True)
    return vertices, triangles[np.sort(kept)]


def _diagonal(vertices: Floats) -> float:
    return float(np.linalg.norm(np.ptp(vertices, axis=0)))


@dataclass(frozen=True, kw_only=True)
class _Edges:
    """half (3 nt,) half-edges sorted by edge; first, count (ne,) where an edge's half-edges stand
    in `half`; upward (3 nt,) whether a half-edge runs to the higher vertex number."""

    half: Ints
    first: Ints
    count: Ints
    upward: Bools

    @classmethod
    def of(cls, triangles: Ints) -> "_Edges":
        start = triangles.reshape(-1)
        end = np.roll(triangles, -1, axis=1).reshape(-1)
        keys = np.minimum(start, end) * (int(triangles.max()) + 1) + np.maximum(start, end)
        half = np.argsort(keys, kind="stable")
        _, first, count = np.unique(keys[half], return_index=True, return_counts=True)
        return cls(half=half, first=first, count=count, upward=start < end)

    def doubles(self) -> tuple[Ints, Ints]:
        """The two half-edges of each edge that has two."""
        first = self.first[self.count == 2]
        return self.half[first], self.half[first + 1]

    def where(self, chosen: Bools) -> Ints:
        """The half-edges of chosen edges."""
        return self.half[np.repeat(chosen, self.count)]


def _seams_cut(vertices: Floats, triangles: Ints) -> tuple[Floats, Ints]:
    """Drops triangles without height at edges that have not two triangles, and cuts the others at
    corners that lie on their open edges, until nothing changes."""
    for _ in range(8):
        edges = _Edges.of(triangles)
        halves = edges.where(edges.count != 2)
        flat = halves[_heights(vertices, triangles[halves // 3]) < ON_EDGE * _diagonal(vertices)]
        if len(flat):
            triangles = np.delete(triangles, flat // 3, axis=0)
            continue
        halves = edges.where(edges.count % 2 == 1)
        cuts = _cuts(vertices, triangles, halves) if 0 < len(halves) <= MOST_SEAMS else []
        if not cuts:
            break
        gone = np.array([half // 3 for half, _ in cuts])
        new = [_fan(triangles, half, between) for half, between in cuts]
        triangles = np.concatenate([np.delete(triangles, gone, axis=0), *new])
    return vertices, triangles


def _heights(vertices: Floats, triangles: Ints) -> Floats:
    """Least height of each triangle (nt,) [m]."""
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    sides = [np.linalg.norm(q - p, axis=1) for p, q in ((a, b), (b, c), (c, a))]
    return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / np.max(sides, axis=0))


def _cuts(vertices: Floats, triangles: Ints, halves: Ints) -> list[tuple[int, Ints]]:
    """Half-edges, at most one of a triangle, with the open corners that lie on them in order."""
    corners = np.unique(triangles.reshape(-1)[halves])
    tree = cKDTree(vertices[corners])
    width = ON_EDGE * _diagonal(vertices)
    found: dict[int, tuple[int, Ints]] = {}
    for half in halves:
        k = half % 3
        a, b = triangles[half // 3, k], triangles[half // 3, (k + 1) % 3]
        way = vertices[b] - vertices[a]
        length = float(np.linalg.norm(way))
        near = corners[tree.query_ball_point(vertices[a] + way / 2, length / 2 + width)]
        place = (vertices[near] - vertices[a]) @ way / length**2
        off = np.linalg.norm(vertices[near] - vertices[a] - place[:, None] * way, axis=1)
        on = (off < width) & (place * length > width) & ((1 - place) * length > width)
        on &= ~np.isin(near, triangles[half // 3])
        if on.any() and int(half // 3) not in found:
            found[int(half // 3)] = (int(half), near[on][np.argsort(place[on], kind="stable")])
    return list(found.values())


def _fan(triangles: Ints, half: int, between: Ints) -> Ints:
    """A triangle cut from the corner across into parts between the corners on one edge."""
    k = half % 3
    a, b, tip = (triangles[half // 3, (k + j) % 3] for j in range(3))
    line = np.concatenate([[a], between, [b]])
    return np.stack([line[:-1], line[1:], np.full(len(line) - 1, tip)], axis=1)


def wound_alike(vertices: Floats, triangles: Ints) -> Ints:
    """The triangles (nt, 3) of a mesh that may be open, with neighbours wound alike where that can
    be, and each connected piece that clearly encloses a volume wound outwards."""
    edges = _Edges.of(triangles)
    turned = _turned(edges, len(triangles))
    if turned is not None:
        triangles = np.where(turned[:, None], triangles[:, ::-1], triangles)
    one, two = edges.doubles()
    size = len(triangles)
    graph = coo_array((np.ones(len(one)), (one // 3, two // 3)), shape=(size, size))
    number, label = connected_components(graph, directed=False)
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    areas = np.linalg.norm(np.cross(b - a, c - a), axis=1)[:, None]
    weight = np.zeros((number, 4))
    np.add.at(weight, label, np.hstack([areas * (a + b + c) / 3, areas]))
    middle = (weight[:, :3] / np.maximum(weight[:, 3:], 1e-300))[label]
    under = np.einsum("ij,ij->i", a - middle, np.cross(b - middle, c - middle))
    volume = np.bincount(label, weights=under, minlength=number)
    inward = (volume < -1e-3 * weight[:, 3] ** 1.5)[label]
    return np.where(inward[:, None], triangles[:, ::-1], triangles)


def _turned(edges: _Edges, size: int) -> Bools | None:
    """Which triangles to turn so that neighbours agree: the two-colouring of the graph in which
    each triangle has two states; None where no winding agrees."""
    one, two = edges.doubles()
    twisted = edges.upward[one] == edges.upward[two]
    if not twisted.any():
        return np.zeros(size, dtype=np.bool_)
    one, two = one // 3, two // 3
    swap = twisted.astype(np.int64) * size
    first = np.concatenate([one, one + size])
    second = np.concatenate([two + swap, (two + size + swap) % (2 * size)])
    graph = coo_array((np.ones(len(first)), (first, second)), shape=(2 * size, 2 * size))
    _, label = connected_components(graph, directed=False)
    if (label[:size] == label[size:]).any():
        return None
    return np.asarray(label[:size] > label[size:])


def _separated(vertices: Floats, triangles: Ints, edges: _Edges) -> list[Shell] | Broken:
    """The shells, each with vertices of its own, after deciding which triangles belong together
    at the edges where more than two meet."""
    one, two = edges.doubles()
    more = [
        _pairs_around(vertices, triangles, edges, k) for k in np.flatnonzero(edges.count > 2)
    ]
    if any(pairs is None for pairs in more):
        return Broken(reason="branches where the winding of its bodies disagrees")
    extra = [pairs for pairs in more if pairs is not None]
    one = np.concatenate([one, *(pairs[0] for pairs in extra)])
    two = np.concatenate([two, *(pairs[1] for pairs in extra)])
    corners = _own_corners(one, two, len(triangles))
    old = np.zeros(int(corners.max()) + 1, dtype=np.int64)
    old[corners.reshape(-1)] = triangles.reshape(-1)
    graph = coo_array(
        (np.ones(len(one)), (one // 3, two // 3)), shape=(len(triangles), len(triangles))
    )
    number, label = connected_components(graph, directed=False)
    order = np.argsort(label, kind="stable")
    pieces = np.split(order, np.cumsum(np.bincount(label, minlength=number))[:-1])
    return [_outward(vertices[old], corners[piece]) for piece in pieces]


def _pairs_around(
    vertices: Floats, triangles: Ints, edges: _Edges, edge: int
) -> tuple[Ints, Ints] | None:
    """Half-edges of one edge in pairs with material between them; None where none can be told."""
    first = edges.first[edge]
    halves = edges.half[first : first + edges.count[edge]]
    up = edges.upward[halves]
    if 2 * int(up.sum()) != len(halves):
        return None
    t, k = halves // 3, halves % 3
    low = vertices[np.minimum(triangles[t, k], triangles[t, (k + 1) % 3])[0]]
    high = vertices[np.maximum(triangles[t, k], triangles[t, (k + 1) % 3])[0]]
    axis = (high - low) / np.linalg.norm(high - low)
    tips = vertices[triangles[t, (k + 2) % 3]] - low
    tips = tips - np.outer(tips @ axis, axis)
    side = np.cross(axis, tips[0])
    angle = np.round(np.arctan2(tips @ side, tips @ tips[0]) / (2 * np.pi), 9) % 1.0
    # a half-edge that runs up has its material clockwise of it, one that runs down anticlockwise
    order = np.lexsort((~up, angle))
    halves, up = halves[order], up[order]
    start = 0 if not up[0] else 1
    halves, up = np.roll(halves, -start), np.roll(up, -start)
    if up[0::2].any() or not up[1::2].all():
        return None
    return halves[0::2], halves[1::2]


def _own_corners(one: Ints, two: Ints, size: int) -> Ints:
    """Vertex numbers (nt, 3) such that only triangles joined over edges share a vertex."""
    after_one, after_two = one - one % 3 + (one + 1) % 3, two - two % 3 + (two + 1) % 3
    first = np.concatenate([one, after_one])
    second = np.concatenate([after_two, two])
    graph = coo_array((np.ones(len(first)), (first, second)), shape=(3 * size, 3 * size))
    _, label = connected_components(graph, directed=False)
    return label.astype(np.int64).reshape(-1, 3)


def _outward(vertices: Floats, triangles: Ints) -> Shell:
    used, corners = np.unique(triangles, return_inverse=True)
    points, corners = vertices[used], corners.reshape(-1, 3)
    if enclosed_volume(points, corners) < 0:
        corners = corners[:, ::-1]
    return Shell(vertices=points, triangles=np.ascontiguousarray(corners))
