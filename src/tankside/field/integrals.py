"""Integrals of 1/(4 pi r) and of its normal derivative over a flat triangle with constant density.

Near (target within NEAR_SIZES panel sizes of the centroid): closed forms. The single layer is the
sum over sides of distance x logarithm, less height x solid angle (Wilton et al., IEEE Trans.
Antennas Propag. 32 (1984) 276); the double layer is the solid angle itself (Van Oosterom and
Strackee, IEEE Trans. Biomed. Eng. 30 (1983) 125). Far: three points, exact to second degree. At
NEAR_SIZES their error is below 1e-4 of the single layer and below 2e-4 of the largest double layer
at that distance, and falls with the third power of the distance; in the nearest compressed blocks
(`clusters.CLEARANCE`) it is below 5e-4 and 1e-3. Tests hold both.

Nothing here refuses anything: panels are checked where they are made.
"""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.discretisation import IN_PLANE
from tankside.field.kernels import kernel
from tankside.field.panels import Panels

NEAR_SIZES = 4.0
"""Closed forms are used up to this many longest edges from the centroid [-]."""

# Rows of the packed geometry, one column a panel, so that loops over panels read straight ahead.
CENTRE, CORNER, POINT, NORMAL, AREA, SIZE = 0, 3, 12, 21, 24, 25
ROWS = 26

_PER_SPHERE = 1.0 / (4.0 * math.pi)
_THIRD_PER_SPHERE = _PER_SPHERE / 3.0


def packed(panels: Panels, order: npt.NDArray[np.int64]) -> npt.NDArray[np.float64]:
    """Geometry for the kernels (ROWS, n) in SI, in `order`, the liquid's surface at z = 0."""
    level = panels.mirror_level
    middle = (panels.corners.min(axis=(0, 1)) + panels.corners.max(axis=(0, 1))) / 2
    origin = np.array([middle[0], middle[1], middle[2] if level is None else level])
    corners = panels.corners[order] - origin
    geometry = np.zeros((ROWS, len(order)))
    geometry[CENTRE : CENTRE + 3] = corners.mean(axis=1).T
    geometry[CORNER : CORNER + 9] = corners.reshape(-1, 9).T
    points = (corners.sum(axis=1, keepdims=True) + 3.0 * corners) / 6.0
    geometry[POINT : POINT + 9] = points.reshape(-1, 9).T
    geometry[NORMAL : NORMAL + 3] = panels.normals[order].T
    geometry[AREA] = panels.areas[order]
    geometry[SIZE] = panels.sizes[order]
    return geometry


# Numba compiles a kernel where it is defined, so here what is called stands above its caller.


@kernel("float64(float64, float64, float64)")
def edge_logarithm(start: float, end: float, length: float) -> float:
    """Integral of dl / r along an edge from the distances to its ends and its length [-]."""
    excess = start + end - length
    if excess <= 1e-15 * length:  # on the edge itself, where its factor, the distance, is zero
        return 0.0
    return math.log((start + end + length) / excess)


@kernel(
    "float64(float64, float64, float64, float64, float64, float64, float64, float64, float64,"
    " float64, float64)"
)
def edge_share(
    px: float,
    py: float,
    pz: float,
    qx: float,
    qy: float,
    qz: float,
    nx: float,
    ny: float,
    nz: float,
    start: float,
    end: float,
) -> float:
    """Signed distance from the point to the edge p-q in the panel's plane, times the logarithm."""
    sx, sy, sz = qx - px, qy - py, qz - pz
    length = math.sqrt(sx * sx + sy * sy + sz * sz)
    distance = (
        px * (sy * nz - sz * ny) + py * (sz * nx - sx * nz) + pz * (sx * ny - sy * nx)
    ) / length
    return distance * edge_logarithm(start, end, length)


@kernel("UniTuple(float64, 2)(float64[:, ::1], int64, float64, float64, float64)")
def exact(
    geometry: npt.NDArray[np.float64], panel: int, x: float, y: float, z: float
) -> tuple[float, float]:
    """Single [m] and double layer [-] of one panel at a point, in closed form."""
    g, j = geometry, panel
    ax, ay, az = g[3, j] - x, g[4, j] - y, g[5, j] - z
    bx, by, bz = g[6, j] - x, g[7, j] - y, g[8, j] - z
    cx, cy, cz = g[9, j] - x, g[10, j] - y, g[11, j] - z
    nx, ny, nz = g[21, j], g[22, j], g[23, j]
    height = -(ax * nx + ay * ny + az * nz)
    if abs(height) < IN_PLANE * g[25, j]:  # the principal value is zero
        height = 0.0
    ra = math.sqrt(ax * ax + ay * ay + az * az)
    rb = math.sqrt(bx * bx + by * by + bz * bz)
    rc = math.sqrt(cx * cx + cy * cy + cz * cz)
    angle = 0.0
    if height != 0.0:
        across = (
            ra * rb * rc
            + (ax * bx + ay * by + az * bz) * rc
            + (bx * cx + by * cy + bz * cz) * ra
            + (cx * ax + cy * ay + cz * az) * rb
        )
        angle = 2.0 * math.atan2(2.0 * g[24, j] * height, across)
    total = (
        edge_share(ax, ay, az, bx, by, bz, nx, ny, nz, ra, rb)
        + edge_share(bx, by, bz, cx, cy, cz, nx, ny, nz, rb, rc)
        + edge_share(cx, cy, cz, ax, ay, az, nx, ny, nz, rc, ra)
    )
    return (total - height * angle) * _PER_SPHERE, angle * _PER_SPHERE


@kernel("UniTuple(float64, 2)(float64[:, ::1], int64, float64, float64, float64)")
def by_points(
    geometry: npt.NDArray[np.float64], panel: int, x: float, y: float, z: float
) -> tuple[float, float]:
    """Single [m] and double layer [-] of one panel at a point, by three points."""
    g, j = geometry, panel
    single, double = 0.0, 0.0
    for point in range(3):
        dx, dy, dz = x - g[12 + 3 * point, j], y - g[13 + 3 * point, j], z - g[14 + 3 * point, j]
        per = 1.0 / math.sqrt(dx * dx + dy * dy + dz * dz)
        single += per
        double += (dx * g[21, j] + dy * g[22, j] + dz * g[23, j]) * per * per * per
    weight = g[24, j] * _THIRD_PER_SPHERE
    return weight * single, weight * double


@kernel("void(float64[:, ::1], int64, boolean, int64, int64, float64[::1], float64[::1])")
def near_row(
    geometry: npt.NDArray[np.float64],
    target: int,
    mirrored: bool,
    first: int,
    last: int,
    single: npt.NDArray[np.float64],
    double: npt.NDArray[np.float64],
) -> None:
    """Set single and double (last - first,) at a panel's centroid, in double precision, each by the
    rule its distance asks for: what `near_panels.py` does faster."""
    g = geometry
    for j in range(last - first):
        single[j] = 0.0
        double[j] = 0.0
    for image in range(2 if mirrored else 1):
        x, y, z = g[0, target], g[1, target], g[2, target] * (1.0 - 2.0 * image)
        for j in range(last - first):
            p = first + j
            dx, dy, dz = x - g[0, p], y - g[1, p], z - g[2, p]
            reach = NEAR_SIZES * g[25, p]
            if dx * dx + dy * dy + dz * dz < reach * reach:
                s, k = exact(g, p, x, y, z)
                if p == target:  # its own plane, or with its image its own back
                    k = -0.5 if image == 1 and abs(z) < IN_PLANE * g[25, p] else k
            else:
                s, k = by_points(g, p, x, y, z)
            single[j] += s
            double[j] += k
