"""Which corners stand at the same place.

`same_place` joins corners whose coordinates are equal bit by bit (and 0 with -0); `near_places`
joins those within a distance of each other, and chains of them. Both return a numbering and leave
the arrays alone: what is done with it is the caller's to do and to say.
"""

import numpy as np

from tankside.base.arrays import Floats, Ints


def same_place(points: Floats) -> tuple[Ints, Ints]:
    """(first, number): points (n, 3) fall into len(first) places; place `number[i]` is point i's,
    and first[k] is the first point at place k. Places are numbered in order of first mention."""
    keys = _hashed(points)
    order = np.argsort(keys, kind="stable")
    new = np.ones(len(points), dtype=np.bool_)
    new[1:] = keys[order[1:]] != keys[order[:-1]]
    if _collided(points, order, new):
        order = np.lexsort((np.arange(len(points)), *(points.T + 0.0)))
        new[1:] = (points[order[1:]] != points[order[:-1]]).any(axis=1)
    place_in_order = np.cumsum(new) - 1
    number = np.zeros(len(points), dtype=np.int64)
    number[order] = place_in_order
    return _by_first_mention(order[new], number)


def near_places(points: Floats, distance: float) -> tuple[Ints, Ints]:
    """As `same_place`, for points within `distance` [unit of points] of each other."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    pairs = cKDTree(points).query_pairs(distance, output_type="ndarray")
    links = coo_array(
        (np.ones(len(pairs), dtype=np.bool_), (pairs[:, 0], pairs[:, 1])),
        shape=(len(points), len(points)),
    )
    number = connected_components(links, directed=False)[1].astype(np.int64)
    first = np.unique(number, return_index=True)[1]
    return _by_first_mention(first.astype(np.int64), number)


def _hashed(points: Floats) -> np.ndarray[tuple[int], np.dtype[np.uint64]]:
    bits = (points + 0.0).view(np.uint64).reshape(-1, 3)
    mixed = np.zeros(len(bits), dtype=np.uint64)
    for axis in range(3):
        mixed = (mixed ^ bits[:, axis]) * np.uint64(0x9E3779B97F4A7C15)
        mixed ^= mixed >> np.uint64(29)
    return mixed


def _collided(points: Floats, order: Ints, new: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> bool:
    follows = ~new[1:]
    return bool((points[order[1:]][follows] != points[order[:-1]][follows]).any())


def _by_first_mention(first: Ints, number: Ints) -> tuple[Ints, Ints]:
    order = np.argsort(first, kind="stable")
    rank = np.zeros(len(first), dtype=np.int64)
    rank[order] = np.arange(len(first))
    return first[order], rank[number]
