"""The preconditioner's dense work: the local parts of both layers."""

import numpy as np
import numpy.typing as npt

from tankside.field.integrals import WORK, near_row
from tankside.field.kernels import kernel


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
    local = np.zeros((geometry.shape[0], m))
    s, k, work = np.zeros(m), np.zeros(m), np.zeros((WORK, m))
    chosen = np.zeros(m, dtype=np.int64)
    for b in range(blocks):
        for part in range(len(local)):
            for column in range(m):
                local[part, column] = geometry[part, index[b, column]]
        for row in range(m):
            near_row(local, row, mirrored, 0, m, s, k, work, chosen)
            for column in range(m):
                single[b, row, column] = s[column]
                half_less_double[b, row, column] = -k[column]
            half_less_double[b, row, row] += 0.5
