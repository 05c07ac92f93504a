"""A closed mesh as columns: on a grid of upright lines, where each line is in the material.

Heights along a line are exact; only the lines are a grid. A line is inside where the surface has
been entered more often than left, so that overlapping bodies count once and sealed cavities are
air. Which triangles a line passes is decided in whole numbers, with corners rounded to a millionth
of the spacing or less, so that no line slips through an edge or a corner.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.base.errors import MeshDefect
from tankside.part.mesh import TriangleMesh

_CHUNK = 500_000
_BITS = 30
_MARGIN = 1e-3


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
    cell = 1 << (_BITS - int(max(shape)).bit_length())
    plane = np.round((mesh.vertices[:, :2] - corner) / spacing * cell).astype(np.int64)
    corners = plane[mesh.triangles]
    found: list[tuple[Ints, Floats, Bools]] = []
    for triangle, i in _rows(corners[:, :, 0], cell, shape[0]):
        first, last = _reach_along(corners[triangle], i * cell, cell, shape[1])
        counts = np.maximum(last - first + 1, 0)
        owner = np.repeat(np.arange(len(triangle)), counts)
        j = first[owner] + np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
        place = np.stack([i[owner], j], axis=1)
        turn = _turn(corners[triangle[owner]], place * cell)
        hit = np.flatnonzero(turn)
        own, place = triangle[owner[hit]], place[hit]
        height = _heights(mesh.corners[own, :, 2], corners[own], place * cell)
        found.append((place[:, 0] * shape[1] + place[:, 1], height, turn[hit] < 0))
    if not found:
        raise MeshDefect("the mesh has no extent across its upright axis")
    lines, heights, enters = zip(*found, strict=True)
    return np.concatenate(lines), np.concatenate(heights), np.concatenate(enters)


def _rows(x: Ints, cell: int, rows: int) -> Iterator[tuple[Ints, Ints]]:
    """(triangle, row) for all rows of lines that pass through the width of each triangle; x of
    the triangles' corners (nt, 3); in runs of some hundred thousand."""
    first = np.maximum(-(-x.min(axis=1) // cell), 0)
    last = np.minimum(x.max(axis=1) // cell, rows - 1)
    counts = np.maximum(last - first + 1, 0)
    run = np.cumsum(counts) // _CHUNK
    for part in np.split(np.arange(len(counts)), np.flatnonzero(np.diff(run)) + 1):
        triangle = np.repeat(part, counts[part])
        if len(triangle):
            before = np.repeat(np.cumsum(counts[part]) - counts[part], counts[part])
            yield triangle, first[triangle] + np.arange(len(triangle)) - before


def _reach_along(corners: Ints, x: Ints, cell: int, lines: int) -> tuple[Ints, Ints]:
    """The first and last line of a row that can pass through a triangle (n, 3, 2) cut at x (n,)."""
    low, high = np.full(len(x), np.inf), np.full(len(x), -np.inf)
    for k in range(3):
        start, end = corners[:, k], corners[:, (k + 1) % 3]
        width = end[:, 0] - start[:, 0]
        share = (x - start[:, 0]) / np.where(width == 0, 1, width)
        y = start[:, 1] + np.clip(share, 0.0, 1.0) * (end[:, 1] - start[:, 1])
        cut = (np.minimum(start[:, 0], end[:, 0]) <= x) & (x <= np.maximum(start[:, 0], end[:, 0]))
        upright = cut & (width == 0)
        low = np.where(cut, np.minimum(low, y), low)
        high = np.where(cut, np.maximum(high, y), high)
        low = np.where(upright, np.minimum(low, end[:, 1]), low)
        high = np.where(upright, np.maximum(high, end[:, 1]), high)
    first = np.maximum(np.ceil(low / cell - _MARGIN), 0).astype(np.int64)
    return first, np.minimum(np.floor(high / cell + _MARGIN), lines - 1).astype(np.int64)


def _turn(corners: Ints, place: Ints) -> Ints:
    """1 where a line at `place` (n, 2) passes through its triangle (n, 3, 2) seen anticlockwise
    from above, -1 where clockwise, 0 where it passes beside it.

    In whole numbers, so exact; a line through an edge or a corner is taken to pass a little beside
    it, first towards x, then less towards y, the same for all triangles."""
    sides = np.zeros(len(corners), dtype=np.int64)
    for k in range(3):
        start, end = corners[:, k], corners[:, (k + 1) % 3]
        along, off = end - start, place - start
        side = along[:, 0] * off[:, 1] - along[:, 1] * off[:, 0]
        side = np.where(side == 0, -along[:, 1], side)
        side = np.where(side == 0, along[:, 0], side)
        sides += np.sign(side)
    return np.where(np.abs(sides) == 3, np.sign(sides), 0)


def _heights(z: Floats, corners: Ints, place: Ints) -> Floats:
    """Height of triangles with corners (n, 3, 2) and heights z (n, 3) at `place` (n, 2)."""
    b, c, off = (
        values.astype(np.float64)
        for values in (corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0],
                       place - corners[:, 0])
    )  # fmt: skip
    twice = b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0]
    share_b = (off[:, 0] * c[:, 1] - off[:, 1] * c[:, 0]) / twice
    share_c = (b[:, 0] * off[:, 1] - b[:, 1] * off[:, 0]) / twice
    height = z[:, 0] + share_b * (z[:, 1] - z[:, 0]) + share_c * (z[:, 2] - z[:, 0])
    return np.clip(height, z.min(axis=1), z.max(axis=1))
