"""Cuts a mesh at the liquid's surface: what is wet stays, open in the plane, points exactly on it.

A corner that lies within a quarter of an edge of the plane first slides along that edge onto it, so
that no slivers arise; corners on sharp edges slide along these only, and sharp corners stay. The
mesh below the plane is otherwise untouched.
"""

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.cell.polyhedra import ON_PLANE
from tankside.part.mesh import TriangleMesh

_SLIDE = 0.25
"""A corner slides where the plane crosses an edge within this share of its length [-]."""

_SHARP = np.cos(np.deg2rad(30.0))
"""Two faces whose normals differ by more than this meet in a sharp edge."""


def cut_mesh(mesh: TriangleMesh, level: float) -> TriangleMesh:
    """The part of a closed mesh with z <= level, open in that plane."""
    if mesh.vertices[:, 2].max() < level - ON_PLANE:
        return mesh
    vertices = _slid(mesh, level)
    vertices[np.abs(vertices[:, 2] - level) <= ON_PLANE, 2] = level
    side = np.sign(vertices[:, 2] - level).astype(np.int64)
    sides = side[mesh.triangles]
    whole = mesh.triangles[(sides.max(axis=1) <= 0) & (sides.min(axis=1) < 0)]
    crossing = mesh.triangles[(sides.max(axis=1) > 0) & (sides.min(axis=1) < 0)]
    points, pieces = _split(vertices, side, crossing, level)
    return _compact(points, np.concatenate([whole, pieces]))


def _split(vertices: Floats, side: Ints, crossing: Ints, level: float) -> tuple[Floats, Ints]:
    """All points with those where edges meet the plane, and the wet pieces of the triangles."""
    new: list[Floats] = []
    number: dict[tuple[int, int], int] = {}

    def cut(a: int, b: int) -> int:
        low, high = (a, b) if side[a] < 0 else (b, a)
        if (low, high) not in number:
            number[low, high] = len(vertices) + len(new)
            new.append(_crossing(vertices[low], vertices[high], level))
        return number[low, high]

    pieces: list[tuple[int, int, int]] = []
    for triangle in crossing.tolist():
        ring: list[int] = []
        for a, b in zip(triangle, triangle[1:] + triangle[:1], strict=True):
            if side[a] <= 0:
                ring.append(a)
            if side[a] * side[b] < 0:
                ring.append(cut(a, b))
        places = [vertices[k] if k < len(vertices) else new[k - len(vertices)] for k in ring]
        pieces += _one_or_two(ring, places)
    points = np.concatenate([vertices, np.array(new).reshape(-1, 3)])
    return points, np.array(pieces, dtype=np.int64).reshape(-1, 3)


def _one_or_two(ring: list[int], places: list[Floats]) -> list[tuple[int, int, int]]:
    """A ring of three or four corners as triangles, across its shorter diagonal."""
    if len(ring) == 3:
        return [(ring[0], ring[1], ring[2])]
    a, b, c, d = ring
    one, other = places[0] - places[2], places[1] - places[3]
    if one @ one <= other @ other:
        return [(a, b, c), (a, c, d)]
    return [(b, c, d), (b, d, a)]


def _crossing(low: Floats, high: Floats, level: float) -> Floats:
    point: Floats = low + (level - low[2]) / (high[2] - low[2]) * (high - low)
    point[2] = level
    return point


def _slid(mesh: TriangleMesh, level: float) -> Floats:
    """Corner positions after sliding; slides that would turn or crush a triangle are undone."""
    wanted = _wanted(mesh, level)
    for _ in range(10):
        moved = mesh.vertices.copy()
        for corner, place in wanted.items():
            moved[corner] = place
        a, b, c = (moved[mesh.triangles[:, k]] for k in range(3))
        turned = np.einsum("ij,ij->i", np.cross(b - a, c - a) / 2, mesh.normals)
        bad = mesh.triangles[turned < 0.1 * mesh.areas]
        undone = set(bad.ravel().tolist()) & set(wanted)
        if not undone:
            return moved
        for corner in undone:
            del wanted[corner]
    return mesh.vertices.copy()


def _wanted(mesh: TriangleMesh, level: float) -> dict[int, Floats]:
    """Where each corner would slide, by corner."""
    edges, sharp = _edges_with_sharpness(mesh)
    height = mesh.vertices[:, 2] - level
    crosses = height[edges[:, 0]] * height[edges[:, 1]] < 0
    along: dict[int, list[int]] = {}
    for row in np.flatnonzero(sharp).tolist():
        for corner in edges[row].tolist():
            along.setdefault(corner, []).append(row)
    best: dict[int, float] = {}
    wanted: dict[int, Floats] = {}
    for row in np.flatnonzero(crosses).tolist():
        low, high = edges[row].tolist()
        for a, b in ((low, high), (high, low)):
            share = height[a] / (height[a] - height[b])
            if share < min(_SLIDE, best.get(a, 1.0)) and _may_slide(
                a, row, along, edges, mesh.vertices
            ):
                best[a] = share
                wanted[a] = _crossing(mesh.vertices[a], mesh.vertices[b], level)
    return wanted


def _may_slide(
    corner: int, row: int, along: dict[int, list[int]], edges: Ints, vertices: Floats
) -> bool:
    """Anywhere from a smooth place; along the edge from a place on one sharp, straight edge."""
    rows = along.get(corner, [])
    if not rows:
        return True
    if len(rows) != 2 or row not in rows:
        return False
    ends = [vertices[edges[k].sum() - corner] - vertices[corner] for k in rows]
    cosine = ends[0] @ ends[1] / (np.linalg.norm(ends[0]) * np.linalg.norm(ends[1]))
    return bool(cosine < -0.99)


def _edges_with_sharpness(mesh: TriangleMesh) -> tuple[Ints, Bools]:
    """Each edge once (n, 2), and whether its faces meet sharply (n,)."""
    half = np.concatenate([mesh.triangles[:, [k, (k + 1) % 3]] for k in range(3)])
    face = np.tile(np.arange(len(mesh.triangles)), 3)
    half = np.sort(half, axis=1)
    order = np.lexsort((half[:, 1], half[:, 0]))
    half, face = half[order], face[order]
    starts = np.flatnonzero(np.r_[True, (half[1:] != half[:-1]).any(axis=1)])
    last = np.r_[starts[1:], len(half)] - 1
    cosine = np.einsum("ij,ij->i", mesh.normals[face[starts]], mesh.normals[face[last]])
    return half[starts], cosine < _SHARP


def _compact(points: Floats, triangles: Ints) -> TriangleMesh:
    used, number = np.unique(triangles, return_inverse=True)
    return TriangleMesh(vertices=points[used], triangles=number.reshape(-1, 3))
