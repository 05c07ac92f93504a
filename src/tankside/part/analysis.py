"""The analysis surface of a part: the skin that the field solver works on.

A whole mesh goes the direct way: its bodies are united and the skin is remeshed as it is. A broken
one goes through a signed distance by winding number and a level set, and the result says so. The
outcome is checked before it is returned: closed, no triangles through each other, and the largest
distance to the original, measured both ways.
"""

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, MeshDefect
from tankside.base.progress import Progress, silent
from tankside.part.direct import Skin, outer_skin, simplified
from tankside.part.direct_shells import Broken
from tankside.part.mesh import TriangleMesh
from tankside.part.remesh import remeshed
from tankside.part.level_set import level_set_skin
from tankside.part.remesh_tree import crossings, nearest, tree_of
from tankside.part.surface import AnalysisSurface
from tankside.part.surface_samples import largest_distance
from tankside.part.surface_quality import is_closed, smallest_angles

FEWEST, MOST = 500, 100_000
"""Triangles that may be asked for [-]."""

USUAL_TOLERANCE = 3e-4
"""Tolerance where none is stated, over the diagonal of the part's box [-]."""

COUNT_MET = 0.15
"""Share of the wished count within which it counts as met [-]."""

CLEARANCES = (0.3, 0.1, 0.03)
"""Slack over the width of gaps and walls in the first and later attempts at remeshing [-]."""


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
    _check(mesh, triangles, tolerance)
    size = _diagonal(mesh)
    wished = USUAL_TOLERANCE * size if tolerance is None else tolerance
    progress("looking for the outer skin", 0.0)
    skin = outer_skin(mesh)
    if isinstance(skin, Broken):
        route = "level set"
        skin = level_set_skin(mesh, skin.reason, triangles, progress)
    else:
        route = "direct"
    shape = _remeshed(skin, triangles, wished, focus, progress)
    progress("comparing with the original", 0.0)
    return _judged(mesh, skin, shape, route, triangles, tolerance, progress)


def _check(mesh: TriangleMesh, triangles: int, tolerance: float | None) -> None:
    if not FEWEST <= triangles <= MOST:
        raise BadInput(
            f"an analysis surface of {triangles} triangles was asked for; "
            f"ask for {FEWEST} to {MOST}"
        )
    if tolerance is not None and not 0 < tolerance < np.inf:
        raise BadInput(f"a tolerance of {tolerance} m makes no sense; give a length above nought")
    if not len(mesh.triangles) or not mesh.area > 0:
        raise MeshDefect("the mesh has no triangle with an area; there is nothing to plate")


def _diagonal(mesh: TriangleMesh) -> float:
    low, high = mesh.box
    return float(np.linalg.norm(high - low))


def _remeshed(
    skin: Skin, triangles: int, tolerance: float, focus: Floats | None, progress: Progress
) -> TriangleMesh:
    """The remeshed skin; tried again with less slack where triangles pass through each other."""
    plain = simplified(skin, tolerance / 10)
    crossed = 0
    for clearance in CLEARANCES:
        shape = remeshed(
            plain.vertices,
            plain.triangles,
            count=triangles,
            tolerance=tolerance,
            clearance=clearance,
            focus=focus,
            progress=progress,
        )
        crossed = len(crossings(tree_of(shape.vertices[shape.triangles]), shape.triangles))
        if not crossed and is_closed(shape.triangles):
            return TriangleMesh(vertices=shape.vertices, triangles=shape.triangles)
    raise MeshDefect(
        f"the part's skin could not be remeshed without {crossed} pairs of triangles passing "
        "through each other; ask for more triangles, or thicken its thinnest walls"
    )


def _judged(
    mesh: TriangleMesh,
    skin: Skin,
    shape: TriangleMesh,
    route: str,
    triangles: int,
    tolerance: float | None,
    progress: Progress,
) -> AnalysisSurface:
    """The result with its measured distance, area change, angles and notes."""
    whole = TriangleMesh(vertices=skin.vertices, triangles=skin.triangles)
    away = largest_distance(whole, shape)
    progress("comparing with the original", 0.5)
    original, _, _ = nearest(tree_of(mesh.corners), shape.centroids)
    notes = list(skin.notes)
    if abs(len(shape.triangles) / triangles - 1) > COUNT_MET:
        notes.append(
            f"{triangles} triangles were asked for and {len(shape.triangles)} made: the part has "
            "more detail than so few can follow."
            if len(shape.triangles) > triangles
            else f"{triangles} triangles were asked for and {len(shape.triangles)} made."
        )
    if tolerance is not None and away > tolerance:
        notes.append(
            f"The surface strays up to {away * 1e3:.3g} mm from the original, not the "
            f"{tolerance * 1e3:.3g} mm asked for, to meet the number of triangles."
        )
    return AnalysisSurface(
        mesh=shape,
        original_triangle=original,
        route=route,
        largest_distance=away,
        area_change=shape.area / whole.area - 1,
        smallest_angle_5_percent=float(np.percentile(smallest_angles(shape), 5)),
        notes=tuple(notes),
    )
