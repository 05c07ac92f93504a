"""Hidden surfaces: which triangle is seen at each pixel, by a depth buffer.

Orthographic: the triangles come in pixel coordinates with the depth towards the eye as the third.
Each pixel asks at its centre; the nearest triangle wins, of either side. Nothing is clipped to the
picture's edge that reaches into it.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from numba import njit

from tankside.base.arrays import Floats

NOTHING = -1


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What an eye sees: triangle (h, w) int32, NOTHING where there is none; depth (h, w) [pixel],
    larger is nearer, -inf where there is nothing; shares (h, w, 2) of the triangle's second and
    third corner at the pixel."""

    triangle: npt.NDArray[np.int32]
    depth: npt.NDArray[np.float32]
    shares: npt.NDArray[np.float32]

    @property
    def covered(self) -> npt.NDArray[np.bool_]:
        """Pixels that show a triangle (h, w)."""
        return np.asarray(self.triangle != NOTHING)

    def between_corners(self, values: Floats) -> npt.NDArray[np.float32]:
        """Values at the triangles' corners (n, 3) as values at the covered pixels (m,), row by
        row."""
        out = np.zeros(int(self.covered.sum()), dtype=np.float32)
        _interpolate(self.triangle, self.shares, values.astype(np.float32), out)
        return out


def seen(corners: Floats, *, width: int, height: int) -> Seen:
    """Triangles (n, 3, 3) as x to the right, y downwards and depth, all [pixel], in a picture."""
    triangle = np.full((height, width), NOTHING, dtype=np.int32)
    depth = np.full((height, width), -np.inf, dtype=np.float32)
    shares = np.zeros((height, width, 2), dtype=np.float32)
    _fill(np.ascontiguousarray(corners, dtype=np.float64), triangle, depth, shares)
    return Seen(triangle=triangle, depth=depth, shares=shares)


@njit(cache=True)
def _interpolate(triangle, shares, values, out):  # type: ignore[no-untyped-def]
    place = 0
    for row in range(triangle.shape[0]):
        for column in range(triangle.shape[1]):
            t = triangle[row, column]
            if t >= 0:
                first = values[t, 0]
                out[place] = (
                    first
                    + shares[row, column, 0] * (values[t, 1] - first)
                    + shares[row, column, 1] * (values[t, 2] - first)
                )
                place += 1


@njit(cache=True)
def _fill(corners, triangle, depth, shares):  # type: ignore[no-untyped-def]
    height, width = triangle.shape
    for t in range(corners.shape[0]):
        ax, ay, az = corners[t, 0]
        bx, by, bz = corners[t, 1]
        cx, cy, cz = corners[t, 2]
        twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if twice == 0.0:
            continue
        for row in range(
            max(0, int(np.ceil(min(ay, by, cy) - 0.5))),
            min(height - 1, int(np.floor(max(ay, by, cy) - 0.5))) + 1,
        ):
            y = row + 0.5
            for column in range(
                max(0, int(np.ceil(min(ax, bx, cx) - 0.5))),
                min(width - 1, int(np.floor(max(ax, bx, cx) - 0.5))) + 1,
            ):
                x = column + 0.5
                u = ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) / twice
                v = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / twice
                if u < 0.0 or v < 0.0 or u + v > 1.0:
                    continue
                z = az + u * (bz - az) + v * (cz - az)
                if z > depth[row, column]:
                    depth[row, column] = z
                    triangle[row, column] = t
                    shares[row, column, 0] = u
                    shares[row, column, 1] = v
