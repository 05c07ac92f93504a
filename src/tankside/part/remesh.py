"""A whole closed skin remeshed to a wished number of well-shaped triangles.

The skin itself, cut into even pieces, is the reference: it carries the sharp lines and the size
field, and every new vertex lies on it. The remeshing repeats split, collapse, flip and relax, and
corrects the base length until the count is met. Works in lengths of the skin's own box diagonal.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.progress import Progress, silent
from tankside.part.remesh_checks import Reference
from tankside.part.remesh_halfedges import (
    HalfEdges,
    compacted,
    edge_list,
    half_edges,
    relative_lengths,
    soup,
)
from tankside.part.remesh_lines import line_segments, mark_lines
from tankside.part.remesh_moves import balance, relax, reread
from tankside.part.remesh_passes import (
    LONG,
    SHORT,
    collapse_short,
    flip_edges,
    split_long,
)
from tankside.part.remesh_tree import tree_of
from tankside.part.sizing import CLEARANCE, SizeField, arcs, bends, size_field

ROUNDS = 12
"""Rounds of split, collapse, flip and relax, at most [-]."""

FEWEST_ROUNDS = 5
"""Rounds after which a count that has settled ends them [-]."""

SETTLED = 0.002
"""Change of the count in a round below which it has settled, over the wished count [-]."""

POOR = 0.4
"""Sine of the smallest angle below which a triangle is mended at the end [-]."""

MENDED_LONG = 1.8
"""Longest edge that mending may leave, over the wished length [-]."""

CLOSE_ENOUGH = 0.03
"""Share of the wished count within which the base length is left alone [-]."""


BALANCE = 0.6
"""Share of the height of the original over the triangles by which vertices are moved off it [-];
three quarters would keep the volume of a sphere, less keeps the vertices nearer."""


@dataclass(frozen=True, kw_only=True)
class Remeshed:
    """vertices (nv, 3) and triangles (nt, 3) in the lengths of the input; base, the wished edge
    length away from all details."""

    vertices: Floats
    triangles: Ints
    base: float


def remeshed(
    vertices: Floats,
    triangles: Ints,
    *,
    count: int,
    tolerance: float,
    clearance: float = CLEARANCE,
    focus: Floats | None = None,
    progress: Progress = silent,
) -> Remeshed:
    """The closed skin (vertices, triangles) remeshed to about `count` triangles that stay within
    `tolerance` where the count allows it. Lengths in any one unit."""
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    scale = float(np.linalg.norm(high - low))
    centre = (low + high) / 2
    near = None if focus is None else (np.asarray(focus).reshape(-1, 3) - centre) / scale
    progress("looking for sharp edges, gaps and walls", 0.0)
    start, reference, field = prepared(
        (vertices - centre) / scale,
        triangles,
        count=count,
        tolerance=tolerance / scale,
        clearance=clearance,
        focus=near,
    )
    mesh, base = _worked(start, reference, field, count, progress)
    points, corners = soup(mesh)
    return Remeshed(vertices=points * scale + centre, triangles=corners, base=base * scale)


def prepared(
    vertices: Floats,
    triangles: Ints,
    *,
    count: int,
    tolerance: float,
    clearance: float,
    focus: Floats | None,
) -> tuple[HalfEdges, Reference, SizeField]:
    """The skin cut into even pieces with its sharp lines marked, the reference over it (still
    without sizes), and its size field; lengths in diagonals of the skin's box."""
    start = _marked(half_edges(vertices, triangles), count)
    surface = tree_of(start.points[start.start.reshape(-1, 3)])
    field = size_field(start, surface, tolerance, clearance, focus)
    lines = tree_of(line_segments(start))
    return start, Reference(surface, lines, np.zeros((0, 3)), np.zeros(0)), field


def _marked(mesh: HalfEdges, count: int) -> HalfEdges:
    """The skin with its sharp lines and bends marked, cut into pieces of the mean wished size."""
    points, triangles = soup(mesh)
    a, b, c = (points[triangles[:, k]] for k in range(3))
    area = float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)
    piece = float(np.sqrt(area / count * 4 / np.sqrt(3)))
    mark_lines(mesh, 2 * piece)
    mesh.bend[:] = bends(mesh)
    mesh.arc[:] = arcs(mesh)
    mesh.size[:] = piece
    mesh.slack[:] = 1e-9
    return compacted_exactly(_cut_evenly(mesh))


def compacted_exactly(mesh: HalfEdges) -> HalfEdges:
    """A compacted surface without the spare room of its arrays."""
    vertices, triangles = int(mesh.used[0]), int(mesh.used[1])
    return HalfEdges(
        points=mesh.points[:vertices],
        size=mesh.size[:vertices],
        slack=mesh.slack[:vertices],
        fixed=mesh.fixed[:vertices],
        leaving=mesh.leaving[:vertices],
        arc=mesh.arc[:vertices],
        start=mesh.start[: 3 * triangles],
        twin=mesh.twin[: 3 * triangles],
        sharp=mesh.sharp[: 3 * triangles],
        bend=mesh.bend[:triangles],
        used=mesh.used,
    )


def _cut_evenly(mesh: HalfEdges) -> HalfEdges:
    """Cuts long edges and flips edges within planes; the shape stays what it is."""
    nothing = tree_of(np.zeros((0, 3, 3)))
    nowhere = Reference(nothing, nothing, np.zeros((0, 3)), np.zeros(0))
    longest = float(relative_lengths(mesh, edge_list(mesh)).max())
    limit = longest
    while True:
        for _ in range(6):
            if not flip_edges(mesh, nowhere, edge_list(mesh)):
                break
        if limit <= 1.0:
            return compacted(mesh)
        limit = max(limit / 2, 1.0)
        mesh = _split_all(mesh, nowhere, limit)


def _split_all(mesh: HalfEdges, reference: Reference, limit: float) -> HalfEdges:
    """Splits until no edge is longer than `limit` wished lengths, longest first."""
    for _ in range(40):
        edges = edge_list(mesh)
        lengths = relative_lengths(mesh, edges)
        too_long = lengths > limit
        if not too_long.any():
            break
        order = edges[too_long][np.argsort(-lengths[too_long], kind="stable")]
        if len(mesh.bend) - mesh.used[1] < 2 * len(order):
            mesh = compacted(mesh, 1.0 + 2.0 * len(order) / max(int(mesh.used[1]), 1))
            continue
        split_long(mesh, reference, order, limit)
    return mesh


def _worked(
    mesh: HalfEdges,
    reference: Reference,
    field: SizeField,
    count: int,
    progress: Progress,
) -> tuple[HalfEdges, float]:
    base = field.base_for(count)
    sizes = field.graded(base)
    stretch = 1.0
    reference = _sized(mesh, reference, field, sizes)
    for turn in range(ROUNDS):
        progress("remeshing", turn / ROUNDS)
        before = int(mesh.used[1])
        mesh = _split_all(mesh, reference, LONG)
        mesh = _collapse_all(mesh, reference)
        flip_edges(mesh, reference, edge_list(mesh))
        flip_edges(mesh, reference, edge_list(mesh))
        relax(mesh, reference, 0.3)
        flip_edges(mesh, reference, edge_list(mesh))
        relax(mesh, reference, 0.6)
        ratio = mesh.used[1] / count
        if 2 <= turn < ROUNDS - 2 and abs(ratio - 1) > CLOSE_ENOUGH:
            stretch *= float(np.clip(np.sqrt(ratio), 0.8, 1.25))
            reference = _sized(mesh, reference, field, stretch * sizes)
        elif turn >= FEWEST_ROUNDS and abs(mesh.used[1] - before) < SETTLED * count:
            break
    mesh = _mended(compacted(mesh), reference)
    for _ in range(4):
        flip_edges(mesh, reference, edge_list(mesh))
        relax(mesh, reference, 0.8)
    balance(mesh, reference, BALANCE)
    return compacted(mesh), stretch * base


def _sized(mesh: HalfEdges, reference: Reference, field: SizeField, sizes: Floats) -> Reference:
    """The reference with these wished lengths at its vertices, read by all of the surface's."""
    order = reference.surface.order
    slack = field.slack(sizes)
    sized = Reference(
        reference.surface,
        reference.lines,
        np.ascontiguousarray(sizes[field.triangles][order]),
        np.ascontiguousarray(slack[order]),
    )
    reread(mesh, sized)
    return sized


def _collapse_all(mesh: HalfEdges, reference: Reference) -> HalfEdges:
    for _ in range(4):
        edges = edge_list(mesh)
        lengths = relative_lengths(mesh, edges)
        short = lengths < SHORT
        if not short.any():
            break
        order = edges[short][np.argsort(lengths[short], kind="stable")]
        done = collapse_short(mesh, reference, order, SHORT, LONG, 0.2)
        mesh = compacted(mesh)
        if done < 0.02 * len(order) + 1:
            break
    return mesh


def _mended(mesh: HalfEdges, reference: Reference) -> HalfEdges:
    """Collapses the shortest side of the worst triangles where that opens their angles."""
    for _ in range(3):
        points, triangles = soup(mesh)
        sides = np.linalg.norm(points[np.roll(triangles, -1, axis=1)] - points[triangles], axis=2)
        a, b, c = (points[triangles[:, k]] for k in range(3))
        twice = np.linalg.norm(np.cross(b - a, c - a), axis=1)
        longer = np.sort(sides, axis=1)
        sine = twice / np.maximum(longer[:, 1] * longer[:, 2], 1e-300)
        worst = np.flatnonzero(sine < POOR)
        worst = worst[np.argsort(sine[worst], kind="stable")]
        shortest = 3 * worst + sides[worst].argmin(axis=1)
        if not collapse_short(mesh, reference, shortest, np.inf, MENDED_LONG, POOR):
            break
        mesh = compacted(mesh)
        flip_edges(mesh, reference, edge_list(mesh))
        relax(mesh, reference, 0.6)
    return mesh
