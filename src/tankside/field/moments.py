"""Moments of a panel's double layer in closed form: what the potential at its corners adds to K.

M_jc = integral over panel j of f_c d/dn 1 / (4 pi r), with f_c 1 at corner c, 0 at the centroid and
at the other corners, and linear on the three pieces between. K phi gains the sum over c of M_jc
(phi at c - phi of j) at targets within REACH sizes of j (`corrections.py`). A target in the
panel's plane gains nothing.
"""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.discretisation import IN_PLANE
from tankside.field.integrals import edge_logarithm
from tankside.field.kernels import kernel

_Real = npt.NDArray[np.float64]

_PER_SPHERE = 1.0 / (4.0 * math.pi)


@kernel("float64(float64, float64, float64, float64, float64)")
def side_share(sx: float, sy: float, sz: float, start: float, end: float) -> float:
    """Integral of dl / r along a side over its length, from the distances to its ends [m⁻¹]."""
    length = math.sqrt(sx * sx + sy * sy + sz * sz)
    return edge_logarithm(start, end, length) / length


@kernel(
    "UniTuple(float64, 2)(float64, float64, float64, float64, float64, float64, float64, float64,"
    " float64, float64, float64, float64, float64, float64, float64, float64, float64, float64,"
    " float64, float64)"
)
def piece_moments(
    mx: float,
    my: float,
    mz: float,
    rm: float,
    px: float,
    py: float,
    pz: float,
    rp: float,
    qx: float,
    qy: float,
    qz: float,
    rq: float,
    nx: float,
    ny: float,
    nz: float,
    height: float,
    area: float,
    to_p: float,
    to_q: float,
    size: float,
) -> tuple[float, float]:
    """Double layer of the two functions that are linear on the triangle m, p, q (as seen from the
    target, with distances) and 1 at p, or at q, and 0 at the other corners; to_p and to_q are the
    side shares from m, size is 1 / (8 pi area)."""
    ux, uy, uz = px - mx, py - my, pz - mz
    vx, vy, vz = qx - mx, qy - my, qz - mz
    across = (
        rm * rp * rq
        + (mx * px + my * py + mz * pz) * rq
        + (px * qx + py * qy + pz * qz) * rm
        + (qx * mx + qy * my + qz * mz) * rp
    )
    angle = 2.0 * math.atan2(2.0 * area * height, across)
    # Sum over sides of direction x integral of dl / r; crossed with the normal it points outward.
    across_side = side_share(qx - px, qy - py, qz - pz, rp, rq)
    ax = ux * to_p + (qx - px) * across_side - vx * to_q
    ay = uy * to_p + (qy - py) * across_side - vy * to_q
    az = uz * to_p + (qz - pz) * across_side - vz * to_q
    # First moment about m, in the plane.
    ox = -(mx + height * nx) * angle - height * (ay * nz - az * ny)
    oy = -(my + height * ny) * angle - height * (az * nx - ax * nz)
    oz = -(mz + height * nz) * angle - height * (ax * ny - ay * nx)
    # Slopes of the two functions: the other side, turned into the triangle, over twice the area.
    at_p = (vy * nz - vz * ny) * ox + (vz * nx - vx * nz) * oy + (vx * ny - vy * nx) * oz
    at_q = (ny * uz - nz * uy) * ox + (nz * ux - nx * uz) * oy + (nx * uy - ny * ux) * oz
    return at_p * size, at_q * size


@kernel("UniTuple(float64, 3)(float64[:, ::1], int64, float64, float64, float64)")
def corner_moments(
    geometry: _Real, panel: int, x: float, y: float, z: float
) -> tuple[float, float, float]:
    """Double layer at a point of the three functions that are 1 at a corner of the panel, 0 at the
    others and at the centroid, and linear on the pieces between centroid and sides [-]."""
    g, j = geometry, panel
    nx, ny, nz = g[21, j], g[22, j], g[23, j]
    mx, my, mz = g[0, j] - x, g[1, j] - y, g[2, j] - z
    height = -(mx * nx + my * ny + mz * nz)
    if abs(height) < IN_PLANE * g[25, j]:
        return 0.0, 0.0, 0.0
    ax, ay, az = g[3, j] - x, g[4, j] - y, g[5, j] - z
    bx, by, bz = g[6, j] - x, g[7, j] - y, g[8, j] - z
    cx, cy, cz = g[9, j] - x, g[10, j] - y, g[11, j] - z
    rm = math.sqrt(mx * mx + my * my + mz * mz)
    ra = math.sqrt(ax * ax + ay * ay + az * az)
    rb = math.sqrt(bx * bx + by * by + bz * bz)
    rc = math.sqrt(cx * cx + cy * cy + cz * cz)
    area = g[24, j] / 3.0
    per = _PER_SPHERE / (2.0 * area)
    to_a = side_share(ax - mx, ay - my, az - mz, rm, ra)
    to_b = side_share(bx - mx, by - my, bz - mz, rm, rb)
    to_c = side_share(cx - mx, cy - my, cz - mz, rm, rc)
    ab = piece_moments(
        mx, my, mz, rm, ax, ay, az, ra, bx, by, bz, rb, nx, ny, nz, height, area, to_a, to_b, per
    )
    bc = piece_moments(
        mx, my, mz, rm, bx, by, bz, rb, cx, cy, cz, rc, nx, ny, nz, height, area, to_b, to_c, per
    )
    ca = piece_moments(
        mx, my, mz, rm, cx, cy, cz, rc, ax, ay, az, ra, nx, ny, nz, height, area, to_c, to_a, per
    )
    return ab[0] + ca[1], ab[1] + bc[0], bc[1] + ca[0]
