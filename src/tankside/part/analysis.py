"""The analysis surface of a part: the skin that the field solver works on.

A whole mesh goes the direct way: its bodies are united and the skin is remeshed as it is. A broken
one goes through a signed distance by winding number and a level set, and the result says so. The
outcome is checked before it is returned: closed, no triangles through each other, and the largest
distance to the original, measured both ways.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, MeshDefect
from tankside.base.messages import Quantity, said
from tankside.base.progress import Progress, silent
from tankside.part.direct import Skin, outer_skin, simplified
from tankside.part.direct_shells import Broken
from tankside.part.level_set import level_set_skin
from tankside.part.mesh import TriangleMesh
from tankside.part.remesh import remeshed
from tankside.part.remesh_crossings import crossings
from tankside.part.remesh_tree import nearest, tree_of
from tankside.part.surface import AnalysisSurface
from tankside.part.surface_quality import is_closed, smallest_angles
from tankside.part.surface_samples import largest_distance, largest_distance_on
from tankside.part.topology import pieces_of

FEWEST, MOST = 500, 100_000
"""Triangles that may be asked for [-]."""

USUAL_TOLERANCE = 3e-4
"""Tolerance where none is stated, over the diagonal of the part's box [-]."""

COUNT_MET = 0.15
"""Share of the wished count within which it counts as met [-]."""

SHARP_ANGLE = np.radians(20.0)
"""Smallest angle below which a triangle is poor [rad]."""

FEWEST_OF_BODY = 12
"""Triangles that a body takes at least [-]."""

CLEARANCES = (0.3, 0.1, 0.03)
"""Slack over the width of gaps and walls in the first and later attempts at remeshing [-]."""


@dataclass(frozen=True, kw_only=True)
class _Wish:
    """triangles, tolerance [m], whether the tolerance was stated, focus points (n, 3) [m]."""

    triangles: int
    tolerance: float
    stated: bool
    focus: Floats | None


def analysis_surface(
    mesh: TriangleMesh,
    *,
    triangles: int = 12_000,
    tolerance: float | None = None,
    focus: Floats | None = None,
    progress: Progress = silent,
) -> AnalysisSurface:
    """The skin of a part as the field solver needs it.

    mesh       as loaded [m]; it need not be whole
    triangles  how many are wished, from 500 to 100,000
    tolerance  how far the surface may stray from the original [m]; where the count does not allow
               it, the count wins and the notes say so. Left out, it is 0.03 % of the box's diagonal
    focus      (n, 3) points to refine near, such as contacts [m]

    BadInput where a wish makes no sense; MeshDefect where the mesh has no inside to speak of.
    """
    wish = _checked(mesh, triangles, tolerance, focus)
    progress("looking for the outer skin", 0.0)
    skin = outer_skin(mesh)
    shape = skin if isinstance(skin, Broken) else _remeshed(skin, wish, progress)
    route = "direct"
    if isinstance(skin, Broken) or isinstance(shape, Broken):
        route = "level set"
        reason = skin.reason if isinstance(skin, Broken) else said("has walls that touch or cross")
        skin = level_set_skin(mesh, reason, triangles, progress)
        shape = _remeshed(skin, wish, progress)
        if isinstance(shape, Broken):
            raise MeshDefect(
                "the mesh {reason}, and the level set of it {shape}; repair the mesh in the "
                "program that made it, or ask for more triangles",
                reason=reason,
                shape=shape.reason,
            )
    progress("comparing with the original", 0.0)
    return _judged(mesh, skin, shape, route, wish)


def _checked(
    mesh: TriangleMesh, triangles: int, tolerance: float | None, focus: Floats | None
) -> _Wish:
    if not FEWEST <= triangles <= MOST:
        raise BadInput(
            "an analysis surface of {triangles} triangles was asked for; ask for {fewest} to "
            "{most}",
            triangles=triangles,
            fewest=FEWEST,
            most=MOST,
        )
    if tolerance is not None and not 0 < tolerance < np.inf:
        raise BadInput(
            "a tolerance of {tolerance} m makes no sense; give a length above nought",
            tolerance=tolerance,
        )
    if not len(mesh.triangles) or not mesh.area > 0:
        raise MeshDefect("the mesh has no triangle with an area; there is nothing to plate")
    if focus is not None:
        focus = np.asarray(focus, dtype=np.float64).reshape(-1, 3)
        if not np.isfinite(focus).all():
            raise BadInput("a point to refine near is not a finite number")
    low, high = mesh.box
    usual = USUAL_TOLERANCE * float(np.linalg.norm(high - low))
    return _Wish(
        triangles=triangles,
        tolerance=usual if tolerance is None else tolerance,
        stated=tolerance is not None,
        focus=focus,
    )


def _remeshed(skin: Skin, wish: _Wish, progress: Progress) -> TriangleMesh | Broken:
    """The remeshed skin; tried again with less slack where triangles pass through each other."""
    plain = simplified(skin, wish.tolerance / 10)
    if isinstance(plain, Broken):
        return plain
    _check_bodies(plain, wish)
    crossed = 0
    for clearance in CLEARANCES:
        shape = remeshed(
            plain.vertices,
            plain.triangles,
            count=wish.triangles,
            tolerance=wish.tolerance,
            clearance=clearance,
            focus=wish.focus,
            progress=progress,
        )
        crossed = len(crossings(tree_of(shape.vertices[shape.triangles]), shape.triangles))
        if not crossed and is_closed(shape.triangles):
            return TriangleMesh(vertices=shape.vertices, triangles=shape.triangles)
    return Broken(
        reason=said(
            "has {crossed} pairs of triangles that pass through each other", crossed=crossed
        )
    )


def _check_bodies(skin: Skin, wish: _Wish) -> None:
    """Refuses what falls into far more bodies than the wished triangles can follow."""
    bodies = int(pieces_of(skin.triangles, len(skin.vertices)).max(initial=-1)) + 1
    if bodies * FEWEST_OF_BODY > 2 * wish.triangles:
        raise MeshDefect(
            "the mesh falls into {bodies:,} bodies that stand apart, more than {triangles:,} "
            "triangles can follow; keep those that are to be plated, or ask for more triangles",
            bodies=bodies,
            triangles=wish.triangles,
        )


def _judged(
    mesh: TriangleMesh, skin: Skin, shape: TriangleMesh, route: str, wish: _Wish
) -> AnalysisSurface:
    """The result with its measured distance, area change, angles and notes."""
    whole = TriangleMesh(vertices=skin.vertices, triangles=skin.triangles)
    away = largest_distance(whole, shape)
    if skin.grain:
        away = max(away, largest_distance_on(mesh, whole, skin.grain / 2, shape))
    original, _, _ = nearest(tree_of(mesh.corners), shape.centroids)
    angles = smallest_angles(shape)
    return AnalysisSurface(
        mesh=shape,
        original_triangle=original,
        route=route,
        largest_distance=away,
        area_change=shape.area / whole.area - 1,
        smallest_angle_5_percent=float(np.percentile(angles, 5)),
        notes=(*skin.notes, *_shortfalls(shape, away, angles, wish)),
    )


def _shortfalls(shape: TriangleMesh, away: float, angles: Floats, wish: _Wish) -> list[str]:
    """What was asked for and not reached, in sentences."""
    notes = []
    made = len(shape.triangles)
    if made > (1 + COUNT_MET) * wish.triangles:
        notes.append(
            said(
                "{triangles} triangles were asked for and {made} made: the part has more "
                "detail than so few can follow.",
                triangles=wish.triangles,
                made=made,
            )
        )
    elif made < (1 - COUNT_MET) * wish.triangles:
        notes.append(
            said(
                "{triangles} triangles were asked for and {made} made.",
                triangles=wish.triangles,
                made=made,
            )
        )
    if wish.stated and away > wish.tolerance:
        notes.append(
            said(
                "The surface strays up to {away} from the original, not the {tolerance} asked "
                "for: {triangles} triangles allow no better.",
                away=Quantity(away, "mm"),
                tolerance=Quantity(wish.tolerance, "mm"),
                triangles=wish.triangles,
            )
        )
    poor = float((angles < SHARP_ANGLE).mean())
    if poor > 0.05:
        notes.append(
            said(
                "{poor} % of the triangles have an angle under 20 degrees, mostly on strips "
                "narrower than the triangles are long; more triangles make them better.",
                poor=f"{100 * poor:.0f}",
            )
        )
    return notes
