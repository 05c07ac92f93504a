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

CORNER_TURN = np.radians(40.0)
"""Turn of a line at a vertex from which the vertex is kept as a corner [rad]."""


def turns(mesh: HalfEdges, edges: Ints) -> Floats:
    """Angle between the normals on the two sides of each edge [rad]; positive where the body is
    convex there. Triangles without area count as flat."""
    one, two = unit_normals(mesh, edges // 3), unit_normals(mesh, mesh.twin[edges] // 3)
    sine = np.linalg.norm(np.cross(one, two), axis=1)
    cosine = np.einsum("ij,ij->i", one, two)
    angle = np.where((sine == 0) & (cosine == 0), 0.0, np.arctan2(sine, cosine))
    tips = mesh.start[edges - edges % 3 + (edges + 2) % 3]
    other = mesh.twin[edges]
    other_tips = mesh.start[other - other % 3 + (other + 2) % 3]
    rise = np.einsum("ij,ij->i", one, mesh.points[other_tips] - mesh.points[tips])
    return np.where(rise > 0, -angle, angle)


def unit_normals(mesh: HalfEdges, triangles: Ints) -> Floats:
    """Unit normals of some triangles (n, 3); nought where one has no area."""
    a, b, c = (mesh.points[mesh.start[3 * triangles + k]] for k in range(3))
    vectors = np.cross(b - a, c - a)
    lengths = np.linalg.norm(vectors, axis=1)
    return np.asarray(vectors / np.where(lengths > 0, lengths, 1.0)[:, None])


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
    fix_vertices(mesh)


def _worth_keeping(mesh: HalfEdges, lines: Ints, shortest: float) -> Bools:
    """Whether the line that an edge belongs to is closed, branches to something, or is long."""
    a, b = mesh.start[lines], mesh.start[mesh.twin[lines]]
    count = len(mesh.points)
    graph = coo_array((np.ones(len(a)), (a, b)), shape=(count, count))
    _, label = connected_components(graph, directed=False)
    lengths = np.linalg.norm(mesh.points[a] - mesh.points[b], axis=1)
    total = np.bincount(label[a], weights=lengths, minlength=label.max() + 1)
    return np.asarray(total[label[a]] >= shortest)


def fix_vertices(mesh: HalfEdges) -> None:
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
