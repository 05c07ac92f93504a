"""The local parts of both layers for the preconditioner: closed forms near, one point farther off,
for a preconditioner need not be exact."""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.discretisation import IN_PLANE
from tankside.field.integrals import exact
from tankside.field.kernels import kernel

_NEAR_SIZES = 3.0
_PER_SPHERE = 1.0 / (4.0 * math.pi)


@kernel("UniTuple(float64, 2)(float64[:, ::1], int64, float64, float64, float64)")
def roughly(
    geometry: npt.NDArray[np.float64], panel: int, x: float, y: float, z: float
) -> tuple[float, float]:
    """Single [m] and double layer [-] of one panel at a point."""
    g, j = geometry, panel
    dx, dy, dz = x - g[0, j], y - g[1, j], z - g[2, j]
    square = dx * dx + dy * dy + dz * dz
    reach = _NEAR_SIZES * g[25, j]
    if square < reach * reach:
        return exact(geometry, panel, x, y, z)
    per_distance = 1.0 / math.sqrt(square)
    single = _PER_SPHERE * g[24, j] * per_distance
    height = dx * g[21, j] + dy * g[22, j] + dz * g[23, j]
    return single, single * height * per_distance * per_distance


@kernel("void(float64[:, ::1], boolean, int64[:, ::1], float32[:, :, ::1], float32[:, :, ::1])")
def fill_local(
    geometry: npt.NDArray[np.float64],
    mirrored: bool,
    index: npt.NDArray[np.int64],
    single: npt.NDArray[np.float32],
    half_less_double: npt.NDArray[np.float32],
) -> None:
    """Set single and half_less_double (blocks, m, m) to S and 1/2 - K among index (blocks, m)."""
    g = geometry
    blocks, m = index.shape
    for b in range(blocks):
        for row in range(m):
            i = index[b, row]
            for column in range(m):
                j = index[b, column]
                s, k = roughly(g, j, g[0, i], g[1, i], g[2, i])
                if i == j:
                    k = -0.5  # its own double layer is none; this is the jump
                if mirrored:
                    image_s, image_k = roughly(g, j, g[0, i], g[1, i], -g[2, i])
                    if i == j and abs(g[2, i]) < IN_PLANE * g[25, i]:
                        image_k = -0.5  # in the liquid's surface, its image is its own back
                    s, k = s + image_s, k + image_k
                single[b, row, column] = s
                half_less_double[b, row, column] = -k
