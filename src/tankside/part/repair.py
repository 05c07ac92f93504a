"""A mesh with its small faults put right, and the account of what was done.

In this order: corners within the rounding of the file are joined, collapsed triangles and doubles
are dropped, open edges are split at corners that lie on them, triangles are turned to face alike,
small flat holes are closed, triangles without height are turned away by swapping an edge, and whole
bodies are turned to face outwards. How nested bodies face one another is kept, as it says whether
the inner one is a cavity; one whose triangles faced both ways is taken for a cavity. What crosses
itself, large holes, and what has only one side are left and named: that is the work of the analysis
surface, not of a repair. Nothing is done silently.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Ints, frozen_ints
from tankside.base.errors import MeshDefect
from tankside.part.bodies import BodyKind, PartBody, bodies_in
from tankside.part.hole_filling import filled
from tankside.part.holes import holes_of
from tankside.part.mesh import TriangleMesh
from tankside.part.needles import without_needles
from tankside.part.report import tolerance_of
from tankside.part.seams import split_at_seams
from tankside.part.topology import Edges, edges_of, sides_to_turn
from tankside.part.welding import near_places

NO_ORIGINAL = -1
"""Original triangle of those that close a hole."""


@dataclass(frozen=True, kw_only=True)
class RepairReport:
    """What a repair changed, and what it left.

    corners_joined        corners that became one with another
    unused_dropped        corners that no triangle used
    collapsed_dropped     triangles that had lost a corner
    duplicates_dropped    triangles over the corners of an earlier one, wound alike
    seams_split           triangles split where corners lie on an open side of theirs
    needles_swapped       flat triangles turned away by swapping an edge
    needles_left          flat triangles that could not be
    holes_filled          flat holes closed, of at most `largest_hole` across
    filling_area          area of the triangles that close them [m²]
    triangles_turned      triangles turned to face as their neighbours do
    bodies_turned         closed bodies turned to face outwards
    open_edges_left       edges that still have one triangle
    holes_left            runs of them
    one_sided             triangles in surfaces with only one side
    largest_hole          extent up to which holes were closed [m]
    original_triangle     (nt,) triangle of the mesh given, or -1 for one that closes a hole
    """

    corners_joined: int
    unused_dropped: int
    collapsed_dropped: int
    duplicates_dropped: int
    needles_swapped: int
    needles_left: int
    seams_split: int
    holes_filled: int
    filling_area: float
    triangles_turned: int
    bodies_turned: int
    open_edges_left: int
    holes_left: int
    one_sided: int
    largest_hole: float
    original_triangle: Ints

    def __post_init__(self) -> None:
        object.__setattr__(self, "original_triangle", frozen_ints(self.original_triangle))

    @property
    def changed(self) -> bool:
        """True where the mesh returned differs from the mesh given."""
        return any(
            (
                self.corners_joined,
                self.unused_dropped,
                self.collapsed_dropped,
                self.duplicates_dropped,
                self.needles_swapped,
                self.holes_filled,
                self.seams_split,
                self.triangles_turned,
                self.bodies_turned,
            )
        )

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was done and what was left, in words."""
        from tankside.part.repair_words import in_words

        return in_words(self)


def repaired(
    mesh: TriangleMesh, *, largest_hole_share: float = 0.1
) -> tuple[TriangleMesh, RepairReport]:
    """The mesh with its small faults put right, and what was done.

    largest_hole_share: holes up to this share of the box's diagonal across are closed, where they
    are flat [-]; 0 closes none. MeshDefect where nothing is left of the mesh.
    """
    low, high = mesh.box
    diagonal = float(np.linalg.norm(high - low))
    tolerance = tolerance_of(mesh)
    welded, original, joined, unused = _welded(mesh, tolerance)
    collapsed = len(mesh.triangles) - len(original)
    single, original, doubles = _without_duplicates(welded, original)
    if not len(single.triangles):
        raise MeshDefect("no triangle of the mesh has an area; nothing is left of it")
    sewn, owner, split = split_at_seams(single, tolerance)
    original = original[owner]
    turn, one_sided = sides_to_turn(edges_of(sewn))
    lidded, holes, area = filled(_turned(sewn, turn), largest_hole_share * diagonal)
    whole, swapped, needles = without_needles(lidded, tolerance)
    added = len(whole.triangles) - len(original)
    original = np.concatenate([original, np.full(added, NO_ORIGINAL, dtype=np.int64)])
    doubtful = np.concatenate([turn, np.zeros(added, dtype=np.bool_)])
    outward, bodies_turned = _facing_out(whole, doubtful)
    edges = edges_of(outward)
    return outward, RepairReport(
        corners_joined=joined,
        unused_dropped=unused,
        collapsed_dropped=collapsed,
        duplicates_dropped=doubles,
        needles_swapped=swapped,
        needles_left=needles,
        seams_split=split,
        holes_filled=holes,
        filling_area=area,
        triangles_turned=int(turn.sum()),
        bodies_turned=bodies_turned,
        open_edges_left=int((edges.count == 1).sum()),
        holes_left=len(holes_of(outward, edges)),
        one_sided=int(one_sided.sum()),
        largest_hole=largest_hole_share * diagonal,
        original_triangle=original,
    )


def _welded(mesh: TriangleMesh, tolerance: float) -> tuple[TriangleMesh, Ints, int, int]:
    """(mesh, original triangle, corners joined, unused corners dropped)."""
    used = np.unique(mesh.triangles)
    first, number = near_places(mesh.vertices[used], tolerance)
    triangles = number[np.searchsorted(used, mesh.triangles)]
    whole = (triangles != np.roll(triangles, 1, axis=1)).all(axis=1)
    kept, place = np.unique(triangles[whole], return_inverse=True)
    welded = TriangleMesh(vertices=mesh.vertices[used[first[kept]]], triangles=place.reshape(-1, 3))
    unused = len(mesh.vertices) - len(used)
    return welded, np.flatnonzero(whole), len(used) - len(first), unused


def _without_duplicates(mesh: TriangleMesh, original: Ints) -> tuple[TriangleMesh, Ints, int]:
    """The mesh without triangles that repeat an earlier one with the same winding; two triangles
    back to back are a wall without thickness, or two bodies that touch, and stay."""
    start = np.argmin(mesh.triangles, axis=1)
    turned = np.take_along_axis(mesh.triangles, (start[:, None] + np.arange(3)) % 3, axis=1)
    kept = np.sort(np.unique(turned, axis=0, return_index=True)[1])
    single = TriangleMesh(vertices=mesh.vertices, triangles=mesh.triangles[kept])
    return single, original[kept], len(mesh.triangles) - len(kept)


def _turned(mesh: TriangleMesh, turn: Bools) -> TriangleMesh:
    if not turn.any():
        return mesh
    return TriangleMesh(
        vertices=mesh.vertices,
        triangles=np.where(turn[:, None], mesh.triangles[:, ::-1], mesh.triangles),
    )


def _facing_out(mesh: TriangleMesh, doubtful: Bools) -> tuple[TriangleMesh, int]:
    """(mesh, bodies turned): outermost bodies that are inside out are turned with all that lies in
    them; then nested ones that had `doubtful` triangles and would be solids in solids; then open
    ones that would enclose less than nothing if their holes were closed."""
    edges = edges_of(mesh)
    found = bodies_in(mesh, edges)
    turn = np.array([_inverted(found.bodies, body) for body in found.bodies])
    unsure = np.bincount(found.body_of_triangle, doubtful, minlength=len(turn)) > 0
    nested = np.array([body.kind is BodyKind.SOLID_IN_SOLID for body in found.bodies])
    turn ^= unsure & nested
    is_open = np.array([body.kind is BodyKind.OPEN for body in found.bodies])
    if is_open.any():
        turn |= is_open & _would_enclose_nothing(mesh, edges, found.body_of_triangle, len(turn))
    return _turned(mesh, turn[found.body_of_triangle]), int(turn.sum())


def _inverted(bodies: tuple[PartBody, ...], body: PartBody) -> bool:
    """Whether the outermost body around this one is inside out."""
    while body.inside:
        body = bodies[body.inside - 1]
    return body.kind is BodyKind.INSIDE_OUT


def _would_enclose_nothing(mesh: TriangleMesh, edges: Edges, body: Ints, count: int) -> Bools:
    """Which bodies would have a negative volume if their holes were closed as cones to the middle
    of all their open edges; flat sheets have none, and are left as they are."""
    sides = np.flatnonzero((edges.count == 1)[edges.edge.reshape(-1)])
    middles = mesh.vertices[edges.corners[edges.edge.reshape(-1)[sides]]].mean(axis=1)
    owner = body[sides // 3]
    weight = np.maximum(np.bincount(owner, minlength=count), 1)
    apex = np.stack(
        [np.bincount(owner, middles[:, axis], minlength=count) / weight for axis in range(3)],
        axis=1,
    )
    shares = np.einsum("ij,ij->i", mesh.centroids - apex[body], mesh.area_vectors) / 3
    volume = np.bincount(body, shares, minlength=count)
    area = np.bincount(body, mesh.areas, minlength=count)
    return np.asarray(volume < -1e-3 * area**1.5)
