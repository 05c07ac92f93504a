"""The sharp lines of a surface: which edges must stay where they are, and which vertices on them.

An edge is sharp where the surface turns by more than SHARP_TURN, be it out of or into the body.
Short loose ends of such lines are noise and let go. A vertex where lines end, meet or turn is a
corner and never moves; the other vertices of a line slide along it.
"""

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from tankside.base.arrays import Bools, Floats, Ints
from tankside.part.remesh_halfedges import HalfEdges, edge_list

SHARP_TURN = np.radians(32.0)
"""Turn of the surface over an edge from which the edge is kept as a line [rad]."""

NO_HEIGHT = 1e-4
"""Height below which a triangle has no direction of its own, over the diagonal of the box [-]."""

CORNER_TURN = np.radians(40.0)
"""Turn of a line at a vertex from which the vertex is kept as a corner [rad]."""


def turns(mesh: HalfEdges, edges: Ints) -> Floats:
    """Angle between the normals on the two sides of each edge [rad]; positive where the body is
    convex there. A triangle without height lies as its neighbour over its longest side does."""
    normals = steady_normals(mesh)
    other = mesh.twin[edges]
    one, two = normals[edges // 3], normals[other // 3]
    sine = np.linalg.norm(np.cross(one, two), axis=1)
    cosine = np.einsum("ij,ij->i", one, two)
    angle = np.where((sine == 0) & (cosine == 0), 0.0, np.arctan2(sine, cosine))
    tips = mesh.start[edges - edges % 3 + (edges + 2) % 3]
    other_tips = mesh.start[other - other % 3 + (other + 2) % 3]
    rise = np.einsum("ij,ij->i", one, mesh.points[other_tips] - mesh.points[tips])
    return np.where(rise > 0, -angle, angle)


def steady_normals(mesh: HalfEdges) -> Floats:
    """Unit normals (nt, 3); triangles lower than NO_HEIGHT take that of their neighbour over their
    longest side."""
    normals, heights, longest = _normals_and_heights(mesh)
    low = np.flatnonzero(heights < NO_HEIGHT)
    across = mesh.twin[3 * low + longest[low]] // 3
    for _ in range(4):
        normals[low] = normals[across]
    return normals


def _normals_and_heights(mesh: HalfEdges) -> tuple[Floats, Floats, Ints]:
    """Unit normals (nt, 3), least heights (nt,) and longest sides (nt,) of all triangles."""
    triangles = mesh.start[: 3 * mesh.used[1]].reshape(-1, 3)
    corners = mesh.points[triangles]
    sides = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=2)
    a, b, c = (corners[:, k] for k in range(3))
    vectors = np.cross(b - a, c - a)
    twice = np.linalg.norm(vectors, axis=1)
    normals = vectors / np.where(twice > 0, twice, 1.0)[:, None]
    return normals, twice / np.maximum(sides.max(axis=1), 1e-300), sides.argmax(axis=1)


def mark_lines(mesh: HalfEdges, shortest: float) -> None:
    """Sets `sharp` and `fixed` of a fresh surface; lines shorter than `shortest` are let go."""
    edges = edge_list(mesh)
    sharp = np.abs(turns(mesh, edges)) > SHARP_TURN
    lines = edges[sharp]
    if len(lines):
        lines = lines[_worth_keeping(mesh, lines, shortest)]
    mesh.sharp[:] = False
    mesh.sharp[lines] = True
    mesh.sharp[mesh.twin[lines]] = True
    _fix_vertices(mesh)


def _worth_keeping(mesh: HalfEdges, lines: Ints, shortest: float) -> Bools:
    """Whether the line that an edge belongs to is closed, branches to something, or is long."""
    a, b = mesh.start[lines], mesh.start[mesh.twin[lines]]
    count = len(mesh.points)
    graph = coo_array((np.ones(len(a)), (a, b)), shape=(count, count))
    _, label = connected_components(graph, directed=False)
    lengths = np.linalg.norm(mesh.points[a] - mesh.points[b], axis=1)
    total = np.bincount(label[a], weights=lengths, minlength=label.max() + 1)
    return np.asarray(total[label[a]] >= shortest)


def _fix_vertices(mesh: HalfEdges) -> None:
    """Sets `fixed` from `sharp`: 0 off the lines, 1 along a line, 2 at corners."""
    vertices = int(mesh.used[0])
    edges = np.flatnonzero(mesh.sharp[: 3 * mesh.used[1]])
    start = mesh.start[edges]
    end = mesh.start[mesh.twin[edges]]
    count = np.bincount(start, minlength=vertices)
    away = mesh.points[end] - mesh.points[start]
    away /= np.maximum(np.linalg.norm(away, axis=1), 1e-300)[:, None]
    total = np.zeros((vertices, 3))
    np.add.at(total, start, away)
    bent = np.linalg.norm(total, axis=1) > 2 * np.sin(CORNER_TURN / 2)
    fixed = np.where(count == 0, 0, np.where((count == 2) & ~bent, 1, 2))
    mesh.fixed[:vertices] = fixed


def line_segments(mesh: HalfEdges) -> Floats:
    """The sharp edges as triangles without width (n, 3, 3)."""
    edges = edge_list(mesh)
    edges = edges[mesh.sharp[edges]]
    a, b = mesh.points[mesh.start[edges]], mesh.points[mesh.start[mesh.twin[edges]]]
    return np.stack([a, b, b], axis=1)
