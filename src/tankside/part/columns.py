"""A closed mesh as columns: on a grid of upright lines, where each line is in the material.

Heights along a line are exact; only the lines are a grid. A line is inside where the surface has
been entered more often than left, so that overlapping bodies count once and sealed cavities are
air. A line through an edge or a corner meets exactly one of the triangles there (the side of an
edge is decided from its lower corner to its higher), so no line loses its way.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.base.errors import MeshDefect
from tankside.part.mesh import TriangleMesh

_CHUNK = 4_000_000


@dataclass(frozen=True, kw_only=True)
class Columns:
    """Material along upright lines.

    spacing  between lines [m]
    corner   x and y of line (0, 0) (2,) [m]
    shape    lines along x and y; the outermost ones pass beside the mesh
    line     (ns,) number i * shape[1] + j of the line of each stretch of material
    low      (ns,) where the stretch begins [m]
    high     (ns,) where it ends [m]

    Stretches are sorted by line and height.
    """

    spacing: float
    corner: Floats
    shape: tuple[int, int]
    line: Ints
    low: Floats
    high: Floats

    @property
    def volume(self) -> float:
        """Material by the sum over all lines [m³]."""
        return float((self.high - self.low).sum()) * self.spacing**2

    def places(self, line: Ints) -> Floats:
        """x and y of lines (n, 2) [m]."""
        i, j = np.divmod(line, self.shape[1])
        return np.asarray(self.corner + self.spacing * np.stack([i, j], axis=1))


def columns_of(mesh: TriangleMesh, spacing: float) -> Columns:
    """Columns along z through a closed mesh that faces outwards; MeshDefect where it is not closed
    along the lines."""
    low, high = mesh.box
    sizes = high[:2] - low[:2]
    inner = np.maximum(np.ceil(sizes / spacing - 1e-9), 1).astype(np.int64)
    corner = low[:2] + (sizes - inner * spacing) / 2 - spacing / 2
    shape = (int(inner[0]) + 2, int(inner[1]) + 2)
    line, height, enters = _crossed(mesh, corner, spacing, shape)
    order = np.lexsort((~enters, height, line))
    line, height, enters = line[order], height[order], enters[order]
    after = np.cumsum(np.where(enters, 1, -1))
    last = np.flatnonzero(np.diff(line, append=-1) != 0)
    if after[last].any():
        raise MeshDefect(
            "the mesh is not closed: an upright line enters it without leaving; repair it first"
        )
    before = after - np.where(enters, 1, -1)
    begins, ends = (before <= 0) & (after > 0), (before > 0) & (after <= 0)
    return Columns(
        spacing=spacing,
        corner=corner,
        shape=shape,
        line=line[begins],
        low=height[begins],
        high=height[ends],
    )


def _crossed(
    mesh: TriangleMesh, corner: Floats, spacing: float, shape: tuple[int, int]
) -> tuple[Ints, Floats, Bools]:
    """(line, height, whether the surface is entered going up) of all crossings."""
    upright = mesh.area_vectors[:, 2]
    own = np.flatnonzero(upright != 0)
    plane = (mesh.corners[own, :, :2] - corner) / spacing
    first = np.clip(np.ceil(plane.min(axis=1)), 0, None).astype(np.int64)
    last = np.minimum(np.floor(plane.max(axis=1)), np.array(shape) - 1).astype(np.int64)
    spans = np.maximum(last - first + 1, 0)
    counts = spans.prod(axis=1)
    found: list[tuple[Ints, Floats, Bools]] = []
    for part in _chunks(counts):
        triangle = np.repeat(part, counts[part])
        step = np.arange(len(triangle)) - np.repeat(
            np.cumsum(counts[part]) - counts[part], counts[part]
        )
        i, j = np.divmod(step, spans[triangle, 1])
        place = np.stack([first[triangle, 0] + i, first[triangle, 1] + j], axis=1)
        inside = _inside(mesh.triangles[own[triangle]], plane[triangle], place)
        triangle, place = triangle[inside], place[inside]
        height = _heights(mesh, own[triangle], plane[triangle], place)
        found.append((place[:, 0] * shape[1] + place[:, 1], height, upright[own[triangle]] < 0))
    if not found:
        raise MeshDefect("the mesh has no extent across its upright axis")
    lines, heights, enters = zip(*found, strict=True)
    return np.concatenate(lines), np.concatenate(heights), np.concatenate(enters)


def _chunks(counts: Ints) -> list[Ints]:
    """Runs of triangles whose boxes hold some millions of lines together."""
    group = np.cumsum(counts) // _CHUNK
    runs = np.split(np.arange(len(counts)), np.flatnonzero(np.diff(group)) + 1)
    return [run for run in runs if counts[run].sum()]


def _inside(corners: Ints, plane: Floats, place: Ints) -> Bools:
    """Which lines pass through their triangle, seen from above (or from below where it faces
    down): on the same side of all three edges."""
    left = np.zeros((len(corners), 3), dtype=np.bool_)
    for k in range(3):
        after = (k + 1) % 3
        forward = corners[:, k] < corners[:, after]
        start = np.where(forward[:, None], plane[:, k], plane[:, after])
        end = np.where(forward[:, None], plane[:, after], plane[:, k])
        side = (end[:, 0] - start[:, 0]) * (place[:, 1] - start[:, 1])
        side -= (end[:, 1] - start[:, 1]) * (place[:, 0] - start[:, 0])
        left[:, k] = np.where(forward, side >= 0, side < 0)
    return np.asarray(left.all(axis=1) | ~left.any(axis=1))


def _heights(mesh: TriangleMesh, triangle: Ints, plane: Floats, place: Ints) -> Floats:
    corners = mesh.corners[triangle]
    a, b, c = (plane[:, k] for k in range(3))
    b, c, off = b - a, c - a, place - a
    twice = b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0]
    share_b = (off[:, 0] * c[:, 1] - off[:, 1] * c[:, 0]) / twice
    share_c = (b[:, 0] * off[:, 1] - b[:, 1] * off[:, 0]) / twice
    z = corners[:, :, 2]
    height = z[:, 0] + share_b * (z[:, 1] - z[:, 0]) + share_c * (z[:, 2] - z[:, 0])
    return np.clip(height, z.min(axis=1), z.max(axis=1))
