"""Ridges of roofs: the highest places of a surface seen from below, where gas passes.

Upright lines on a grid miss a ridge that runs between them, and a gable would turn into a row of
pockets. The ridges are therefore handed over as points along the edges between faces that look
down, with the slopes of those faces, by which a point is told to belong to the roof over a line.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.part.mesh import TriangleMesh
from tankside.part.topology import edges_of

_LEVEL = 1e-6


@dataclass(frozen=True, kw_only=True)
class Ridges:
    """points (n, 3) [m]; slopes (n, 2, 2): rise along x and along y of the two faces that meet
    there [-], not a number for one that does not look down."""

    points: Floats
    slopes: Floats


def ridges_of(mesh: TriangleMesh, spacing: float) -> Ridges:
    """Points at most half a spacing apart along edges between two faces that look down, or between
    one that does and an upright one, where both fall away from the edge."""
    edges = edges_of(mesh)
    first, second, _ = edges.neighbours
    corners = edges.corners[edges.count == 2]
    down = mesh.normals[:, 2]
    roof = (np.maximum(down[first], down[second]) < _LEVEL) & (
        np.minimum(down[first], down[second]) < -_LEVEL
    )
    roof &= _falls_away(mesh, corners, first) & _falls_away(mesh, corners, second)
    ends = mesh.vertices[corners[roof]]
    slope = np.full((len(down), 2), np.nan)
    looks_down = down < -_LEVEL
    slope[looks_down] = -mesh.normals[looks_down, :2] / down[looks_down, None]
    length = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    counts = np.ceil(2 * length / spacing).astype(np.int64) + 1
    owner = np.repeat(np.arange(len(ends)), counts)
    step = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
    share = (step / np.maximum(counts[owner] - 1, 1))[:, None]
    return Ridges(
        points=(1 - share) * ends[owner, 0] + share * ends[owner, 1],
        slopes=np.stack([slope[first[roof]], slope[second[roof]]], axis=1)[owner],
    )


def _falls_away(mesh: TriangleMesh, corners: Ints, triangle: Ints) -> Bools:
    """Whether triangles (n,) lie lower than their edges with `corners` (n, 2), seen square to the
    edge."""
    own = mesh.triangles[triangle]
    apart = (own != corners[:, :1]) & (own != corners[:, 1:])
    tip = mesh.vertices[own[np.arange(len(own)), np.argmax(apart, axis=1)]]
    start = mesh.vertices[corners[:, 0]]
    along = mesh.vertices[corners[:, 1]] - start
    length2 = np.einsum("ij,ij->i", along, along)
    share = np.einsum("ij,ij->i", tip - start, along) / np.where(length2 > 0, length2, 1.0)
    rise = tip[:, 2] - start[:, 2] - share * along[:, 2]
    return np.asarray(rise < -_LEVEL * np.sqrt(length2))
