"""First moments of the double layer of near panels, in closed form: what a slope adds at a target.

M_j = integral over panel j of (place - centroid) d/dn 1 / (4 pi r) lies in the panel's plane, and
K phi gains M_j . (gradient of phi on j) at targets within REACH sizes of j (`reconstruction.py`). A
target in the panel's plane gains nothing. Kept as sparse rows, in pieces.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tankside.field.discretisation import IN_PLANE, REACH
from tankside.field.integrals import edge_logarithm
from tankside.field.kernels import kernel
from tankside.field.reconstruction import tangents

_Real = npt.NDArray[np.float64]
_Index = npt.NDArray[np.int64]
_Short = npt.NDArray[np.float32]

_PER_SPHERE = 1.0 / (4.0 * math.pi)
_NEGLIGIBLE = 1e-6
_ROOM = 1 << 20
"""Entries of one piece of the correction, at first."""

_PER_SPHERE = 1.0 / (4.0 * math.pi)


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
