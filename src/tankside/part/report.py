"""What a part's mesh is like: whole or broken, and in which ways, before anything is changed.

`examined` only looks. It finds the bodies and how they lie in one another, holes, edges that are
not manifold, triangles that cross, lie on one another, are degenerate or doubled, winding that does
not agree, bodies that are inside out, and the walls. The findings are fields; `sentences` says the
same to a person (`report_words`).
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, Ints, frozen_floats
from tankside.base.errors import MeshDefect
from tankside.base.messages import said
from tankside.base.progress import Progress, silent
from tankside.part.bodies import Bodies, BodyKind, PartBody, bodies_in
from tankside.part.crossings import ROUNDING, Crossings, crossings_of, heights
from tankside.part.holes import Hole, holes_of
from tankside.part.mesh import TriangleMesh
from tankside.part.topology import Edges, edges_of
from tankside.part.walls import Walls, walls_of
from tankside.part.welding import near_places, same_place


@dataclass(frozen=True, kw_only=True)
class PartReport:
    """The state of a mesh.

    triangles, corners     how many
    box_sizes              (3,) [m]
    area                   of all triangles [m²]
    bodies                 one by one
    holes                  runs of edges with one triangle, the longest first
    open_edges             edges with one triangle
    non_manifold_edges     edges with three triangles or more
    unlike_edges           edges whose two triangles are wound against each other
    crossings              pairs of triangles that cross, and that lie on one another
    overlapping_bodies     pairs of body numbers (from 1) that cross or lie partly in one another
    degenerate             triangles without a height worth the name
    duplicate              triangles over the same three corners as an earlier one
    apart_corners          corners within the rounding of the file of another, yet not shared
    open_edges_if_welded   how many open edges would be left if those were shared
    walls                  thickness, or None where it could not be measured
    notes                  why something could not be looked at
    """

    triangles: int
    corners: int
    box_sizes: Floats
    area: float
    bodies: tuple[PartBody, ...]
    holes: tuple[Hole, ...]
    open_edges: int
    non_manifold_edges: int
    unlike_edges: int
    crossings: Crossings
    overlapping_bodies: tuple[tuple[int, int], ...]
    degenerate: int
    duplicate: int
    apart_corners: int
    open_edges_if_welded: int
    walls: Walls | None
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "box_sizes", frozen_floats(self.box_sizes))

    @property
    def closed(self) -> bool:
        """True where every body is closed."""
        return all(body.closed for body in self.bodies)

    @property
    def well_wound(self) -> bool:
        """True where every closed body faces the way that its place asks for."""
        wrong = (BodyKind.INSIDE_OUT, BodyKind.MIXED)
        return self.unlike_edges == 0 and not any(body.kind in wrong for body in self.bodies)

    @property
    def crosses_itself(self) -> bool:
        """True where triangles cross, or bodies overlap."""
        return bool(len(self.crossings.crossing)) or bool(self.overlapping_bodies)

    @property
    def sound(self) -> bool:
        """True where volume and skin are defined without any repair."""
        return (
            self.closed
            and self.well_wound
            and not self.crosses_itself
            and not self.of_kind(BodyKind.SOLID_IN_SOLID)
            and not len(self.crossings.lying_on)
            and not self.degenerate
            and not self.duplicate
            and not self.non_manifold_edges
        )

    def of_kind(self, *kinds: BodyKind) -> tuple[PartBody, ...]:
        """The bodies of some kinds."""
        return tuple(body for body in self.bodies if body.kind in kinds)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The report in words, the worst first."""
        from tankside.part.report_words import in_words

        return in_words(self)


def examined(mesh: TriangleMesh, *, progress: Progress = silent) -> PartReport:
    """The report on a mesh; MeshDefect where it has no triangles."""
    if not len(mesh.triangles):
        raise MeshDefect("the mesh has no triangles")
    progress("looking at edges and bodies", 0.0)
    edges = edges_of(mesh)
    bodies = bodies_in(mesh, edges)
    progress("looking for crossings", 0.3)
    crossings = crossings_of(mesh)
    progress("measuring walls", 0.7)
    walls, notes = _walls(mesh, bodies)
    apart, open_if_welded = _if_welded(mesh, edges)
    low, high = mesh.box
    return PartReport(
        triangles=len(mesh.triangles),
        corners=len(mesh.vertices),
        box_sizes=high - low,
        area=mesh.area,
        bodies=bodies.bodies,
        holes=holes_of(mesh, edges),
        open_edges=int((edges.count == 1).sum()),
        non_manifold_edges=int((edges.count > 2).sum()),
        unlike_edges=int((~edges.neighbours[2]).sum()),
        crossings=crossings,
        overlapping_bodies=_overlapping(bodies, crossings),
        degenerate=int((heights(mesh) <= tolerance_of(mesh)).sum()),
        duplicate=len(mesh.triangles) - len(np.unique(np.sort(mesh.triangles, axis=1), axis=0)),
        apart_corners=apart,
        open_edges_if_welded=open_if_welded,
        walls=walls,
        notes=notes,
    )


def tolerance_of(mesh: TriangleMesh) -> float:
    """Lengths below this are the rounding of a file's numbers [m]: 2**-22 of the box's diagonal."""
    low, high = mesh.box
    return ROUNDING * float(np.linalg.norm(high - low))


def _walls(mesh: TriangleMesh, bodies: Bodies) -> tuple[Walls | None, tuple[str, ...]]:
    """Walls under all bodies that have an outside."""
    facing_out = [
        body.closed and body.kind not in (BodyKind.MIXED, BodyKind.OPEN) for body in bodies.bodies
    ]
    if not any(facing_out):
        return None, (said("Walls were not measured: no body is closed and wound one way."),)
    inverted = [body.kind is BodyKind.INSIDE_OUT for body in bodies.bodies]
    turned = mesh
    if any(inverted):
        turn = np.array(inverted)[bodies.body_of_triangle]
        turned = TriangleMesh(
            vertices=mesh.vertices,
            triangles=np.where(turn[:, None], mesh.triangles[:, ::-1], mesh.triangles),
        )
    walls = walls_of(turned, np.flatnonzero(np.array(facing_out)[bodies.body_of_triangle]))
    left = sum(not one for one in facing_out)
    notes = (
        (
            said(
                "Not measured for walls, as they are open or wound both ways: {left} of the "
                "bodies.",
                left=left,
            ),
        )
        if left
        else ()
    )
    return walls, notes


def _if_welded(mesh: TriangleMesh, edges: Edges) -> tuple[int, int]:
    """(corners that stand where another does, open edges if they were shared)."""
    open_edges = int((edges.count == 1).sum())
    if not open_edges:
        return len(mesh.vertices) - len(same_place(mesh.vertices)[0]), 0
    first, number = near_places(mesh.vertices, tolerance_of(mesh))
    apart = len(mesh.vertices) - len(first)
    if not apart:
        return 0, open_edges
    triangles = number[mesh.triangles]
    whole = (triangles != np.roll(triangles, 1, axis=1)).all(axis=1)
    welded = edges_of(TriangleMesh(vertices=mesh.vertices[first], triangles=triangles[whole]))
    return apart, int((welded.count == 1).sum())


def _overlapping(bodies: Bodies, crossings: Crossings) -> tuple[tuple[int, int], ...]:
    pairs: Ints = np.sort(bodies.body_of_triangle[crossings.crossing], axis=1) + 1
    different = pairs[pairs[:, 0] != pairs[:, 1]]
    found = {(int(one), int(two)) for one, two in np.unique(different, axis=0)}
    return tuple(sorted(found | set(bodies.overlapping)))
