"""Outlines of bodies seen along an axis, and the gaps between them, for the rig's drawing."""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.part.mesh import TriangleMesh

Outline = tuple[Floats, ...]
"""Closed polygons (m, 2) [m]; one inside another is a hole."""


def outline(mesh: TriangleMesh, axes: tuple[int, int]) -> Outline:
    """The outline of a body's shadow: the union of its triangles' shadows."""
    from manifold3d import CrossSection, FillRule

    flat = mesh.corners[:, :, axes]
    first, second = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
    turn = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    size = float(np.ptp(mesh.vertices[:, axes], axis=0).max())
    seen_flat = np.abs(turn) > 1e-9 * size**2
    anticlockwise = np.where((turn > 0)[:, None, None], flat, flat[:, ::-1])[seen_flat]
    if not len(anticlockwise):
        return ()
    union = CrossSection(list(anticlockwise / size), FillRule.NonZero).simplify(2e-4)
    return tuple(np.asarray(polygon) * size for polygon in union.to_polygons())


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """The shortest line between two outlines: its ends (2,) and length, all [m]."""

    start: Floats
    end: Floats

    @property
    def length(self) -> float:
        """[m]."""
        return float(np.linalg.norm(self.end - self.start))


def gap(one: Outline, other: Outline) -> Gap:
    """The shortest line from `one` to `other`, both seen along the same axis."""
    forth = _from_corners(one, other)
    back = _from_corners(other, one)
    if forth.length <= back.length:
        return forth
    return Gap(start=back.end, end=back.start)


def _from_corners(one: Outline, other: Outline) -> Gap:
    """The shortest line from a corner of `one` to any point of `other`'s rim.

    Among lines of nearly the same length the middle one is taken, so that the gap between two
    parallel faces is drawn in their middle.
    """
    points = np.vstack(one)
    starts = np.vstack(other)
    ends = np.vstack([np.roll(polygon, -1, axis=0) for polygon in other])
    along = ends - starts
    lengths = np.maximum((along**2).sum(axis=1), 1e-30)
    share = ((points[:, None] - starts) * along).sum(axis=2) / lengths
    feet = starts + np.clip(share, 0.0, 1.0)[..., None] * along
    distance = np.linalg.norm(feet - points[:, None], axis=2)
    rows, columns = np.nonzero(distance <= distance.min() * 1.002 + 1e-9)
    centre = points[rows].mean(axis=0)
    pick = int(np.linalg.norm(points[rows] - centre, axis=1).argmin())
    return Gap(start=points[rows[pick]], end=feet[rows[pick], columns[pick]])
