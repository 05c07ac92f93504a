"""What constant panels leave out of the double layer near by: the potential's slope along a panel.

The potential is constant on a panel as an unknown, but near panels act as if it were linear: its
tangential gradient is fitted by least squares to the panels around (`dense.slopes` tells how), and
its first moment in the double layer is integrated in closed form for targets within REACH sizes.
Without it the current errs by a tenth beside insulating corners, whatever the mesh, and walls
thinner than a panel fail. A constant potential has no gradient, so a closed boundary stays closed.
The correction is kept as two sparse steps: gradients of the potential, then moments at targets.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tankside.field.discretisation import ALIKE, IN_PLANE, REACH
from tankside.field.integrals import edge_logarithm
from tankside.field.kernels import kernel

_Real = npt.NDArray[np.float64]
_Index = npt.NDArray[np.int64]
_Short = npt.NDArray[np.float32]

_NEGLIGIBLE = 1e-6
_ROOM = 1 << 20
"""Entries of one piece of the correction, at first."""

_PER_SPHERE = 1.0 / (4.0 * math.pi)


@dataclass(frozen=True, kw_only=True)
class Slopes:
    """Gradient of panel i's potential = sum of weight[k] (phi[panel[k]] - phi[i]) over the run
    k = start[i] .. start[i] + count[i].

    start, count (n,); panel (room,) int32; weight (room, 2) float32 [m⁻¹], along
    the panel's first side and across it (`tangents`)
    """

    start: _Index
    count: _Index
    panel: npt.NDArray[np.int32]
    weight: _Short

    @property
    def nbytes(self) -> int:
        """Memory [B]."""
        return self.start.nbytes + self.count.nbytes + self.panel.nbytes + self.weight.nbytes


def fitted_slopes(geometry: _Real, group: _Index) -> Slopes:
    """The least-squares gradients of the packed panels."""
    corner = _corner_numbers(geometry)
    flat = corner.reshape(-1)
    owner = np.argsort(flat, kind="stable") // 3
    sharing = np.bincount(flat)
    room = sharing[corner].sum(axis=1)
    slopes = Slopes(
        start=np.concatenate([[0], np.cumsum(room)[:-1]]),
        count=np.zeros(len(corner), dtype=np.int64),
        panel=np.zeros(int(room.sum()), dtype=np.int32),
        weight=np.zeros((int(room.sum()), 2), dtype=np.float32),
    )
    first = np.concatenate([[0], np.cumsum(sharing)])
    fit(
        geometry,
        np.array(group, dtype=np.int64),
        corner,
        first,
        owner,
        slopes.start,
        slopes.count,
        slopes.panel,
        slopes.weight,
    )
    return slopes


def _corner_numbers(geometry: _Real) -> _Index:
    """(n, 3): the same number for corners at the same place, to a millionth of the smallest size
    or a 10^-12 of the whole."""
    corners = np.ascontiguousarray(geometry[3:12].T).reshape(-1, 3)
    step = max(1e-6 * geometry[25].min(), 1e-12 * np.abs(corners).max())
    grid = np.rint(corners / step).astype(np.int64)
    order = np.lexsort(grid.T)
    new = np.any(np.diff(grid[order], axis=0, prepend=grid[order][:1] - 1) != 0, axis=1)
    numbers = np.zeros(len(grid), dtype=np.int64)
    numbers[order] = np.cumsum(new) - 1
    return numbers.reshape(-1, 3)


@kernel("UniTuple(float64, 6)(float64[:, ::1], int64)")
def tangents(geometry: _Real, panel: int) -> tuple[float, float, float, float, float, float]:
    """Unit vectors along a panel's first side and across it, in its plane."""
    g, j = geometry, panel
    nx, ny, nz = g[21, j], g[22, j], g[23, j]
    ex, ey, ez = g[6, j] - g[3, j], g[7, j] - g[4, j], g[8, j] - g[5, j]
    per_length = 1.0 / math.sqrt(ex * ex + ey * ey + ez * ez)
    ex, ey, ez = ex * per_length, ey * per_length, ez * per_length
    return ex, ey, ez, ny * ez - nz * ey, nz * ex - nx * ez, nx * ey - ny * ex


@kernel(
    "void(float64[:, ::1], int64[::1], int64[:, ::1], int64[::1], int64[::1], int64[::1],"
    " int64[::1], int32[::1], float32[:, ::1])"
)
def fit(
    geometry: _Real,
    group: _Index,
    corner: _Index,
    first: _Index,
    owner: _Index,
    starts: _Index,
    counts: _Index,
    panels: npt.NDArray[np.int32],
    weights: _Short,
) -> None:
    """Fill counts, panels and weights of `Slopes`; owner[first[c]:first[c + 1]] share corner c."""
    g = geometry
    for i in range(len(group)):
        nx, ny, nz = g[21, i], g[22, i], g[23, i]
        panel, weight = panels[starts[i] :], weights[starts[i] :]
        count = 0
        for side in range(3):
            c = corner[i, side]
            for at in range(first[c], first[c + 1]):
                j = owner[at]
                alike = nx * g[21, j] + ny * g[22, j] + nz * g[23, j] > ALIKE
                fresh = j != i and group[j] == group[i] and alike
                for k in range(count):
                    fresh = fresh and panel[k] != j
                if fresh:
                    panel[count] = j
                    count += 1
        ex, ey, ez, fx, fy, fz = tangents(g, i)
        ss, st, tt = 0.0, 0.0, 0.0
        for k in range(count):
            j = panel[k]
            dx, dy, dz = g[0, j] - g[0, i], g[1, j] - g[1, i], g[2, j] - g[2, i]
            s, t = dx * ex + dy * ey + dz * ez, dx * fx + dy * fy + dz * fz
            w = 1.0 / (s * s + t * t + 1e-300)
            ss, st, tt = ss + w * s * s, st + w * s * t, tt + w * t * t
        slack = 1e-6 * (ss + tt)  # neighbours in one line: no slope across it
        ss, tt = ss + slack, tt + slack
        per = 1.0 / (ss * tt - st * st) if count > 0 else 0.0
        for k in range(count):
            j = panel[k]
            dx, dy, dz = g[0, j] - g[0, i], g[1, j] - g[1, i], g[2, j] - g[2, i]
            s, t = dx * ex + dy * ey + dz * ez, dx * fx + dy * fy + dz * fz
            w = per / (s * s + t * t + 1e-300)
            weight[k, 0], weight[k, 1] = w * (tt * s - st * t), w * (ss * t - st * s)
        counts[i] = count


@dataclass(frozen=True, kw_only=True)
class NearMoments:
    """First moments at the targets start..stop, in compressed rows: target i adds moment[k] .
    gradient[panel[k]] to K phi, over the run k = row[i - start] .. row[i - start + 1].

    row (stop - start + 1,); panel (row[-1],) int32; moment (row[-1], 2) float32 [m]
    """

    start: int
    stop: int
    row: _Index
    panel: npt.NDArray[np.int32]
    moment: _Short


def near_moments(
    geometry: _Real, blocks: _Index, image: npt.NDArray[np.bool_]
) -> list[NearMoments]:
    """The moments at the targets in `blocks` (first and last target, first and last source), sorted
    by target; where `image`, the targets' images stand in for them."""
    pieces: list[NearMoments] = []
    begin, room = 0, _ROOM
    while begin < len(blocks):
        start = int(blocks[begin, 0])
        row = np.zeros(int(blocks[-1, 1]) - start + 1, dtype=np.int64)
        panel, moment = np.zeros(room, dtype=np.int32), np.zeros((room, 2), dtype=np.float32)
        reached = fill_moments(geometry, blocks, image, begin, row, panel, moment)
        if reached == begin:
            room *= 2  # not even the first leaf's rows fit
            continue
        begin = reached
        stop = int(blocks[begin - 1, 1])
        row = row[: stop - start + 1].copy()
        panel, moment = panel[: row[-1]].copy(), moment[: row[-1]].copy()
        pieces.append(NearMoments(start=start, stop=stop, row=row, panel=panel, moment=moment))
    return pieces


@kernel("UniTuple(float64, 3)(float64, float64, float64, float64, float64)")
def side_share(
    sx: float, sy: float, sz: float, start: float, end: float
) -> tuple[float, float, float]:
    """Unit vector along a side times the integral of dl / r, from the distances to its ends."""
    length = math.sqrt(sx * sx + sy * sy + sz * sz)
    factor = edge_logarithm(start, end, length) / length
    return sx * factor, sy * factor, sz * factor


@kernel("UniTuple(float64, 3)(float64[:, ::1], int64, float64, float64, float64)")
def first_moment(
    geometry: _Real, panel: int, x: float, y: float, z: float
) -> tuple[float, float, float]:
    """Integral over a panel of (place - centroid) d/dn 1 / (4 pi r), for a point [m]."""
    g, j = geometry, panel
    nx, ny, nz = g[21, j], g[22, j], g[23, j]
    ox, oy, oz = x - g[0, j], y - g[1, j], z - g[2, j]
    height = ox * nx + oy * ny + oz * nz
    if abs(height) < IN_PLANE * g[25, j]:
        return 0.0, 0.0, 0.0
    ax, ay, az = g[3, j] - x, g[4, j] - y, g[5, j] - z
    bx, by, bz = g[6, j] - x, g[7, j] - y, g[8, j] - z
    cx, cy, cz = g[9, j] - x, g[10, j] - y, g[11, j] - z
    ra = math.sqrt(ax * ax + ay * ay + az * az)
    rb = math.sqrt(bx * bx + by * by + bz * bz)
    rc = math.sqrt(cx * cx + cy * cy + cz * cz)
    across = (
        ra * rb * rc
        + (ax * bx + ay * by + az * bz) * rc
        + (bx * cx + by * cy + bz * cz) * ra
        + (cx * ax + cy * ay + cz * az) * rb
    )
    angle = 2.0 * math.atan2(2.0 * g[24, j] * height, across)
    # Sum over sides of outward direction x integral of dl / r.
    sx, sy, sz = side_share(bx - ax, by - ay, bz - az, ra, rb)
    tx, ty, tz = side_share(cx - bx, cy - by, cz - bz, rb, rc)
    ux, uy, uz = side_share(ax - cx, ay - cy, az - cz, rc, ra)
    sx, sy, sz = sx + tx + ux, sy + ty + uy, sz + tz + uz
    # Here s is along the sides; crossed with the normal it points outward.
    px, py, pz = sy * nz - sz * ny, sz * nx - sx * nz, sx * ny - sy * nx
    return (
        _PER_SPHERE * ((ox - height * nx) * angle - height * px),
        _PER_SPHERE * ((oy - height * ny) * angle - height * py),
        _PER_SPHERE * ((oz - height * nz) * angle - height * pz),
    )


@kernel(
    "int64(float64[:, ::1], int64[:, ::1], boolean[::1], int64, int64[::1], int32[::1],"
    " float32[:, ::1])"
)
def fill_moments(
    geometry: _Real,
    blocks: _Index,
    image: npt.NDArray[np.bool_],
    begin: int,
    row: _Index,
    panel: npt.NDArray[np.int32],
    moment: _Short,
) -> int:
    """Fill compressed rows from blocks[begin:] on until panel and moment are full; the first block
    that is left over. All blocks of one target follow one another, and stay together."""
    g = geometry
    start, filled = blocks[begin, 0], 0
    while begin < len(blocks):
        end = begin
        while end < len(blocks) and blocks[end, 0] == blocks[begin, 0]:
            end += 1
        for i in range(blocks[begin, 0], blocks[begin, 1]):
            for b in range(begin, end):
                x, y, z = g[0, i], g[1, i], -g[2, i] if image[b] else g[2, i]
                for j in range(blocks[b, 2], blocks[b, 3]):
                    dx, dy, dz = x - g[0, j], y - g[1, j], z - g[2, j]
                    size = g[25, j]
                    height = dx * g[21, j] + dy * g[22, j] + dz * g[23, j]
                    if (
                        abs(height) < IN_PLANE * size
                        or dx * dx + dy * dy + dz * dz >= REACH * REACH * size * size
                    ):
                        continue
                    mx, my, mz = first_moment(g, j, x, y, z)
                    least = _NEGLIGIBLE * size
                    if mx * mx + my * my + mz * mz < least * least:
                        continue
                    if filled == len(panel):
                        return begin
                    panel[filled] = j
                    ex, ey, ez, fx, fy, fz = tangents(g, j)
                    moment[filled, 0] = mx * ex + my * ey + mz * ez
                    moment[filled, 1] = mx * fx + my * fy + mz * fz
                    filled += 1
            row[i - start + 1] = filled
        begin = end
    return begin
