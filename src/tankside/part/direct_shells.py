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

from tankside.base.arrays import Bools, Floats, Ints
from tankside.base.messages import said
from tankside.part.mesh import TriangleMesh
from tankside.part.seams import split_at_seams
from tankside.part.topology import edges_of, sides_to_turn
from tankside.part.welding import near_places, same_place

WELD = 1e-7
"""Corners nearer than this share of the box's diagonal are one [-]."""

ON_EDGE = 1e-6
"""A corner nearer to an edge than this share of the box's diagonal lies on it [-]."""

PASSES = 8
"""Times that seams are looked for [-]."""

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
        return Broken(reason=said("has no triangle with an area"))
    vertices, triangles = _seams_cut(vertices, triangles)
    edges = _Edges.of(triangles)
    if (edges.count % 2 == 1).any():
        number = int((edges.count % 2 == 1).sum())
        return Broken(reason=said("is open or branches at {number} edges", number=number))
    one, two = edges.doubles()
    if (edges.upward[one] == edges.upward[two]).any():
        whole = TriangleMesh(vertices=vertices, triangles=triangles)
        turn, one_sided = sides_to_turn(edges_of(whole))
        if one_sided.any():
            return Broken(reason=said("has a one-sided surface"))
        triangles = np.where(turn[:, None], triangles[:, ::-1], triangles)
        edges = _Edges.of(triangles)
    return _separated(vertices, triangles, edges)


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
    corners that lie on their open edges."""
    near = ON_EDGE * _diagonal(vertices)
    for _ in range(PASSES):
        edges = _Edges.of(triangles)
        halves = edges.where(edges.count != 2)
        if not len(halves) or len(halves) > MOST_SEAMS:
            break
        flat = halves[_heights(vertices, triangles[halves // 3]) < near]
        if len(flat):
            triangles = np.delete(triangles, flat // 3, axis=0)
            continue
        cut, _, number = split_at_seams(TriangleMesh(vertices=vertices, triangles=triangles), near)
        if not number:
            break
        triangles = np.array(cut.triangles)
    return vertices, triangles


def _heights(vertices: Floats, triangles: Ints) -> Floats:
    """Least height of each triangle (nt,) [m]."""
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    sides = [np.linalg.norm(q - p, axis=1) for p, q in ((a, b), (b, c), (c, a))]
    return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / np.max(sides, axis=0))


def wound_alike(vertices: Floats, triangles: Ints) -> Ints:
    """The triangles (nt, 3) of a mesh that may be open, with neighbours wound alike where that can
    be, and each connected piece that clearly encloses a volume wound outwards."""
    turn, _ = sides_to_turn(edges_of(TriangleMesh(vertices=vertices, triangles=triangles)))
    triangles = np.where(turn[:, None], triangles[:, ::-1], triangles)
    one, two = _Edges.of(triangles).doubles()
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


def _separated(vertices: Floats, triangles: Ints, edges: _Edges) -> list[Shell] | Broken:
    """The shells, each with vertices of its own, after deciding which triangles belong together
    at the edges where more than two meet."""
    one, two = edges.doubles()
    more = [
        _pairs_around(vertices, triangles, edges, int(k)) for k in np.flatnonzero(edges.count > 2)
    ]
    if any(pairs is None for pairs in more):
        return Broken(reason=said("branches where the winding of its bodies disagrees"))
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
    places = vertices[old]
    return [_outward(places, corners[piece]) for piece in pieces]


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
    return np.asarray(label, dtype=np.int64).reshape(-1, 3)


def _outward(vertices: Floats, triangles: Ints) -> Shell:
    used, corners = np.unique(triangles, return_inverse=True)
    points, corners = vertices[used], corners.reshape(-1, 3)
    if enclosed_volume(points, corners) < 0:
        corners = corners[:, ::-1]
    return Shell(vertices=points, triangles=np.ascontiguousarray(corners))
