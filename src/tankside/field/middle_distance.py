"""Closed forms of many panels at one point, where the point stands clear of them.

The closed forms of `integrals.py` and `moments.py` need a logarithm for each side and an arctangent
for each solid angle. From CLEAR sizes of a panel's centroid on, both have small arguments, and a
polynomial gives them to 1e-9, which vector units work out for several panels at once:

    integral of dl / r along a side = 2 artanh(l / (r1 + r2)),  l / (r1 + r2) < 0.71
    solid angle = 2 artan(t),                                   t < 0.25

Panels are gathered first, as columns of a work space, so that the loops read straight ahead.
"""

import math

import numpy as np
import numpy.typing as npt
from numpy.polynomial import Polynomial
from numpy.polynomial.chebyshev import Chebyshev

from tankside.field.kernels import kernel

_Real = npt.NDArray[np.float64]

CLEAR = 1.0
"""Least distance from the centroid, in longest edges [-]."""

LARGEST_SQUARE = 0.5
"""Of l / (r1 + r2) [-]: at most half a side over its middle's distance."""

GATHERED = 13
"""Rows of the work space: three corners as seen from the point, normal, area."""

_DEGREE = 10
_PER_SPHERE = 1.0 / (4.0 * math.pi)


def _artanh_polynomial() -> tuple[float, ...]:
    """Coefficients of artanh(sqrt u) / sqrt u on 0..LARGEST_SQUARE, by interpolation."""

    def ratio(u: _Real) -> _Real:
        root = np.sqrt(u)
        return np.asarray(np.arctanh(root) / root)

    found = Chebyshev.interpolate(ratio, _DEGREE, domain=[0.0, LARGEST_SQUARE])
    return tuple(map(float, found.convert(kind=Polynomial).coef))


_A0, _A1, _A2, _A3, _A4, _A5, _A6, _A7, _A8, _A9, _A10 = _artanh_polynomial()


@kernel("float64(float64)")
def artanh_ratio(u: float) -> float:
    """artanh(sqrt u) / sqrt u for u of 0 to LARGEST_SQUARE [-]."""
    high = _A6 + u * (_A7 + u * (_A8 + u * (_A9 + u * _A10)))
    return _A0 + u * (_A1 + u * (_A2 + u * (_A3 + u * (_A4 + u * (_A5 + u * high)))))


@kernel("float64(float64)")
def small_artan(t: float) -> float:
    """artan t for t below 0.25 [-]: the series, to the 11th power."""
    u = t * t
    rest = 1.0 / 5.0 - u * (1.0 / 7.0 - u * (1.0 / 9.0 - u / 11.0))
    return t * (1.0 - u * (1.0 / 3.0 - u * rest))


@kernel("float64(float64, float64, float64, float64)")
def side_integral(sx: float, sy: float, sz: float, ends: float) -> float:
    """Half the integral of dl / r along a side over its length, from the sum of the distances to
    its ends [m⁻¹]."""
    per = 1.0 / ends
    return per * artanh_ratio((sx * sx + sy * sy + sz * sz) * per * per)


@kernel("float64(float64, float64, float64)")
def inverse_cube(x: float, y: float, z: float) -> float:
    """Of a vector's length [m⁻³]."""
    per = 1.0 / math.sqrt(x * x + y * y + z * z)
    return per * per * per


@kernel("void(float64[:, ::1], int64, float64, float64, float64, float64[:, ::1], int64)")
def gather(geometry: _Real, panel: int, x: float, y: float, z: float, work: _Real, at: int) -> None:
    """Set column `at` of work to a panel as seen from a point."""
    g, w = geometry, work
    for corner in range(3):
        w[3 * corner, at] = g[3 + 3 * corner, panel] - x
        w[3 * corner + 1, at] = g[4 + 3 * corner, panel] - y
        w[3 * corner + 2, at] = g[5 + 3 * corner, panel] - z
    for row in range(4):
        w[9 + row, at] = g[21 + row, panel]


@kernel("void(float64[:, ::1], int64, float64[::1], float64[::1])")
def clear_layers(work: _Real, count: int, single: _Real, double: _Real) -> None:
    """Set single [m] and double [-] (count,) to the layers of the panels gathered in work."""
    ax_, ay_, az_ = work[0][:count], work[1][:count], work[2][:count]
    bx_, by_, bz_ = work[3][:count], work[4][:count], work[5][:count]
    cx_, cy_, cz_ = work[6][:count], work[7][:count], work[8][:count]
    nx_, ny_, nz_ = work[9][:count], work[10][:count], work[11][:count]
    area = work[12][:count]
    for k in range(count):
        ax, ay, az = ax_[k], ay_[k], az_[k]
        bx, by, bz = bx_[k], by_[k], bz_[k]
        cx, cy, cz = cx_[k], cy_[k], cz_[k]
        nx, ny, nz = nx_[k], ny_[k], nz_[k]
        ra = math.sqrt(ax * ax + ay * ay + az * az)
        rb = math.sqrt(bx * bx + by * by + bz * bz)
        rc = math.sqrt(cx * cx + cy * cy + cz * cz)
        across = (
            ra * rb * rc
            + (ax * bx + ay * by + az * bz) * rc
            + (bx * cx + by * cy + bz * cz) * ra
            + (cx * ax + cy * ay + cz * az) * rb
        )
        height = -(ax * nx + ay * ny + az * nz)
        angle = 2.0 * small_artan(2.0 * area[k] * height / across)
        # Each side's distance in the plane times its length, times half its integral over that.
        sx, sy, sz = bx - ax, by - ay, bz - az
        lever = ax * (sy * nz - sz * ny) + ay * (sz * nx - sx * nz) + az * (sx * ny - sy * nx)
        total = lever * side_integral(sx, sy, sz, ra + rb)
        sx, sy, sz = cx - bx, cy - by, cz - bz
        lever = bx * (sy * nz - sz * ny) + by * (sz * nx - sx * nz) + bz * (sx * ny - sy * nx)
        total += lever * side_integral(sx, sy, sz, rb + rc)
        sx, sy, sz = ax - cx, ay - cy, az - cz
        lever = cx * (sy * nz - sz * ny) + cy * (sz * nx - sx * nz) + cz * (sx * ny - sy * nx)
        total += lever * side_integral(sx, sy, sz, rc + ra)
        single[k] = (2.0 * total - height * angle) * _PER_SPHERE
        double[k] = angle * _PER_SPHERE


@kernel("void(float64[:, ::1], int64, float64[::1], float64[::1], float64[::1])")
def quadrature_moments(work: _Real, count: int, at_a: _Real, at_b: _Real, at_c: _Real) -> None:
    """Set at_a, at_b, at_c (count,) to `moments.corner_moments` of the panels gathered in work, by
    seven points on each of the three pieces between centroid and sides, exact to third degree:
    corners count 1/20, midpoints 2/15, the middle 9/20 of a piece's area (Strang and Fix, An
    analysis of the finite element method (1973), chapter 4, from memory; a test holds the
    order)."""
    ax_, ay_, az_ = work[0][:count], work[1][:count], work[2][:count]
    bx_, by_, bz_ = work[3][:count], work[4][:count], work[5][:count]
    cx_, cy_, cz_ = work[6][:count], work[7][:count], work[8][:count]
    nx, ny, nz, area = work[9][:count], work[10][:count], work[11][:count], work[12][:count]
    third, half = 1.0 / 3.0, 0.5
    # A function is 1 at its corner, in two pieces; 1/2 at midpoints, one of them in both; 1/3 at
    # two middles.
    corner, inner, outer, middle = 2.0 / 20.0, 2.0 / 15.0, 1.0 / 15.0, 3.0 / 20.0
    for k in range(count):
        ax, ay, az = ax_[k], ay_[k], az_[k]
        bx, by, bz = bx_[k], by_[k], bz_[k]
        cx, cy, cz = cx_[k], cy_[k], cz_[k]
        mx, my, mz = (ax + bx + cx) * third, (ay + by + cy) * third, (az + bz + cz) * third
        height = -(mx * nx[k] + my * ny[k] + mz * nz[k])
        ab = outer * inverse_cube(half * (ax + bx), half * (ay + by), half * (az + bz))
        bc = outer * inverse_cube(half * (bx + cx), half * (by + cy), half * (bz + cz))
        ca = outer * inverse_cube(half * (cx + ax), half * (cy + ay), half * (cz + az))
        ab += middle * inverse_cube(
            third * (ax + bx + mx), third * (ay + by + my), third * (az + bz + mz)
        )
        bc += middle * inverse_cube(
            third * (bx + cx + mx), third * (by + cy + my), third * (bz + cz + mz)
        )
        ca += middle * inverse_cube(
            third * (cx + ax + mx), third * (cy + ay + my), third * (cz + az + mz)
        )
        a = corner * inverse_cube(ax, ay, az)
        b = corner * inverse_cube(bx, by, bz)
        c = corner * inverse_cube(cx, cy, cz)
        a += inner * inverse_cube(half * (ax + mx), half * (ay + my), half * (az + mz))
        b += inner * inverse_cube(half * (bx + mx), half * (by + my), half * (bz + mz))
        c += inner * inverse_cube(half * (cx + mx), half * (cy + my), half * (cz + mz))
        per = _PER_SPHERE * third * area[k] * height
        at_a[k] = per * (a + ab + ca)
        at_b[k] = per * (b + ab + bc)
        at_c[k] = per * (c + bc + ca)
