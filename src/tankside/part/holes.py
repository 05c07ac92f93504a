"""The holes of a mesh: loops of edges that only one triangle has.

Loops that touch in a corner are told apart. Where the winding around the border does not let the
edges be followed, the whole run of edges is one hole that is not simple.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, Ints, frozen_floats, frozen_ints
from tankside.part.mesh import TriangleMesh
from tankside.part.topology import Edges, joined_labels


@dataclass(frozen=True, kw_only=True)
class Hole:
    """A run of edges that only one triangle has.

    corners  corner numbers; where simple, in the order that winds a lid like its neighbours
    edges    how many
    length   around [m]
    extent   diagonal of the box around it [m]
    centre   mean of its corners (3,) [m]
    simple   whether it is one loop that passes no corner twice
    """

    corners: Ints
    edges: int
    length: float
    extent: float
    centre: Floats
    simple: bool

    def __post_init__(self) -> None:
        object.__setattr__(self, "corners", frozen_ints(self.corners))
        object.__setattr__(self, "centre", frozen_floats(self.centre))


def holes_of(mesh: TriangleMesh, edges: Edges) -> tuple[Hole, ...]:
    """The holes of a mesh, the longest first."""
    side = np.flatnonzero((edges.count == 1)[edges.edge.reshape(-1)])
    if not len(side):
        return ()
    start = np.roll(mesh.triangles, -1, axis=1).reshape(-1)[side]
    end = mesh.triangles.reshape(-1)[side]
    corners, local = np.unique(np.concatenate([start, end]), return_inverse=True)
    run = joined_labels(local[: len(start)], local[len(start) :], len(corners))[local[: len(start)]]
    order = np.argsort(run, kind="stable")
    holes: list[Hole] = []
    for group in np.split(order, np.flatnonzero(np.diff(run[order])) + 1):
        loops = _loops(start[group], end[group])
        if loops is None:
            holes.append(_hole(mesh, start[group], end[group], simple=False))
        else:
            holes += [_hole(mesh, loop, np.roll(loop, -1), simple=True) for loop in loops]
    return tuple(sorted(holes, key=lambda hole: -hole.length))


def _hole(mesh: TriangleMesh, start: Ints, end: Ints, *, simple: bool) -> Hole:
    corners = start if simple else np.unique(np.concatenate([start, end]))
    points = mesh.vertices[corners]
    sides = mesh.vertices[end] - mesh.vertices[start]
    return Hole(
        corners=corners,
        edges=len(start),
        length=float(np.linalg.norm(sides, axis=1).sum()),
        extent=float(np.linalg.norm(points.max(axis=0) - points.min(axis=0))),
        centre=points.mean(axis=0),
        simple=simple,
    )


def _loops(start: Ints, end: Ints) -> list[Ints] | None:
    """The edges as loops that pass no corner twice, or None where they do not close."""
    if not np.array_equal(np.sort(start), np.sort(end)):
        return None
    following: dict[int, list[int]] = {}
    for one, two in zip(start.tolist(), end.tolist(), strict=True):
        following.setdefault(one, []).append(two)
    loops: list[Ints] = []
    for first, steps in following.items():
        while steps:
            loops += _loops_from(first, following)
    return loops


def _loops_from(first: int, following: dict[int, list[int]]) -> list[Ints]:
    """The loops met on a walk from `first` back to it; its steps are taken out of `following`."""
    loops: list[Ints] = []
    path, place = [first], {first: 0}
    while True:
        step = following[path[-1]].pop()
        if step not in place:
            place[step] = len(path)
            path.append(step)
            continue
        loops.append(np.array(path[place[step] :], dtype=np.int64))
        if step == first:
            return loops
        for corner in path[place[step] + 1 :]:
            del place[corner]
        del path[place[step] + 1 :]
