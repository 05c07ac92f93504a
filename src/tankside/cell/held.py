"""What of a part hangs on its wires: a part may be several bodies that stand apart, and each must
be held by a contact, or stand so near to one that is held that a print joins them.

Without this a body that floats away, and that no current reaches, would be planned as plated.
"""

from collections.abc import Sequence

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.base.errors import Impossible
from tankside.base.messages import said
from tankside.cell.bodies import Contact, Role
from tankside.cell.nearness import Nearness
from tankside.cell.standing import Standing
from tankside.cell.wording import length
from tankside.part.mesh import TriangleMesh

JOINED = 3e-4
"""Bodies of one part nearer than this are one after printing [m]: our guess, under the width of a
printer's line and over its clearance."""


def check_all_held(bodies: Sequence[Standing], contacts: Sequence[Contact]) -> None:
    """Every body of every part hangs on a contact, by itself or by what it is joined to."""
    for thing in bodies:
        if thing.role is Role.PART:
            held = [c.triangle for c in contacts if c.part == thing.number]
            _check_part(thing.name, thing.solid.mesh, held)


def _check_part(name: str, mesh: TriangleMesh, held: Sequence[int]) -> None:
    from tankside.part.topology import pieces_of  # imported here: pages look at cells without it

    label = pieces_of(mesh.triangles, len(mesh.vertices))
    count = int(label.max()) + 1
    if count == 1:
        return
    reached = np.zeros(count, dtype=bool)
    reached[label[list(held)]] = True
    reached |= _hollows(mesh, label, count)
    loose, gap = _loose(mesh, label, reached)
    if not len(loose):
        return
    corners = mesh.corners[label == loose[0]].reshape(-1, 3)
    low, high = corners.min(axis=0), corners.max(axis=0)
    more = said(" (and {more} more)", more=len(loose) - 1) if len(loose) > 1 else ""
    raise Impossible(
        "{name} falls into {count} bodies that stand apart, and no contact holds the one about "
        "{place}{more}: it is {gap} from what hangs on a wire; give it a contact of its own, or "
        "join it to the rest in the mesh",
        name=name,
        count=count,
        place=_coordinates((low + high) / 2),
        more=more,
        gap=length(gap),
    )


def _hollows(mesh: TriangleMesh, label: Ints, count: int) -> Bools:
    """Which pieces face inwards, as the wall of a sealed hollow does."""
    middle = mesh.vertices.mean(axis=0)
    shares = np.einsum("ij,ij->i", mesh.centroids - middle, mesh.area_vectors)
    inward: Bools = np.bincount(label, shares, count) < 0
    return inward


def _loose(mesh: TriangleMesh, label: Ints, reached: Bools) -> tuple[Ints, float]:
    """The pieces that hang on nothing, and how far the first is from what hangs [m]."""
    while True:
        rest = np.flatnonzero(~reached[label])
        if not len(rest):
            return np.zeros(0, dtype=np.int64), 0.0
        held = mesh.triangles[reached[label]]
        away = np.full(len(reached), np.inf)
        corners = Nearness(mesh.vertices, held).distances(mesh.corners[rest].reshape(-1, 3))
        np.minimum.at(away, np.repeat(label[rest], 3), corners)
        near = away < JOINED
        if not near.any():
            loose = np.flatnonzero(~reached)
            return loose, float(away[loose[0]])
        reached = reached | near


def _coordinates(position: Floats) -> str:
    return "[" + ", ".join(str(length(float(value))) for value in position) + "]"
