"""The preconditioner's loops: what lies around each block, and the local parts of both layers."""

import math

import numpy as np
import numpy.typing as npt

from tankside.field.cluster_kernels import gap
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


@kernel(
    "void(float64[:, ::1], int64[::1], int64[::1], float64[:, ::1], float64[:, ::1], int64,"
    " int64[:, ::1])"
)
def surround(
    centres: npt.NDArray[np.float64],
    first: npt.NDArray[np.int64],
    last: npt.NDArray[np.int64],
    low: npt.NDArray[np.float64],
    high: npt.NDArray[np.float64],
    begin: int,
    index: npt.NDArray[np.int64],
) -> None:
    """Set the rows of index (blocks, m), from core `begin` on, to a core's own places and then
    those closest to the box low..high of its centroids; cores first..last hold every place once."""
    cores, m = len(first), index.shape[1]
    gaps, places = np.empty(cores), np.empty(len(centres), dtype=np.int64)
    distances = np.empty(len(centres))
    for block in range(len(index)):
        core = begin + block
        own = last[core] - first[core]
        for k in range(own):
            index[block, k] = first[core] + k
        closest, diagonal = np.inf, 0.0
        for other in range(cores):
            gaps[other] = gap(low, high, core, low, high, other)
            if other != core:
                closest = min(closest, gaps[other])
        for k in range(3):
            diagonal += (high[core, k] - low[core, k]) ** 2
        # Look around as far as needed: a core's breadth at first, then farther.
        reach, found = closest + 0.5 * math.sqrt(diagonal), 0
        while own < m:
            found, inside, left = 0, 0, 0
            for other in range(cores):
                if other == core:
                    continue
                if gaps[other] > reach:
                    left += 1
                    continue
                for place in range(first[other], last[other]):
                    distance = gap(low, high, core, centres, centres, place)
                    if distance <= reach:
                        inside += 1
                    places[found], distances[found] = place, distance
                    found += 1
            if inside >= m - own or left == 0:
                break
            reach = 1.5 * reach + 1e-300
        if own < m:
            nearest = np.argsort(distances[:found], kind="mergesort")
            for k in range(m - own):
                index[block, own + k] = places[nearest[k]]
