"""Points that were meant to be one become one: the first of them in order."""

import numpy as np

from tankside.base.arrays import Floats, Ints


def welded(points: Floats, distance: float) -> tuple[Floats, Ints]:
    """Distinct points (m, 3) and, per given point, the number of the one it became (n,).

    Points within `distance` [m] of each other become the first of them; no chain is followed, so
    distinct points must lie more than twice as far apart.
    """
    first = np.arange(len(points))
    from scipy.spatial import cKDTree  # a server's start need not wait for it

    for low, high in cKDTree(points).query_pairs(distance, output_type="ndarray"):
        first[high] = min(first[high], low)
    first = first[first]
    kept, place = np.unique(first, return_inverse=True)
    return points[kept], place.reshape(-1).astype(np.int64)
