"""A rig as a value: how everything hangs, at which share of the current, and whether the parts are
turned part-way through.

Parts are moved by a turn and a new place of their middle; their contacts travel with them. What a
person cannot set is not told: places are rounded to half a millimetre, angles to a degree.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial.transform import Rotation

from tankside.base.arrays import Floats
from tankside.cell.description import CellDescription, ContactSpec, PlacedPart, Vector
from tankside.part.mesh import TriangleMesh

STEP_M = 5e-4
"""Places are told to this [m]: our choice, what a ruler over a tank gives."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """Part-way through, each part is turned about the upright line through its own middle: after
    this share of the time [-], by this angle [degrees], wires and all."""

    after: float
    angle: float


@dataclass(frozen=True, kw_only=True)
class Rig:
    """How everything hangs at the start; the turn, or None; and the share [-] of the highest
    current that every limit bears (of the person's own, where one is given)."""

    description: CellDescription
    turn: Turn | None = None
    current_share: float = 1.0

    def stages(self) -> Iterator[tuple[float, CellDescription]]:
        """Share of the time [-] and how everything hangs meanwhile; the shares add up to 1."""
        if self.turn is None:
            yield 1.0, self.description
            return
        yield self.turn.after, self.description
        description = self.description
        turn = Rotation.from_euler("z", self.turn.angle, degrees=True)
        for number, part in enumerate(self.description.parts, 1):
            turned = turn * rotation_of(part)
            description = with_part_moved(description, number, turned, middle_of(part))
        yield 1.0 - self.turn.after, description


def mesh_of(part: PlacedPart) -> TriangleMesh:
    """The part's skin in the coordinates of its file [m]."""
    return part.surface if isinstance(part.surface, TriangleMesh) else part.surface.mesh


def rotation_of(part: PlacedPart) -> Rotation:
    """Its turn about the fixed x, y and z axes, in this order."""
    return Rotation.from_euler("xyz", part.rotation, degrees=True)


def box_of(part: PlacedPart) -> tuple[Floats, Floats]:
    """Lowest and highest corner (3,) of the part as it hangs [m]."""
    turned = mesh_of(part).vertices @ rotation_of(part).as_matrix().T + np.array(part.at)
    return turned.min(axis=0), turned.max(axis=0)


def middle_of(part: PlacedPart) -> Floats:
    """Centre (3,) of the box of the part as it hangs [m]."""
    low, high = box_of(part)
    middle: Floats = (low + high) / 2
    return middle


def with_part_moved(
    description: CellDescription, number: int, rotation: Rotation, middle: Floats
) -> CellDescription:
    """The same cell with part `number` (from 1) turned to `rotation` and its box's centre at
    `middle` (3,) [m]. Its contacts keep their places on it, and find new ways up."""
    part = description.parts[number - 1]
    angles = rotation.as_euler("xyz", degrees=True)
    turned = replace(part, rotation=_vector(np.round(angles)), at=(0.0, 0.0, 0.0))
    moved = replace(turned, at=settable(middle - middle_of(turned)))
    parts = list(description.parts)
    parts[number - 1] = moved
    contacts = tuple(
        _carried(contact, part, moved) if _holds(contact, number) else contact
        for contact in description.contacts
    )
    return replace(description, parts=tuple(parts), contacts=contacts)


def on_part(part: PlacedPart, point: Vector) -> Floats:
    """A place in the tank in the coordinates of the part's file (3,) [m]."""
    place: Floats = (np.array(point) - np.array(part.at)) @ rotation_of(part).as_matrix()
    return place


def in_tank(part: PlacedPart, place: Floats) -> Floats:
    """A place in the coordinates of the part's file, in the tank (3,) [m]."""
    point: Floats = rotation_of(part).as_matrix() @ place + np.array(part.at)
    return point


def settable(place: Floats) -> Vector:
    """Rounded to what can be set by hand [m]."""
    return _vector(np.round(np.asarray(place) / STEP_M) * STEP_M)


def _holds(contact: ContactSpec, number: int) -> bool:
    return contact.part == number or (contact.part is None and number == 1)


def _carried(contact: ContactSpec, before: PlacedPart, after: PlacedPart) -> ContactSpec:
    near = in_tank(after, on_part(before, contact.near))
    return replace(contact, near=_vector(near), via=())


def _vector(values: Floats) -> Vector:
    x, y, z = (float(value) + 0.0 for value in values)
    return x, y, z
