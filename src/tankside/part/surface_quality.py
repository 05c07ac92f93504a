"""How good a surface is for the field solver: closed, manifold, uncrossed, well-shaped."""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.part.mesh import TriangleMesh
from tankside.part.remesh_crossings import crossings
from tankside.part.remesh_tree import tree_of


@dataclass(frozen=True, kw_only=True)
class SurfaceQuality:
    """What `surface_quality` finds.

    closed                  every edge has two triangles that run it in opposite ways
    manifold                closed, and the triangles around every vertex form one fan
    crossings               pairs of triangles that pass through each other or fold back [-]
    smallest_angle          the smallest angle of all [rad]
    smallest_angle_percent  percentiles 1, 5 and 50 of the triangles' smallest angles [rad]
    below_20_degrees        share of triangles with an angle under 20 degrees [-]
    edge_ratio              longest edge over shortest edge of a triangle, percentile 99 [-]
    edge_lengths            percentiles 1, 50 and 99 of all edges [m]
    """

    closed: bool
    manifold: bool
    crossings: int
    smallest_angle: float
    smallest_angle_percent: tuple[float, float, float]
    below_20_degrees: float
    edge_ratio: float
    edge_lengths: tuple[float, float, float]


def surface_quality(mesh: TriangleMesh) -> SurfaceQuality:
    """Measures a surface with at least one triangle; changes nothing."""
    angles = smallest_angles(mesh)
    sides = _sides(mesh)
    ratio = sides.max(axis=1) / np.maximum(sides.min(axis=1), 1e-300)
    one, five, half = (float(p) for p in np.percentile(angles, [1, 5, 50]))
    short, median, long = (float(p) for p in np.percentile(sides, [1, 50, 99]))
    closed = is_closed(mesh.triangles)
    return SurfaceQuality(
        closed=closed,
        manifold=closed and bool(_one_fan(mesh.triangles, len(mesh.vertices)).all()),
        crossings=len(crossings(tree_of(mesh.corners), mesh.triangles)),
        smallest_angle=float(angles.min()),
        smallest_angle_percent=(one, five, half),
        below_20_degrees=float((angles < np.radians(20)).mean()),
        edge_ratio=float(np.percentile(ratio, 99)),
        edge_lengths=(short, median, long),
    )


def smallest_angles(mesh: TriangleMesh) -> Floats:
    """The smallest angle of each triangle (nt,) [rad]; nought where it has no area."""
    sides = np.sort(_sides(mesh), axis=1)
    longer = np.maximum(sides[:, 1] * sides[:, 2], 1e-300)
    return np.asarray(np.arcsin(np.minimum(2 * mesh.areas / longer, 1.0)))


def _sides(mesh: TriangleMesh) -> Floats:
    ends = np.roll(mesh.corners, -1, axis=1)
    return np.asarray(np.linalg.norm(ends - mesh.corners, axis=2))


def is_closed(triangles: Ints) -> bool:
    """Whether each directed edge occurs once and its reverse once."""
    if not len(triangles):
        return False
    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    size = int(triangles.max()) + 1
    forward = np.sort(start * size + end)
    backward = np.sort(end * size + start)
    return bool((forward == backward).all() and (np.diff(forward) > 0).all())


def _one_fan(triangles: Ints, vertices: int) -> Bools:
    """Whether the triangles around each vertex of a closed surface hang together (nv,).

    Triangle corners at a vertex are joined over the two edges there; a vertex whose corners fall
    into several loops is where surfaces touch in a point.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    half = np.arange(len(start))
    forward, backward = start * vertices + end, end * vertices + start
    order = np.argsort(forward)
    twin = order[np.searchsorted(forward[order], backward)]
    following = half - half % 3 + (half + 1) % 3
    graph = coo_array((np.ones(len(half)), (half, following[twin])), shape=(len(half), len(half)))
    _, loop = connected_components(graph, directed=False)
    pairs = np.unique(start * (int(loop.max()) + 1) + loop)
    fans = np.bincount(pairs // (int(loop.max()) + 1), minlength=vertices)
    return np.asarray(fans <= 1)
