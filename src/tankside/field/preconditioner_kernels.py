"""The preconditioner's dense work: the local parts of both layers."""

import numpy as np
import numpy.typing as npt

from tankside.field.integrals import ROWS
from tankside.field.kernels import kernel
from tankside.field.near_panels import WORK, localised, near_layers


@kernel("void(float64[:, ::1], boolean, int64[:, ::1], float32[:, :, ::1], float32[:, :, ::1])")
def fill_local(
    geometry: npt.NDArray[np.float64],
    mirrored: bool,
    index: npt.NDArray[np.int64],
    single: npt.NDArray[np.float32],
    half_less_double: npt.NDArray[np.float32],
) -> None:
    """Set single and half_less_double (blocks, m, m) to S and 1/2 - K among index (blocks, m)."""
    blocks, m = index.shape
    local, work = np.zeros((ROWS, m), dtype=np.float32), np.zeros((WORK, m), dtype=np.float32)
    k = np.zeros(m, dtype=np.float32)
    chosen = np.zeros(m, dtype=np.int64)
    for b in range(blocks):
        panels = index[b]
        x, y, z = geometry[0, panels[0]], geometry[1, panels[0]], geometry[2, panels[0]]
        localised(geometry, panels, m, x, y, z, 0, ROWS, local)
        for row in range(m):
            s = single[b, row]
            near_layers(
                geometry, panels, local, m, panels[row], x, y, z, mirrored, s, k, work, chosen
            )
            for column in range(m):
                half_less_double[b, row, column] = -k[column]
            half_less_double[b, row, row] += np.float32(0.5)
