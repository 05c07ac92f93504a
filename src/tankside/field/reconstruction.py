"""The potential between the collocation points, from what the panels around say.

The potential is constant on a panel as an unknown, but near panels act as if it were linear on the
three pieces between their centroid and their sides, and continuous from panel to panel. A panel's
tangential gradient is fitted by least squares to the panels around (`dense.slopes` tells how);
at a corner the panels that meet there, on whatever side of an edge and of whatever body, are each
carried on by their gradient and averaged by their angles. Beside a narrower panel, such as those on
the rim of a thin wall, what changes the potential at the corner reaches only as far as that panel
is high, so a panel then takes the corner's value in part and its own slope for the rest
(`dense.rises`). What the potential rises from centroid to corners enters the double layer of near
targets (`moments.py`, `corrections.py`). Without gradients the current errs by a tenth beside
insulating corners, whatever the mesh, and walls thinner than a panel fail; without corners, convex
edges cost twice the error. A constant potential does not rise, so a closed boundary stays closed.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tankside.field.discretisation import ALIKE, SHELTER
from tankside.field.kernels import kernel

_Real = npt.NDArray[np.float64]
_Index = npt.NDArray[np.int64]
_Short = npt.NDArray[np.float32]


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


@dataclass(frozen=True, kw_only=True)
class Corners:
    """Potential of corner c = sum of weight[k] . (phi[j], gradient[j]) with j = panel[k], over the
    run k = start[c] .. start[c + 1].

    number (n, 3) int32, of each panel's corners; start (corners + 1,); panel (3 n,) int32;
    weight (3 n, 3) float32: the panel's share of the angles there [-], and that times the way from
    its centroid to the corner, in the directions of its gradient [m]
    part (n, 3, 3) float32: for each of a panel's corners, what its potential counts there [-], and
    the rest of the way, for which the panel's own gradient counts [m]
    """

    number: npt.NDArray[np.int32]
    start: _Index
    panel: npt.NDArray[np.int32]
    weight: _Short
    part: _Short


@dataclass(frozen=True, kw_only=True)
class Reconstruction:
    """What `spreading.spread` needs to go from the panels' potentials to those at their corners."""

    slopes: Slopes
    corners: Corners


def reconstruction(geometry: _Real, group: _Index) -> Reconstruction:
    """Gradients and corners of the packed panels."""
    number = _corner_numbers(geometry)
    return Reconstruction(
        slopes=fitted_slopes(geometry, group, number), corners=_averaged(geometry, number)
    )


def _averaged(geometry: _Real, number: _Index) -> Corners:
    """The corners, each the mean of its panels by their angles there, and its part for each."""
    panels = len(number)
    places = geometry[3:12].T.reshape(panels, 3, 3)
    to_next, to_last = (np.roll(places, -turn, axis=1) - places for turn in (1, 2))
    across = np.linalg.norm(np.cross(to_next, to_last), axis=2)
    angle = np.arctan2(across, (to_next * to_last).sum(axis=2)).reshape(-1)
    flat = number.reshape(-1)
    share = angle / np.bincount(flat, angle)[flat]
    along = to_next[:, 0] / np.linalg.norm(to_next[:, 0], axis=1, keepdims=True)
    normals = geometry[21:24].T
    frame = np.stack([along, np.cross(normals, along)], axis=1)
    way = (places - geometry[:3].T[:, None]) @ frame.mT
    height = geometry[24] / geometry[25]
    lowest = np.full(int(flat.max()) + 1, np.inf)
    np.minimum.at(lowest, number, height[:, None])
    part = (lowest[number] / height[:, None]) ** SHELTER
    order = np.argsort(flat, kind="stable")
    weight = np.column_stack([share, share[:, None] * way.reshape(-1, 2)])[order]
    return Corners(
        number=number.astype(np.int32),
        start=np.concatenate([[0], np.cumsum(np.bincount(flat))]),
        panel=(order // 3).astype(np.int32),
        weight=np.ascontiguousarray(weight, dtype=np.float32),
        part=np.concatenate([part[..., None], (1 - part)[..., None] * way], axis=2).astype(
            np.float32
        ),
    )


def fitted_slopes(geometry: _Real, group: _Index, corner: _Index | None = None) -> Slopes:
    """The least-squares gradients of the packed panels; `corner` (n, 3) if at hand, a number for
    each place that has corners."""
    corner = _corner_numbers(geometry) if corner is None else corner
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
