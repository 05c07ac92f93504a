"""What the reconstruction adds to the double layer of near panels, as rows over the panels.

Between centroid and corners the potential rises on a panel (`reconstruction.py`), and the moments
of its double layer (`moments.py`) tell what a rise counts at a near target. Rises are sums over the
potentials of the panels around, so both together are one sparse matrix C over the potentials:
K phi gains C phi. It is worked out row by row, and then taken up in what is stored anyway, the near
blocks (`products.fill_near`); only what lies outside of them is kept as it is.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tankside.field.discretisation import IN_PLANE, REACH
from tankside.field.integrals import ROWS
from tankside.field.kernels import kernel
from tankside.field.middle_distance import (
    CLEAR,
    GATHERED,
    clear_moments,
    gather,
    quadrature_moments,
)
from tankside.field.moments import corner_moments
from tankside.field.near_panels import localised
from tankside.field.reconstruction import Reconstruction
from tankside.field.spreading import slotted, spread

_Real = npt.NDArray[np.float64]
_Index = npt.NDArray[np.int64]
_Short = npt.NDArray[np.float32]
_Places = npt.NDArray[np.int32]
_Marks = npt.NDArray[np.bool_]

_NEGLIGIBLE = 1e-6
_POINTS_FROM = 2.0
"""Closed forms are used up to this many longest edges from the centroid [-]; beyond, points give
the moments to a hundredth of the largest at that distance, and soon much better."""

_REACH_SQUARE = np.float32(REACH**2)
_POINTS_SQUARE = np.float32(_POINTS_FROM**2)
_CLEAR_SQUARE = np.float32(CLEAR**2)

_ROOM = 1 << 18
"""Entries of one piece of the rows, at first."""


@dataclass(frozen=True, kw_only=True)
class Corrections:
    """Rows of C at the targets start..stop: row i holds weight[k] at panel[k] for the run
    k = row[i - start] .. row[i - start + 1].

    row (stop - start + 1,); panel (row[-1],) int32; weight (row[-1],) float32 [-]
    """

    start: int
    stop: int
    row: _Index
    panel: _Places
    weight: _Short

    @property
    def nbytes(self) -> int:
        """Memory [B]."""
        return self.row.nbytes + self.panel.nbytes + self.weight.nbytes

    @classmethod
    def joined(cls, pieces: "list[Corrections]") -> "Corrections":
        """Pieces that follow one another, in one."""
        ends = np.cumsum([0, *(piece.row[-1] for piece in pieces)])
        rows = [piece.row[1:] + before for piece, before in zip(pieces, ends, strict=False)]
        return cls(
            start=pieces[0].start,
            stop=pieces[-1].stop,
            row=np.concatenate([[0], *rows]),
            panel=np.concatenate([piece.panel for piece in pieces]),
            weight=np.concatenate([piece.weight for piece in pieces]),
        )

    def kept(self) -> "Corrections":
        """Without the entries that are zero."""
        row = np.zeros_like(self.row)
        panel, weight = np.empty_like(self.panel), np.empty_like(self.weight)
        copy_kept(self.row, self.panel, self.weight, row, panel, weight)
        return Corrections(
            start=self.start,
            stop=self.stop,
            row=row,
            panel=panel[: row[-1]].copy(),
            weight=weight[: row[-1]].copy(),
        )


def near_corrections(
    geometry: _Real, blocks: _Index, image: _Marks, reconstruction: Reconstruction
) -> list[Corrections]:
    """The rows of C at the targets in `blocks` (first and last target, first and last source),
    sorted by target; where `image`, the targets' images stand in for them."""
    pieces: list[Corrections] = []
    slopes, corners = reconstruction.slopes, reconstruction.corners
    begin, room = 0, _ROOM
    while begin < len(blocks):
        start = int(blocks[begin, 0])
        row = np.zeros(int(blocks[-1, 1]) - start + 1, dtype=np.int64)
        panel, weight = np.empty(room, dtype=np.int32), np.empty(room, dtype=np.float32)
        reached = fill_corrections(
            geometry,
            blocks,
            image,
            begin,
            slopes.start,
            slopes.count,
            slopes.panel,
            slopes.weight,
            corners.number,
            corners.part,
            corners.start,
            corners.panel,
            corners.weight,
            row,
            panel,
            weight,
        )
        if reached == begin:
            room *= 2  # not even the first leaf's rows fit
            continue
        begin = reached
        stop = int(blocks[begin - 1, 1])
        row = row[: stop - start + 1].copy()
        panel, weight = panel[: row[-1]].copy(), weight[: row[-1]].copy()
        pieces.append(Corrections(start=start, stop=stop, row=row, panel=panel, weight=weight))
    return pieces


@kernel("void(int64[::1], int32[::1], float32[::1], int64[::1], int32[::1], float32[::1])")
def copy_kept(
    row: _Index,
    panel: _Places,
    weight: _Short,
    to_row: _Index,
    to_panel: _Places,
    to_weight: _Short,
) -> None:
    """Copy compressed rows without the entries that are zero."""
    filled = 0
    for i in range(len(row) - 1):
        for k in range(row[i], row[i + 1]):
            to_panel[filled], to_weight[filled] = panel[k], weight[k]
            filled += 1 if weight[k] != 0.0 else 0
        to_row[i + 1] = filled


@kernel(
    "int64(float64[:, ::1], int64[:, ::1], boolean[::1], int64, int64[::1], int64[::1],"
    " int32[::1], float32[:, ::1], int32[:, ::1], float32[:, :, ::1], int64[::1], int32[::1],"
    " float32[:, ::1], int64[::1], int32[::1], float32[::1])"
)
def fill_corrections(
    geometry: _Real,
    blocks: _Index,
    image: _Marks,
    begin: int,
    slope_start: _Index,
    slope_count: _Index,
    slope_panel: _Places,
    slope_weight: _Short,
    number: _Places,
    part: _Short,
    corner_start: _Index,
    corner_panel: _Places,
    corner_weight: _Short,
    row: _Index,
    panel: _Places,
    weight: _Short,
) -> int:
    """Fill compressed rows from blocks[begin:] on until panel and weight are full; the first block
    that is left over. All blocks of one target follow one another, and stay together."""
    g = geometry
    start, filled = blocks[begin, 0], 0
    widest, width, targets = 0, 0, 0
    for b in range(begin, len(blocks)):
        fresh = b == begin or blocks[b, 0] != blocks[b - 1, 0]
        width = blocks[b, 3] - blocks[b, 2] + (0 if fresh else width)
        widest = max(widest, width)
        targets = max(targets, blocks[b, 1] - blocks[b, 0])
    # By rule: three points, polynomials, closed forms in double precision.
    works = np.zeros((2, GATHERED, widest), dtype=np.float32)
    found = np.zeros((3, 3, widest), dtype=np.float32)
    chosen, counts = np.zeros((3, widest), dtype=np.int64), np.zeros(3, dtype=np.int64)
    local = np.zeros((ROWS, widest), dtype=np.float32)
    sources = np.zeros(widest, dtype=np.int64)
    n, corners = g.shape[1], len(corner_start) - 1
    moments = np.zeros((3, widest, targets), dtype=np.float32)
    sums = np.empty((3, n, targets), dtype=np.float32)
    at_corner = np.empty((corners, targets), dtype=np.float32)
    slot, items = np.full(n, -1), np.zeros(n, dtype=np.int64)
    corner_slot, corner_items = np.full(corners, -1), np.zeros(corners, dtype=np.int64)
    while begin < len(blocks):
        end, width = begin, 0
        while end < len(blocks) and blocks[end, 0] == blocks[begin, 0]:
            for j in range(blocks[end, 2], blocks[end, 3]):
                sources[width] = j
                width += 1
            end += 1
        ox, oy, oz = g[0, blocks[begin, 0]], g[1, blocks[begin, 0]], g[2, blocks[begin, 0]]
        localised(g, sources, width, ox, oy, oz, 0, ROWS, local)
        panels = 0
        for i in range(blocks[begin, 0], blocks[begin, 1]):
            t = i - blocks[begin, 0]
            done = 0
            counts[:] = 0
            for b in range(begin, end):
                x, y, z = g[0, i], g[1, i], -g[2, i] if image[b] else g[2, i]
                sx, sy, sz = np.float32(x - ox), np.float32(y - oy), np.float32(z - oz)
                behind = done + blocks[b, 3] - blocks[b, 2]
                for c in range(done, behind):
                    dx, dy, dz = sx - local[0, c], sy - local[1, c], sz - local[2, c]
                    size = local[25, c]
                    square = dx * dx + dy * dy + dz * dz
                    if square >= _REACH_SQUARE * size * size:
                        continue
                    j = sources[c]
                    height = (
                        (x - g[0, j]) * g[21, j]
                        + (y - g[1, j]) * g[22, j]
                        + (z - g[2, j]) * g[23, j]
                    )
                    if abs(height) < IN_PLANE * size:
                        continue
                    rule = 0
                    if square < _POINTS_SQUARE * size * size:
                        rule = 2 if square < _CLEAR_SQUARE * size * size else 1
                    k = counts[rule]
                    counts[rule] += 1
                    chosen[rule, k] = j
                    if rule == 2:
                        at_a, at_b, at_c = corner_moments(g, j, x, y, z)
                        found[0, rule, k], found[1, rule, k], found[2, rule, k] = at_a, at_b, at_c
                    else:
                        gather(local, c, sx, sy, sz, works[rule], k)
                done = behind
            quadrature_moments(works[0], counts[0], found[0, 0], found[1, 0], found[2, 0])
            clear_moments(works[1], counts[1], found[0, 1], found[1, 1], found[2, 1])
            for rule in range(3):
                for k in range(counts[rule]):
                    j = chosen[rule, k]
                    now = slotted(j, slot, items, panels)
                    if now > panels:
                        moments[:, panels] = 0.0
                        panels = now
                    for side in range(3):
                        moments[side, slot[j], t] += found[side, rule, k]
        panels = spread(
            slope_start,
            slope_count,
            slope_panel,
            slope_weight,
            number,
            part,
            corner_start,
            corner_panel,
            corner_weight,
            panels,
            moments,
            sums,
            at_corner,
            slot,
            items,
            corner_slot,
            corner_items,
        )
        for k in range(panels):
            slot[items[k]] = -1
        for i in range(blocks[begin, 0], blocks[begin, 1]):
            t = i - blocks[begin, 0]
            if filled + panels > len(panel):
                return begin
            for k in range(panels):
                if abs(sums[0, k, t]) >= _NEGLIGIBLE:
                    panel[filled], weight[filled] = items[k], sums[0, k, t]
                    filled += 1
            row[i - start + 1] = filled
        begin = end
    return begin
