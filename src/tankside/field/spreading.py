"""From moments of the rises at panels' corners to weights of the panels' potentials.

A rise is a sum over the potentials of the panels around (`reconstruction.py`). Many targets are
turned at once, side by side: what is gone through is the panels and corners, once for all of them.
"""

import numpy as np
import numpy.typing as npt

from tankside.field.kernels import Scalar, kernel

_Index = npt.NDArray[np.int64]
_Short = npt.NDArray[np.float32]
_Places = npt.NDArray[np.int32]


@kernel("int64(int64, int64[::1], int64[::1], int64)")
def slotted(item: int, slot: _Index, items: _Index, count: int) -> int:
    """Give `item` the next slot, `count`, if it has none yet; how many have one now."""
    if slot[item] >= 0:
        return count
    slot[item] = count
    items[count] = item
    return count + 1


@kernel("void(float32, float32[::1], float32[::1])")
def add_times(factor: Scalar, vector: _Short, result: _Short) -> None:
    """Add factor times vector to result."""
    for t in range(result.size):
        result[t] += factor * vector[t]


@kernel(
    "int64(int64[::1], int64[::1], int32[::1], float32[:, ::1], int32[:, ::1], float32[:, :, ::1],"
    " int64[::1], int32[::1], float32[:, ::1], int64, float32[:, :, ::1], float32[:, :, ::1],"
    " float32[:, ::1], int64[::1], int64[::1], int64[::1], int64[::1])"
)
def spread(
    slope_start: _Index,
    slope_count: _Index,
    slope_panel: _Places,
    slope_weight: _Short,
    number: _Places,
    part: _Short,
    corner_start: _Index,
    corner_panel: _Places,
    corner_weight: _Short,
    count: int,
    moments: _Short,
    sums: _Short,
    at_corner: _Short,
    slot: _Index,
    items: _Index,
    corner_slot: _Index,
    corner_items: _Index,
) -> int:
    """Turn moments[:, :count] (3, panels, targets) of the rises at the corners of the panels
    items[:count] into weights of the panels' potentials: sums[0, :k] (k, targets) for the panels
    items[:k], whose number k is returned.

    First come the panels' own gradients (sums[1:]) and their corners, then what panels the corners
    are means of, then what panels the gradients are fitted to. slot (n,) and corner_slot say where
    in `items` a panel stands, -1 for nowhere; the latter are -1 again afterwards.
    """
    panels, corners = count, 0
    for k in range(count):
        sums[:, k] = 0.0
        j = items[k]
        for side in range(3):
            c = number[j, side]
            now = slotted(c, corner_slot, corner_items, corners)
            if now > corners:
                at_corner[corners] = 0.0
                corners = now
            moment = moments[side, k]
            add_times(part[j, side, 0], moment, at_corner[corner_slot[c]])
            add_times(-part[j, side, 0], moment, sums[0, k])
            if part[j, side, 0] != 1.0:
                add_times(part[j, side, 1], moment, sums[1, k])
                add_times(part[j, side, 2], moment, sums[2, k])
    for k in range(corners):
        c = corner_items[k]
        corner_slot[c] = -1
        for at in range(corner_start[c], corner_start[c + 1]):
            j = corner_panel[at]
            now = slotted(j, slot, items, panels)
            if now > panels:
                sums[:, panels] = 0.0
                panels = now
            for row in range(3):
                add_times(corner_weight[at, row], at_corner[k], sums[row, slot[j]])
    for k in range(panels):  # those that the list gains meanwhile have no gradient's share
        j = items[k]
        along, across, here = sums[1, k], sums[2, k], sums[0, k]
        for at in range(slope_start[j], slope_start[j] + slope_count[j]):
            other = slope_panel[at]
            now = slotted(other, slot, items, panels)
            if now > panels:
                sums[:, panels] = 0.0
                panels = now
            there = sums[0, slot[other]]
            by_along, by_across = slope_weight[at, 0], slope_weight[at, 1]
            for t in range(there.size):
                share = by_along * along[t] + by_across * across[t]
                there[t] += share
                here[t] -= share
    return panels
