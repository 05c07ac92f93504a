"""Open edges split at the corners that lie on them, so that the two sides of a seam share edges.

Programs that cut faces apart leave one long edge on one side of a seam and several short ones on
the other. The triangle with the long edge is split there into a fan over the same corners; no
corner is added or moved, and nothing changes that an eye could see.
"""

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.part.mesh import TriangleMesh
from tankside.part.topology import edges_of

_PASSES = 5


def split_at_seams(mesh: TriangleMesh, tolerance: float) -> tuple[TriangleMesh, Ints, int]:
    """(mesh, triangle of the mesh given (nt,), triangles split); corners within `tolerance` [m] of
    an open edge lie on it."""
    owner = np.arange(len(mesh.triangles))
    split = 0
    for _ in range(_PASSES):
        cuts = _cuts(mesh, tolerance)
        if not cuts:
            break
        mesh, parent = _split(mesh, cuts)
        owner = owner[parent]
        split += len(cuts)
    return mesh, owner, split


def _cuts(mesh: TriangleMesh, tolerance: float) -> dict[int, tuple[int, list[int]]]:
    """For triangles with corners on an open side: that side, and the corners along it."""
    edges = edges_of(mesh)
    sides = np.flatnonzero((edges.count == 1)[edges.edge.reshape(-1)])
    if not len(sides):
        return {}
    start = mesh.triangles.reshape(-1)[sides]
    end = np.roll(mesh.triangles, -1, axis=1).reshape(-1)[sides]
    loose = np.unique(np.concatenate([start, end]))
    cuts: dict[int, tuple[int, list[int]]] = {}
    candidates = _near(mesh.vertices, loose, start, end)
    for side, one, two, near in zip(
        sides.tolist(), start.tolist(), end.tolist(), candidates, strict=True
    ):
        if side // 3 not in cuts and (along := _along(mesh.vertices, one, two, near, tolerance)):
            cuts[side // 3] = (side % 3, along)
    return cuts


def _near(vertices: Floats, loose: Ints, start: Ints, end: Ints) -> list[Ints]:
    """For each edge, the loose corners in the ball around it."""
    from scipy.spatial import cKDTree

    middle = (vertices[start] + vertices[end]) / 2
    radius = np.linalg.norm(vertices[end] - vertices[start], axis=1) / 2
    found = cKDTree(vertices[loose]).query_ball_point(middle, radius)
    return [loose[np.array(row, dtype=np.int64)] for row in found]


def _along(vertices: Floats, one: int, two: int, near: Ints, tolerance: float) -> list[int]:
    """The corners of `near` that lie on the edge between its ends, in order."""
    side = vertices[two] - vertices[one]
    length = float(np.linalg.norm(side))
    if length <= 2 * tolerance:
        return []
    place = (vertices[near] - vertices[one]) @ side / length
    off = np.linalg.norm(vertices[near] - vertices[one] - np.outer(place, side / length), axis=1)
    on = (off <= tolerance) & (place > tolerance) & (place < length - tolerance)
    on &= (near != one) & (near != two)
    return [int(corner) for corner in near[on][np.argsort(place[on])]]


def _split(mesh: TriangleMesh, cuts: dict[int, tuple[int, list[int]]]) -> tuple[TriangleMesh, Ints]:
    kept = np.ones(len(mesh.triangles), dtype=np.bool_)
    kept[list(cuts)] = False
    fans: list[list[int]] = []
    parents: list[int] = []
    for number, (side, along) in cuts.items():
        corners = mesh.triangles[number].tolist()
        one, two, tip = corners[side:] + corners[:side]
        chain = [one, *(corner for corner in along if corner != tip), two]
        fans += [[chain[k], chain[k + 1], tip] for k in range(len(chain) - 1)]
        parents += [number] * (len(chain) - 1)
    triangles = np.concatenate([mesh.triangles[kept], np.array(fans, dtype=np.int64)])
    parent = np.concatenate([np.flatnonzero(kept), np.array(parents, dtype=np.int64)])
    order = np.argsort(parent, kind="stable")
    return TriangleMesh(vertices=mesh.vertices, triangles=triangles[order]), parent[order]
