"""Closing small flat holes of a mesh with triangles over their own corners.

A hole is closed where it is one simple loop, no larger across than asked, and lies within a tenth
of its extent of a plane; the polygon is cut by ear clipping, and no corner is added. A lid that
would use an edge that the mesh has already is left away. Everything else stays open.
"""

import numpy as np

from tankside.base.arrays import Ints
from tankside.part.formats.polygons import clipped_ears
from tankside.part.holes import Hole, holes_of
from tankside.part.mesh import TriangleMesh
from tankside.part.topology import edges_of

_FLATNESS = 0.1


def filled(mesh: TriangleMesh, largest_extent: float) -> tuple[TriangleMesh, int, float]:
    """(mesh, holes closed, area of the lids [m²]); the lids' triangles come last."""
    edges = edges_of(mesh)
    taken = {(int(low), int(high)) for low, high in edges.corners} if largest_extent else set()
    lids: list[Ints] = []
    for hole in holes_of(mesh, edges) if largest_extent else ():
        if not (hole.simple and hole.edges >= 3 and hole.extent <= largest_extent):
            continue
        lid = hole.corners[clipped_ears(mesh.vertices[hole.corners])]
        if _flat(mesh, hole) and not _inner_edges(lid, hole) & taken:
            taken |= _inner_edges(lid, hole)
            lids.append(lid)
    if not lids:
        return mesh, 0, 0.0
    whole = TriangleMesh(vertices=mesh.vertices, triangles=np.concatenate([mesh.triangles, *lids]))
    return whole, len(lids), float(whole.areas[len(mesh.triangles) :].sum())


def _flat(mesh: TriangleMesh, hole: Hole) -> bool:
    spokes = mesh.vertices[hole.corners] - hole.centre
    normal = np.cross(spokes, np.roll(spokes, -1, axis=0)).sum(axis=0)
    length = float(np.linalg.norm(normal))
    if length == 0.0:
        return False
    return float(np.abs(spokes @ normal).max()) / length <= _FLATNESS * hole.extent


def _inner_edges(lid: Ints, hole: Hole) -> set[tuple[int, int]]:
    """Edges of a lid that are not those of the hole."""
    sides = np.stack([lid, np.roll(lid, -1, axis=1)], axis=2).reshape(-1, 2)
    border = np.stack([hole.corners, np.roll(hole.corners, -1)], axis=1)
    all_edges = {(min(pair), max(pair)) for pair in sides.tolist()}
    return all_edges - {(min(pair), max(pair)) for pair in border.tolist()}
