"""Where a surface runs through itself: triangles that cross, and triangles that lie on another.

Two triangles cross where each has corners on both sides of the other's plane and their cuts along
the common line of both planes overlap (the interval test of Moeller 1997). Corners nearer to a
plane than `tolerance` count as lying in it, so that the rounding of coordinates to single precision
and edges that merely touch are not reported; triangles flatter than that are left out. Pairs in one
plane that overlap by more than the tolerance are reported apart: they are double walls.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints, frozen_ints
from tankside.part.box_pairs import overlapping_pairs
from tankside.part.mesh import TriangleMesh

ROUNDING = 2.0**-22
"""Tolerance as a fraction of the box's diagonal: four steps of single precision."""


@dataclass(frozen=True, kw_only=True)
class Crossings:
    """Pairs of triangle numbers (n, 2): those that cross, and those that lie on one another."""

    crossing: Ints
    lying_on: Ints

    def __post_init__(self) -> None:
        object.__setattr__(self, "crossing", frozen_ints(self.crossing).reshape(-1, 2))
        object.__setattr__(self, "lying_on", frozen_ints(self.lying_on).reshape(-1, 2))


@dataclass(frozen=True)
class _Pairs:
    """Corners of two triangles each (n, 3, 3), their unit normals, and the signed distances of the
    corners of each from the plane of the other (n, 3), snapped to 0 within the tolerance."""

    one: Floats
    two: Floats
    normal_one: Floats
    normal_two: Floats
    off_one: Floats
    off_two: Floats

    def where(self, keep: Bools) -> "_Pairs":
        return _Pairs(
            self.one[keep],
            self.two[keep],
            self.normal_one[keep],
            self.normal_two[keep],
            self.off_one[keep],
            self.off_two[keep],
        )


def crossings_of(mesh: TriangleMesh) -> Crossings:
    """All pairs of triangles of a mesh that cross or lie on one another."""
    low, high = mesh.box
    tolerance = ROUNDING * float(np.linalg.norm(high - low))
    tall = np.flatnonzero(heights(mesh) > tolerance)
    corners = mesh.corners[tall]
    found: list[Ints] = []
    flat: list[Ints] = []
    for first, second in overlapping_pairs(
        corners.min(axis=1) - tolerance, corners.max(axis=1) + tolerance
    ):
        cross, lie = _tested(mesh, tall[first], tall[second], tolerance)
        found.append(cross)
        flat.append(lie)
    none = np.zeros((0, 2), dtype=np.int64)
    return Crossings(
        crossing=np.concatenate([none, *found]), lying_on=np.concatenate([none, *flat])
    )


def heights(mesh: TriangleMesh) -> Floats:
    """The smallest height of each triangle (nt,) [m]; zero where it has no area."""
    corners = mesh.corners
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    return np.asarray(2 * mesh.areas / np.where(longest > 0, longest, 1.0))


def _tested(mesh: TriangleMesh, first: Ints, second: Ints, tolerance: float) -> tuple[Ints, Ints]:
    shared = mesh.triangles[first][:, :, None] == mesh.triangles[second][:, None, :]
    different = shared.any(axis=2).sum(axis=1) < 3
    first, second, shared = first[different], second[different], shared[different]
    off_two = _offsets(mesh, first, second, shared.any(axis=1), tolerance)
    near = ~_one_sided(off_two) | ~off_two.any(axis=1)
    first, second, shared, off_two = first[near], second[near], shared[near], off_two[near]
    off_one = _offsets(mesh, second, first, shared.any(axis=2), tolerance)
    pairs = _Pairs(
        mesh.corners[first],
        mesh.corners[second],
        mesh.normals[first],
        mesh.normals[second],
        off_one,
        off_two,
    )
    numbers = np.stack([first, second], axis=1)
    through = np.asarray(~_one_sided(off_one) & ~_one_sided(off_two))
    in_plane = np.asarray(~off_one.any(axis=1) & ~off_two.any(axis=1))
    crossing = numbers[through][_cuts_overlap(pairs.where(through), tolerance)]
    lying_on = numbers[in_plane][_overlap_in_plane(pairs.where(in_plane), tolerance)]
    return crossing, lying_on


def _offsets(mesh: TriangleMesh, plane: Ints, of: Ints, common: Bools, tolerance: float) -> Floats:
    """Signed distances of the corners of triangles `of` from the planes of triangles `plane`."""
    relative = mesh.corners[of] - mesh.corners[plane][:, :1]
    off = np.einsum("nij,nj->ni", relative, mesh.normals[plane])
    return np.where(common | (np.abs(off) <= tolerance), 0.0, off)


def _one_sided(off: Floats) -> Bools:
    return np.asarray((off >= 0).all(axis=1) | (off <= 0).all(axis=1))


def _cuts_overlap(pairs: _Pairs, tolerance: float) -> Bools:
    line = np.cross(pairs.normal_one, pairs.normal_two)
    length = np.linalg.norm(line, axis=1)
    line /= np.where(length > 0, length, 1.0)[:, None]
    origin = pairs.one[:, :1]
    low_one, high_one = _cut(pairs.one - origin, pairs.off_one, line)
    low_two, high_two = _cut(pairs.two - origin, pairs.off_two, line)
    overlap = np.minimum(high_one, high_two) - np.maximum(low_one, low_two)
    return np.asarray((overlap > 4 * tolerance) & (length > 0))


def _cut(corners: Floats, off: Floats, line: Floats) -> tuple[Floats, Floats]:
    """The ends, along `line`, of the cut of triangles with a plane; corners stand `off` it."""
    along = np.einsum("nij,nj->ni", corners, line)
    after, off_after = np.roll(along, -1, axis=1), np.roll(off, -1, axis=1)
    crosses = off * off_after < 0
    share = np.where(crosses, off / np.where(crosses, off - off_after, 1.0), 0.0)
    place = along + share * (after - along)
    counts = crosses | (off == 0)
    low = np.where(counts, place, np.inf).min(axis=1)
    return low, np.where(counts, place, -np.inf).max(axis=1)


def _overlap_in_plane(pairs: _Pairs, tolerance: float) -> Bools:
    """Whether triangles in one plane overlap: no side of either has the other beyond it."""
    overlap = np.ones(len(pairs.one), dtype=np.bool_)
    for own, other in ((pairs.one, pairs.two), (pairs.two, pairs.one)):
        for k in range(3):
            side = own[:, (k + 1) % 3] - own[:, k]
            across = np.cross(pairs.normal_one, side)
            across /= np.linalg.norm(across, axis=1)[:, None]
            mine = np.einsum("nij,nj->ni", own - own[:, k, None], across)
            theirs = np.einsum("nij,nj->ni", other - own[:, k, None], across)
            depth = np.minimum(mine.max(axis=1), theirs.max(axis=1)) - np.maximum(
                mine.min(axis=1), theirs.min(axis=1)
            )
            overlap &= depth > 4 * tolerance
    return overlap
