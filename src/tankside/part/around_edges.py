"""Which triangles belong together at an edge that more than two triangles share.

Going round the edge, material begins behind one triangle and ends at the next; the two that enclose
one wedge of material belong to one body. Two boxes that touch along an edge or over a face are so
told apart. Where the winding around the edge does not balance, nothing can be told, and all of its
triangles belong together.
"""

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.part.mesh import TriangleMesh

_SAME_ANGLE = 1e-6


def paired_around(mesh: TriangleMesh, corners: Ints, sides: list[Ints]) -> tuple[Ints, Ints]:
    """(first, second) triangles that belong together at edges `corners` (n, 2), each with the
    numbers of its sides (3 t + k) in `sides`."""
    first: list[int] = []
    second: list[int] = []
    for (low, high), around in zip(corners.tolist(), sides, strict=True):
        for one, two in _pairs_at(mesh, low, high, around):
            first.append(one)
            second.append(two)
    return np.array(first, dtype=np.int64), np.array(second, dtype=np.int64)


def _pairs_at(mesh: TriangleMesh, low: int, high: int, sides: Ints) -> list[tuple[int, int]]:
    owners = (sides // 3).tolist()
    closes = mesh.triangles.reshape(-1)[sides] == low
    axis = mesh.vertices[high] - mesh.vertices[low]
    if 2 * closes.sum() != len(sides) or not axis.any():
        return [(owners[0], other) for other in owners[1:]]
    opposite = mesh.vertices[mesh.triangles[sides // 3, (sides + 2) % 3]] - mesh.vertices[low]
    angle = _angles(opposite, axis)
    order = np.lexsort((~closes, np.round(angle / _SAME_ANGLE)))
    steps = np.where(closes[order], -1, 1)
    start = int(np.argmin(np.cumsum(steps))) + 1
    open_ones: list[int] = []
    pairs = []
    for place in np.roll(order, -start).tolist():
        if not closes[place]:
            open_ones.append(owners[place])
        else:
            pairs.append((open_ones.pop(), owners[place]))
    return pairs


def _angles(directions: Floats, axis: Floats) -> Floats:
    """Angles of directions (n, 3) around the axis, from the first of them, in [0, 2 pi)."""
    axis = axis / np.linalg.norm(axis)
    across = directions - np.outer(directions @ axis, axis)
    sine = np.cross(across[0], across) @ axis
    angle = np.arctan2(sine, across @ across[0])
    return np.asarray((angle + _SAME_ANGLE / 2) % (2 * np.pi))
