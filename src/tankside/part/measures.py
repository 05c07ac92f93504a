"""What a part measures: the area that gets wet, the volume, the box, and the room inside.

Solution reaches the outer skin only: the walls of sealed cavities and whatever lies inside a solid
do not count. Where no triangles cross, the sums over the triangles are exact. Where whole bodies
overlap, they are united first (manifold3d). Where a body runs through itself, area and volume are
estimated from points and upright lines by the winding number, and the notes say so. An open
surface has no volume and is refused.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.errors import MeshDefect
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.part.bodies import Bodies, BodyKind, bodies_in
from tankside.part.columns import columns_of
from tankside.part.crossings import crossings_of
from tankside.part.mesh import TriangleMesh
from tankside.part.sampling import spread_points
from tankside.part.topology import edges_of
from tankside.part.union import united

_POINTS = 20_000
_LINES = 300


class Route(Enum):
    """How the measures were found."""

    SUMS = "sums over the triangles"
    UNION = "sums over the united bodies"
    SAMPLES = "estimated from points and lines, as the surface runs through itself"


@dataclass(frozen=True, kw_only=True)
class Measures:
    """The measures of a closed part.

    wet_area          of the outer skin [m²]
    outer_volume      inside the outer skin, sealed cavities included: what the part displaces [m³]
    cavity_volume     of the sealed cavities [m³]
    low, high         corners of the box [m]
    route             how they were found
    notes             what a reader must know
    """

    wet_area: Interval
    outer_volume: Interval
    cavity_volume: Interval
    low: Floats
    high: Floats
    route: Route
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "low", frozen_floats(self.low))
        object.__setattr__(self, "high", frozen_floats(self.high))

    @property
    def material_volume(self) -> Interval:
        """Inside the outer skin without the sealed cavities [m³]."""
        outer, hollow = self.outer_volume, self.cavity_volume
        return Interval(outer.low - hollow.high, outer.best - hollow.best, outer.high - hollow.low)

    @property
    def sizes(self) -> Floats:
        """Sides of the box (3,) [m]."""
        return self.high - self.low


def measured(mesh: TriangleMesh) -> Measures:
    """The measures of a closed mesh that faces outwards; MeshDefect where it is open or its winding
    is mixed: repair it, or measure its analysis surface."""
    found = bodies_in(mesh, edges_of(mesh))
    _check(found)
    if not any(body.signed_volume for body in found.bodies):
        raise MeshDefect(
            "the surface is closed but encloses no volume, as a sheet laid on itself; give it a "
            "thickness in the program that made it"
        )
    crossings = crossings_of(mesh)
    if not len(crossings.crossing) and not found.overlapping:
        return _by_sums(mesh, found, Route.SUMS, ())
    pairs = found.body_of_triangle[crossings.crossing]
    if (pairs[:, 0] != pairs[:, 1]).all():
        whole = united(mesh, found)
        if whole is not None:
            again = bodies_in(whole, edges_of(whole))
            notes = (said("bodies that overlap were united before measuring"),)
            return _by_sums(whole, again, Route.UNION, notes)
    return _by_samples(mesh, found)


def _check(found: Bodies) -> None:
    for kind, words in (
        (BodyKind.OPEN, said("open")),
        (BodyKind.MIXED, said("wound both ways")),
        (BodyKind.INSIDE_OUT, said("inside out")),
    ):
        faulty = [body.number for body in found.bodies if body.kind is kind]
        if faulty:
            raise MeshDefect(
                said(
                    "body {number} of {count} is {words}, so the part has no defined volume; "
                    "repair the mesh first",
                    number=faulty[0],
                    count=len(found.bodies),
                    words=words,
                )
            )


def _by_sums(mesh: TriangleMesh, found: Bodies, route: Route, notes: tuple[str, ...]) -> Measures:
    outer = [body for body in found.bodies if not body.inside]
    hollow = [body for body in found.bodies if body.kind is BodyKind.CAVITY]
    loose = [body for body in found.bodies if body.kind is BodyKind.LOOSE_IN_CAVITY]
    nested = [body for body in found.bodies if body.kind is BodyKind.SOLID_IN_SOLID]
    cavity = sum(abs(body.signed_volume or 0.0) for body in hollow)
    cavity -= sum(abs(body.signed_volume or 0.0) for body in loose)
    if nested:
        notes = (
            *notes,
            said(
                "solids that lie wholly in a solid were taken as part of it: {nested}",
                nested=len(nested),
            ),
        )
    low, high = mesh.box
    return Measures(
        wet_area=Interval.exact(sum(body.area for body in outer)),
        outer_volume=Interval.exact(sum(body.signed_volume or 0.0 for body in outer)),
        cavity_volume=Interval.exact(cavity),
        low=low,
        high=high,
        route=route,
        notes=notes,
    )


def _by_samples(mesh: TriangleMesh, found: Bodies) -> Measures:
    """Area from points with material on one side only, volume from upright lines, of all bodies
    that are not sealed inside others. The intervals are between two counts of points and lines."""
    outer = np.array([not body.inside for body in found.bodies])[found.body_of_triangle]
    areas = [_skin_area(mesh, outer, count) for count in (_POINTS // 2, _POINTS)]
    shell = TriangleMesh(vertices=mesh.vertices, triangles=mesh.triangles[outer])
    low, high = mesh.box
    width = float((high - low)[:2].max())
    volumes = [columns_of(shell, width / lines).volume for lines in (_LINES // 2, _LINES)]
    hollow = sum(
        abs(body.signed_volume or 0.0) for body in found.bodies if body.kind is BodyKind.CAVITY
    )
    return Measures(
        wet_area=_between(*areas),
        outer_volume=_between(*volumes),
        cavity_volume=Interval.exact(hollow),
        low=low,
        high=high,
        route=Route.SAMPLES,
        notes=(
            said(
                "the surface runs through itself: area and volume are estimates, and cavities "
                "that only the crossing walls shut off are counted as wet"
            ),
        ),
    )


def _skin_area(mesh: TriangleMesh, outer: Bools, count: int) -> float:
    """Area with material behind it and none before it [m²]."""
    import igl

    low, high = mesh.box
    step = 1e-5 * float(np.linalg.norm(high - low))
    skin = spread_points(mesh, np.flatnonzero(outer), count)
    used = skin.weights > 0
    shell = np.ascontiguousarray(mesh.triangles[outer])
    points, off = skin.points[used], step * skin.normals[used]
    before = igl.fast_winding_number(mesh.vertices, shell, points + off)
    behind = igl.fast_winding_number(mesh.vertices, shell, points - off)
    return float(skin.weights[used][(before < 0.5) & (behind > 0.5)].sum())


def _between(rough: float, fine: float) -> Interval:
    spread = 2 * abs(fine - rough) + 0.01 * abs(fine)
    return Interval(fine - spread, fine, fine + spread)
