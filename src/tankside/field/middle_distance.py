"""Closed forms of many panels at one point, where the point stands clear of them.

The closed forms of `integrals.py` and `moments.py` need a logarithm for each side and an arctangent
for each solid angle. From CLEAR sizes of a panel's centroid on, both have small arguments, and a
polynomial gives them to the last digit of single precision, which vector units work out for eight
panels at once:

    integral of dl / r along a side = 2 artanh(l / (r1 + r2)),  l / (r1 + r2) < 0.71
    solid angle = 2 artan(t),                                   t < 0.25

Panels are gathered first, as columns of a work space, so that the loops read straight ahead. They
come from coordinates about a point near by (`integrals.localised`), so that single precision does.
"""

import math

import numpy as np
import numpy.typing as npt
from numpy.polynomial import Polynomial
from numpy.polynomial.chebyshev import Chebyshev

from tankside.field.kernels import Scalar, kernel

_Real = npt.NDArray[np.float64]
_Short = npt.NDArray[np.float32]

CLEAR = 1.0
"""Least distance from the centroid, in longest edges [-]."""

LARGEST_SQUARE = 0.5
"""Of l / (r1 + r2) [-]: at most half a side over its middle's distance."""

GATHERED = 13
"""Rows of the work space: three corners as seen from the point, normal, area."""

_DEGREE = 7
_PER_SPHERE = np.float32(1.0 / (4.0 * math.pi))
_ONE, _TWO = np.float32(1.0), np.float32(2.0)


def _artanh_polynomial() -> list[np.float32]:
    """Coefficients of artanh(sqrt u) / sqrt u on 0..LARGEST_SQUARE, by interpolation."""

    def ratio(u: _Real) -> _Real:
        root = np.sqrt(u)
        return np.asarray(np.arctanh(root) / root)

    found = Chebyshev.interpolate(ratio, _DEGREE, domain=[0.0, LARGEST_SQUARE])
    return [np.float32(value) for value in found.convert(kind=Polynomial).coef]


_A0, _A1, _A2, _A3, _A4, _A5, _A6, _A7 = _artanh_polynomial()
_T3, _T5, _T7, _T9 = (np.float32(1.0 / power) for power in (3, 5, 7, 9))


@kernel("float32(float32)")
def artanh_ratio(u: Scalar) -> Scalar:
    """artanh(sqrt u) / sqrt u for u of 0 to LARGEST_SQUARE [-]."""
    high = _A4 + u * (_A5 + u * (_A6 + u * _A7))
    return _A0 + u * (_A1 + u * (_A2 + u * (_A3 + u * high)))


@kernel("float32(float32)")
def small_artan(t: Scalar) -> Scalar:
    """artan t for t below 0.25 [-]: the series, to the 9th power."""
    u = t * t
    return t * (_ONE - u * (_T3 - u * (_T5 - u * (_T7 - u * _T9))))


@kernel("float32(float32, float32, float32, float32)")
def side_integral(sx: Scalar, sy: Scalar, sz: Scalar, ends: Scalar) -> Scalar:
    """Half the integral of dl / r along a side over its length, from the sum of the distances to
    its ends [m⁻¹]."""
    per = _ONE / ends
    return per * artanh_ratio((sx * sx + sy * sy + sz * sz) * per * per)


@kernel("float32(float32, float32, float32)")
def inverse_cube(x: Scalar, y: Scalar, z: Scalar) -> Scalar:
    """Of a vector's length [m⁻³]."""
    per = _ONE / math.sqrt(x * x + y * y + z * z)
    return per * per * per


@kernel("void(float32[:, ::1], int64, float32, float32, float32, float32[:, ::1], int64)")
def gather(
    local: _Short, panel: int, x: Scalar, y: Scalar, z: Scalar, work: _Short, at: int
) -> None:
    """Set column `at` of work to a panel as seen from a point."""
    g, w = local, work
    for corner in range(3):
        w[3 * corner, at] = g[3 + 3 * corner, panel] - x
        w[3 * corner + 1, at] = g[4 + 3 * corner, panel] - y
        w[3 * corner + 2, at] = g[5 + 3 * corner, panel] - z
    for row in range(4):
        w[9 + row, at] = g[21 + row, panel]


@kernel("void(float32[:, ::1], int64, float32[::1], float32[::1])")
def clear_layers(work: _Short, count: int, single: _Short, double: _Short) -> None:
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
        angle = _TWO * small_artan(_TWO * area[k] * height / across)
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
        single[k] = (_TWO * total - height * angle) * _PER_SPHERE
        double[k] = angle * _PER_SPHERE


@kernel("void(float32[:, ::1], int64, int64, int64, float32[::1], float32[::1])")
def add_piece_moments(work: _Short, count: int, p: int, q: int, at_p: _Short, at_q: _Short) -> None:
    """Add to at_p and at_q (count,) what the piece between the centroid and the corners p and q of
    the panels gathered in work has of `moments.corner_moments`."""
    ax_, ay_, az_ = work[0][:count], work[1][:count], work[2][:count]
    bx_, by_, bz_ = work[3][:count], work[4][:count], work[5][:count]
    cx_, cy_, cz_ = work[6][:count], work[7][:count], work[8][:count]
    px_, py_, pz_ = work[3 * p][:count], work[3 * p + 1][:count], work[3 * p + 2][:count]
    qx_, qy_, qz_ = work[3 * q][:count], work[3 * q + 1][:count], work[3 * q + 2][:count]
    nx_, ny_, nz_ = work[9][:count], work[10][:count], work[11][:count]
    area = work[12][:count]
    third = np.float32(1.0 / 3.0)
    for k in range(count):
        px, py, pz = px_[k], py_[k], pz_[k]
        qx, qy, qz = qx_[k], qy_[k], qz_[k]
        nx, ny, nz = nx_[k], ny_[k], nz_[k]
        mx = (ax_[k] + bx_[k] + cx_[k]) * third
        my = (ay_[k] + by_[k] + cy_[k]) * third
        mz = (az_[k] + bz_[k] + cz_[k]) * third
        height = -(mx * nx + my * ny + mz * nz)
        rm = math.sqrt(mx * mx + my * my + mz * mz)
        rp = math.sqrt(px * px + py * py + pz * pz)
        rq = math.sqrt(qx * qx + qy * qy + qz * qz)
        ux, uy, uz = px - mx, py - my, pz - mz
        vx, vy, vz = qx - mx, qy - my, qz - mz
        wx, wy, wz = qx - px, qy - py, qz - pz
        across = (
            rm * rp * rq
            + (mx * px + my * py + mz * pz) * rq
            + (px * qx + py * qy + pz * qz) * rm
            + (qx * mx + qy * my + qz * mz) * rp
        )
        piece = area[k] * third
        angle = small_artan(_TWO * piece * height / across)
        # Half the sum over sides of direction x integral of dl / r.
        to_p = side_integral(ux, uy, uz, rm + rp)
        to_q = side_integral(vx, vy, vz, rm + rq)
        side = side_integral(wx, wy, wz, rp + rq)
        sx = ux * to_p + wx * side - vx * to_q
        sy = uy * to_p + wy * side - vy * to_q
        sz = uz * to_p + wz * side - vz * to_q
        # Half the first moment about the centroid, in the plane.
        ox = -(mx + height * nx) * angle - height * (sy * nz - sz * ny)
        oy = -(my + height * ny) * angle - height * (sz * nx - sx * nz)
        oz = -(mz + height * nz) * angle - height * (sx * ny - sy * nx)
        per = _PER_SPHERE / piece
        at_p[k] += per * (
            (vy * nz - vz * ny) * ox + (vz * nx - vx * nz) * oy + (vx * ny - vy * nx) * oz
        )
        at_q[k] += per * (
            (ny * uz - nz * uy) * ox + (nz * ux - nx * uz) * oy + (nx * uy - ny * ux) * oz
        )


@kernel("void(float32[:, ::1], int64, float32[::1], float32[::1], float32[::1])")
def clear_moments(work: _Short, count: int, at_a: _Short, at_b: _Short, at_c: _Short) -> None:
    """Set at_a, at_b, at_c (count,) to `moments.corner_moments` of the panels gathered in work."""
    for k in range(count):
        at_a[k], at_b[k], at_c[k] = np.float32(0.0), np.float32(0.0), np.float32(0.0)
    add_piece_moments(work, count, 0, 1, at_a, at_b)
    add_piece_moments(work, count, 1, 2, at_b, at_c)
    add_piece_moments(work, count, 2, 0, at_c, at_a)


@kernel("void(float32[:, ::1], int64, float32[::1], float32[::1], float32[::1])")
def quadrature_moments(work: _Short, count: int, at_a: _Short, at_b: _Short, at_c: _Short) -> None:
    """Set at_a, at_b, at_c (count,) to `moments.corner_moments` of the panels gathered in work, by
    seven points on each of the three pieces between centroid and sides, exact to third degree:
    corners count 1/20, midpoints 2/15, the middle 9/20 of a piece's area (Strang and Fix, An
    analysis of the finite element method (1973), chapter 4, from memory; a test holds the
    order)."""
    ax_, ay_, az_ = work[0][:count], work[1][:count], work[2][:count]
    bx_, by_, bz_ = work[3][:count], work[4][:count], work[5][:count]
    cx_, cy_, cz_ = work[6][:count], work[7][:count], work[8][:count]
    nx, ny, nz, area = work[9][:count], work[10][:count], work[11][:count], work[12][:count]
    third, half = np.float32(1.0 / 3.0), np.float32(0.5)
    # A function is 1 at its corner, in two pieces; 1/2 at midpoints, one of them in both; 1/3 at
    # two middles.
    corner, inner = np.float32(2.0 / 20.0), np.float32(2.0 / 15.0)
    outer, middle = np.float32(1.0 / 15.0), np.float32(3.0 / 20.0)
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
