"""Both layers of many panels at a point, in single precision, near and far.

Panels are copied as columns, with coordinates about a point among them or near the target: what
matters are distances, and these then keep their digits, however large the tank. Eight panels at a
time take the rules of `integrals.py`: three points far off, and in the middle distance the closed
forms by polynomials (`middle_distance.py`). Those closest to the target are left to the closed
forms in double precision.
"""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.discretisation import IN_PLANE
from tankside.field.integrals import NEAR_SIZES, NORMAL, exact
from tankside.field.kernels import Scalar, kernel
from tankside.field.middle_distance import CLEAR, GATHERED, clear_layers, gather

_Real = npt.NDArray[np.float64]
_Short = npt.NDArray[np.float32]
_Index = npt.NDArray[np.int64]

WORK = GATHERED + 4
"""Rows of the work space of a row."""

_ONE = np.float32(1.0)
_THIRD_PER_SPHERE = np.float32(1.0 / (12.0 * math.pi))
_CLEAR_SQUARE = np.float32(CLEAR * CLEAR)
_NEAR_SQUARE = np.float32(NEAR_SIZES * NEAR_SIZES)


@kernel(
    "void(float64[:, ::1], int64[::1], int64, float64, float64, float64, int64, int64,"
    " float32[:, ::1])"
)
def localised(
    geometry: _Real,
    panels: _Index,
    count: int,
    x: float,
    y: float,
    z: float,
    first: int,
    last: int,
    local: _Short,
) -> None:
    """Set the columns local[:, :count] to the rows first..last of the packed geometry of
    panels[:count], coordinates about a point."""
    for at in range(first, last):
        about = 0.0
        if at < NORMAL:
            about = x if at % 3 == 0 else (y if at % 3 == 1 else z)
        for k in range(count):
            local[at, k] = geometry[at, panels[k]] - about


@kernel("void(float32[:, ::1], int64, float32, float32, float32, float32[::1], float32[::1])")
def add_by_points(
    local: _Short, count: int, x: Scalar, y: Scalar, z: Scalar, single: _Short, double: _Short
) -> None:
    """Add to single and double (count,) the layers of local[:, :count] by three points each."""
    g = local
    ax, ay, az = g[12][:count], g[13][:count], g[14][:count]
    bx, by, bz = g[15][:count], g[16][:count], g[17][:count]
    cx, cy, cz = g[18][:count], g[19][:count], g[20][:count]
    nx, ny, nz = g[21][:count], g[22][:count], g[23][:count]
    area = g[24][:count]
    for j in range(count):
        dx, dy, dz = x - ax[j], y - ay[j], z - az[j]
        height = dx * nx[j] + dy * ny[j] + dz * nz[j]
        ra = _ONE / math.sqrt(dx * dx + dy * dy + dz * dz)
        dx, dy, dz = x - bx[j], y - by[j], z - bz[j]
        rb = _ONE / math.sqrt(dx * dx + dy * dy + dz * dz)
        dx, dy, dz = x - cx[j], y - cy[j], z - cz[j]
        rc = _ONE / math.sqrt(dx * dx + dy * dy + dz * dz)
        weight = area[j] * _THIRD_PER_SPHERE
        single[j] += weight * (ra + rb + rc)
        double[j] += weight * height * (ra * ra * ra + rb * rb * rb + rc * rc * rc)


@kernel(
    "void(float32[:, ::1], int64, boolean, float32[::1], float32[::1], float32[::1], float32[::1])"
)
def add_column_by_points(
    local: _Short, column: int, double_layer: bool, x: _Short, y: _Short, z: _Short, values: _Short
) -> None:
    """Add to values (m,) one layer of one panel at the points x, y, z (m,), by three points."""
    g, c = local, column
    ax, ay, az = g[12, c], g[13, c], g[14, c]
    bx, by, bz = g[15, c], g[16, c], g[17, c]
    cx, cy, cz = g[18, c], g[19, c], g[20, c]
    nx, ny, nz = g[21, c], g[22, c], g[23, c]
    weight = g[24, c] * _THIRD_PER_SPHERE
    for i in range(values.size):
        dx, dy, dz = x[i] - ax, y[i] - ay, z[i] - az
        height = dx * nx + dy * ny + dz * nz
        ra = _ONE / math.sqrt(dx * dx + dy * dy + dz * dz)
        dx, dy, dz = x[i] - bx, y[i] - by, z[i] - bz
        rb = _ONE / math.sqrt(dx * dx + dy * dy + dz * dz)
        dx, dy, dz = x[i] - cx, y[i] - cy, z[i] - cz
        rc = _ONE / math.sqrt(dx * dx + dy * dy + dz * dz)
        if double_layer:
            values[i] += weight * height * (ra * ra * ra + rb * rb * rb + rc * rc * rc)
        else:
            values[i] += weight * (ra + rb + rc)


@kernel(
    "void(float64[:, ::1], int64[::1], float32[:, ::1], int64, int64, float64, float64, float64,"
    " boolean, float32[::1], float32[::1], float32[:, ::1], int64[::1])"
)
def near_layers(
    geometry: _Real,
    panels: _Index,
    local: _Short,
    count: int,
    target: int,
    x: float,
    y: float,
    z: float,
    mirrored: bool,
    single: _Short,
    double: _Short,
    work: _Short,
    chosen: _Index,
) -> None:
    """Set single and double (count,) to the layers of panels[:count], localised about the point
    x, y, z, at the centroid of `target` and, where mirrored, at its image.

    work (WORK, count or more) and chosen, as long, are work space.
    """
    g = geometry
    for j in range(count):
        single[j] = 0.0
        double[j] = 0.0
    found_single, found_double = work[GATHERED], work[GATHERED + 1]
    kept_single, kept_double = work[GATHERED + 2], work[GATHERED + 3]
    for image in range(2 if mirrored else 1):
        tx, ty, tz = g[0, target], g[1, target], g[2, target] * (1.0 - 2.0 * image)
        sx, sy, sz = np.float32(tx - x), np.float32(ty - y), np.float32(tz - z)
        # Near ones are set anew on top of what there was before their three points were added.
        clear, last = 0, count
        for j in range(count):
            dx, dy, dz = sx - local[0, j], sy - local[1, j], sz - local[2, j]
            square, size = dx * dx + dy * dy + dz * dz, local[25, j] * local[25, j]
            if square < _NEAR_SQUARE * size:
                if square < _CLEAR_SQUARE * size:
                    last -= 1
                    chosen[last] = j
                else:
                    gather(local, j, sx, sy, sz, work, clear)
                    chosen[clear] = j
                    clear += 1
        for k in range(count):
            if k < clear or k >= last:
                kept_single[k], kept_double[k] = single[chosen[k]], double[chosen[k]]
        add_by_points(local, count, sx, sy, sz, single, double)
        clear_layers(work, clear, found_single, found_double)
        for k in range(clear):
            single[chosen[k]] = kept_single[k] + found_single[k]
            double[chosen[k]] = kept_double[k] + found_double[k]
        for k in range(last, count):
            p = panels[chosen[k]]
            s, d = exact(g, p, tx, ty, tz)
            if p == target:  # its own plane, or with its image its own back
                d = -0.5 if image == 1 and abs(tz) < IN_PLANE * g[25, p] else d
            single[chosen[k]] = kept_single[k] + s
            double[chosen[k]] = kept_double[k] + d
