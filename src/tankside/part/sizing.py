"""How long the edges of the analysis surface should be, from place to place.

Finer along sharp edges (where current crowds), in narrow gaps and recesses, on thin walls, where
the surface bends, across narrow strips, and near points that the caller names. Each reason gives a
bound: either a share of the base length or a length of its own. The field takes the smallest, never
below FLOOR of the base length, lets it grow by GROWTH per unit of way along the surface, and
chooses the base length so that the wished number of triangles comes out.
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from tankside.base.arrays import Floats, Ints
from tankside.part.remesh_halfedges import HalfEdges, edge_list, soup
from tankside.part.remesh_kernels import kernel
from tankside.part.remesh_lines import NO_HEIGHT, steady_normals, turns
from tankside.part.remesh_rays import ray_lengths
from tankside.part.remesh_tree import Tree

FLOOR = 1 / 6
"""Smallest wished length over the base length [-]."""

GROWTH = 0.3
"""Largest change of the wished length over the way along the surface [-]."""

AT_CONVEX = 0.5
"""Wished length at an outer edge over the base length [-]."""

AT_CONCAVE = 0.7
"""Wished length at an inner edge over the base length [-]."""

AT_FOCUS = 0.3
"""Wished length at a named point over the base length [-]."""

PER_GAP = 0.8
"""Wished length over the width of the gap in front of the surface [-]."""

PER_WALL = 2.5
"""Wished length over the thickness of the wall behind the surface [-]: the field solver bears walls
down to a fifth of a panel."""

PER_STRIP = 1.3
"""Wished length over the width of a strip between two sharp edges [-]."""

PER_RADIUS = 0.5
"""Wished length over the radius of curvature [-]."""

SLACKEN = 1.2
"""Slack over the height of an arc or a ridge that an edge of the wished length cuts off [-]."""

LEAST_ROOM = 1 / 3
"""Gaps and walls count as at least this wide when slack is given, over the tolerance [-]."""

CLEARANCE = 0.3
"""Slack over the width of a gap or wall [-], so that its two sides do not meet."""


@dataclass(frozen=True, kw_only=True)
class SizeField:
    """Bounds at the vertices of a reference surface, and what grading and counting need.

    own (nv,) bound of its own [length]; share (nv,) bound over the base length [-]
    edges (ne, 2) and lengths (ne,); triangles (nt, 3) and areas (nt,)
    room (nt,) the nearer of gap and wall [length]; bend (nt, 2) curvature [1/length] and turn over
    an edge [rad]
    tolerance [length] that the surface should keep; clearance, slack over the width of a gap [-]
    """

    own: Floats
    share: Floats
    edges: Ints
    lengths: Floats
    triangles: Ints
    areas: Floats
    room: Floats
    bend: Floats
    tolerance: float
    clearance: float

    def graded(self, base: float) -> Floats:
        """Wished length at each vertex for a base length."""
        sizes = np.clip(np.minimum(self.own, self.share * base), FLOOR * base, base)
        _limit_growth(sizes, self.edges, self.lengths, GROWTH)
        return np.asarray(sizes)

    def expected_count(self, sizes: Floats) -> float:
        """How many triangles a surface of these wished lengths has."""
        return float((self.areas / _area_of_triangle(sizes[self.triangles].mean(axis=1))).sum())

    def base_for(self, count: float) -> float:
        """The base length that makes `count` triangles."""
        low, high = 0.0, 2 * float(np.sqrt(self.areas.sum()))
        for _ in range(40):
            base = 0.5 * (low + high) if low else high / 2
            if self.expected_count(self.graded(base)) > count:
                low = base
            else:
                high = base
            if low and high - low < 1e-3 * high:
                break
        return 0.5 * (low + high) if low else high

    def slack(self, sizes: Floats) -> Floats:
        """Distance (nt,) that the surface may stray: the tolerance, or what the wished length makes
        of curves and ridges, but never so much that two sides of a gap or wall meet."""
        longest = sizes[self.triangles].max(axis=1)
        sagitta = longest * (self.bend[:, 0] * longest / 8 + self.bend[:, 1] / 4)
        wanted = np.maximum(self.tolerance, np.minimum(SLACKEN * sagitta, longest / 4))
        return np.asarray(np.minimum(wanted, _clear(self.clearance, self.room, self.tolerance)))


def _clear(clearance: float, room: Floats, tolerance: float) -> Floats:
    """Slack that a gap or wall leaves; near its edges a wedge has no room, and a trace is left."""
    return np.asarray(clearance * np.maximum(room, LEAST_ROOM * tolerance))


def _area_of_triangle(length: Floats) -> Floats:
    return np.asarray(np.sqrt(3) / 4 * length**2)


def size_field(
    mesh: HalfEdges, tree: Tree, tolerance: float, clearance: float, focus: Floats | None
) -> SizeField:
    """The bounds for a compacted reference surface with its sharp lines marked and `tree` over its
    triangles; `focus` (n, 3) are points to refine near."""
    points, triangles = soup(mesh)
    one = edge_list(mesh)
    edges = np.stack([mesh.start[one], mesh.start[mesh.twin[one]]], axis=1)
    lengths = np.linalg.norm(points[edges[:, 0]] - points[edges[:, 1]], axis=1)
    bend = np.maximum(mesh.bend, mesh.arc[triangles].max(axis=1))
    gap, wall = _gap_and_wall(mesh, tree, triangles, points)
    slack = np.minimum(tolerance, _clear(clearance, np.minimum(gap, wall), tolerance))
    per_triangle = np.minimum(PER_GAP * gap, PER_WALL * wall)
    own = _smallest_around(triangles, per_triangle, len(points))
    curvature = np.maximum(mesh.bend[:, 0], 1e-12)
    curved = np.minimum(PER_RADIUS / curvature, np.sqrt(8 * slack / curvature))
    own = np.minimum(own, _mean_around(triangles, curved, len(points)))
    own = np.minimum(own, PER_RADIUS / np.maximum(mesh.arc[:, 0], 1e-12))
    own = np.minimum(own, PER_STRIP * _strip_widths(mesh, triangles, points))
    areas = np.linalg.norm(
        np.cross(
            points[triangles[:, 1]] - points[triangles[:, 0]],
            points[triangles[:, 2]] - points[triangles[:, 0]],
        ),
        axis=1,
    )
    return SizeField(
        own=own,
        share=np.minimum(_share_at_lines(mesh, one, len(points)), _share_at_focus(points, focus)),
        edges=np.ascontiguousarray(edges),
        lengths=lengths,
        triangles=triangles,
        areas=areas / 2,
        room=np.minimum(gap, wall),
        bend=bend,
        tolerance=tolerance,
        clearance=clearance,
    )


def bends(mesh: HalfEdges) -> Floats:
    """Curvature [1/length] and turn [rad] of the surface at each triangle (nt, 2), the largest over
    its edges that are no sharp lines. The curvature over an edge is twice the sine of half the turn
    over the mean height of the two triangles."""
    edges = edge_list(mesh)
    edges = edges[~mesh.sharp[edges]]
    a, b = mesh.points[mesh.start[edges]], mesh.points[mesh.start[mesh.twin[edges]]]
    lengths = np.linalg.norm(a - b, axis=1)
    areas = _areas(mesh)
    one, two = edges // 3, mesh.twin[edges] // 3
    height = (areas[one] + areas[two]) / np.maximum(lengths, 1e-300)
    turn = np.abs(turns(mesh, edges))
    both = np.stack([2 * np.sin(turn / 2) / np.maximum(height, NO_HEIGHT), turn], axis=1)
    largest = np.zeros((int(mesh.used[1]), 2))
    np.maximum.at(largest, one, both)
    np.maximum.at(largest, two, both)
    return largest


def arcs(mesh: HalfEdges) -> Floats:
    """Curvature [1/length] and turn [rad] of the sharp line at each vertex that slides (nv, 2)."""
    points = mesh.points[: mesh.used[0]]
    edges = np.flatnonzero(mesh.sharp[: 3 * mesh.used[1]])
    start, end = mesh.start[edges], mesh.start[mesh.twin[edges]]
    away = points[end] - points[start]
    lengths = np.linalg.norm(away, axis=1)
    total = np.zeros((len(points), 3))
    np.add.at(total, start, away / np.maximum(lengths, 1e-300)[:, None])
    mean = np.bincount(start, weights=lengths, minlength=len(points)) / 2
    turn = 2 * np.arcsin(np.minimum(np.linalg.norm(total, axis=1) / 2, 1.0))
    slides = mesh.fixed[: len(points)] == 1
    both = np.stack([2 * np.sin(turn / 2) / np.maximum(mean, 1e-9), turn], axis=1)
    return np.where(slides[:, None], both, 0.0)


def _areas(mesh: HalfEdges) -> Floats:
    points, triangles = mesh.points, mesh.start[: 3 * mesh.used[1]].reshape(-1, 3)
    a, b, c = (points[triangles[:, k]] for k in range(3))
    return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2)


def _gap_and_wall(
    mesh: HalfEdges, tree: Tree, triangles: Ints, points: Floats
) -> tuple[Floats, Floats]:
    """Way from each triangle's centroid straight out to the next surface and straight in to the far
    side (nt,); inf where nothing is met."""
    normals = steady_normals(mesh)
    centroids = points[triangles].mean(axis=1)
    out = ray_lengths(tree, centroids, normals, leaving=False)
    into = ray_lengths(tree, centroids, -normals, leaving=True)
    flat = np.linalg.norm(normals, axis=1) < 0.5
    return np.where(flat, np.inf, out), np.where(flat, np.inf, into)


def _smallest_around(triangles: Ints, values: Floats, vertices: int) -> Floats:
    smallest = np.full(vertices, np.inf)
    for k in range(3):
        np.minimum.at(smallest, triangles[:, k], values)
    return smallest


def _mean_around(triangles: Ints, values: Floats, vertices: int) -> Floats:
    total = np.zeros(vertices)
    count = np.zeros(vertices)
    for k in range(3):
        np.add.at(total, triangles[:, k], 1.0 / values)
        np.add.at(count, triangles[:, k], 1.0)
    return np.asarray(count / np.maximum(total, 1e-12))


def _strip_widths(mesh: HalfEdges, triangles: Ints, points: Floats) -> Floats:
    """At each vertex the least width of a strip between two sharp lines, inf off the strips: the
    height of a triangle that stands with one side on a line and has its tip on another."""
    widths = np.full(len(points), np.inf)
    sharp = mesh.sharp[: 3 * len(triangles)].reshape(-1, 3)
    on_line = mesh.fixed[triangles] > 0
    one_side = on_line.all(axis=1) & (sharp.sum(axis=1) == 1)
    found = triangles[one_side]
    side = sharp[one_side].argmax(axis=1)
    rows = np.arange(len(found))
    a, b, tip = (points[found[rows, (side + k) % 3]] for k in range(3))
    along = b - a
    base = np.maximum(np.linalg.norm(along, axis=1), 1e-300)
    height = np.linalg.norm(np.cross(along, tip - a), axis=1) / base
    for k in range(3):
        np.minimum.at(widths, found[:, k], np.maximum(height, 1e-12))
    return widths


def _share_at_lines(mesh: HalfEdges, edges: Ints, vertices: int) -> Floats:
    share = np.ones(vertices)
    lines = edges[mesh.sharp[edges]]
    wished = np.where(turns(mesh, lines) > 0, AT_CONVEX, AT_CONCAVE)
    np.minimum.at(share, mesh.start[lines], wished)
    np.minimum.at(share, mesh.start[mesh.twin[lines]], wished)
    return share


def _share_at_focus(points: Floats, focus: Floats | None) -> Floats:
    share = np.ones(len(points))
    if focus is not None and len(focus):
        _, nearest = cKDTree(points).query(np.asarray(focus).reshape(-1, 3))
        share[nearest] = AT_FOCUS
    return share


@kernel
def _limit_growth(sizes: Floats, edges: Ints, lengths: Floats, growth: float) -> None:
    """Lowers sizes until none exceeds a neighbour's by more than `growth` times the way."""
    for sweep in range(200):
        changed = False
        for step in range(len(edges)):
            k = step if sweep % 2 == 0 else len(edges) - 1 - step
            a, b = edges[k, 0], edges[k, 1]
            rise = growth * lengths[k]
            if sizes[a] > sizes[b] + rise * 1.001:
                sizes[a] = sizes[b] + rise
                changed = True
            elif sizes[b] > sizes[a] + rise * 1.001:
                sizes[b] = sizes[a] + rise
                changed = True
        if not changed:
            return
