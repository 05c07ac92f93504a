"""Where a part hangs, told by the middle of its box, and how its contacts go with it."""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.cell.description import Vector
from tankside.cell.placing import rotation_matrix

Box = tuple[Vector, Vector]
"""Low and high corner of a part in the coordinates of its file [m]."""


@dataclass(frozen=True, slots=True)
class Pose:
    """Where the file's origin goes [m], after turning about x, y and z [degrees]."""

    at: Vector
    rotate: Vector

    def middle(self, box: Box) -> Vector:
        """Where the middle of the part's box hangs [m]."""
        return _vector(np.array(self.at) + rotation_matrix(self.rotate) @ _centre(box))

    def with_middle(self, middle: Vector, box: Box) -> "Pose":
        """The same turn with the middle of the box elsewhere [m]."""
        turned = rotation_matrix(self.rotate) @ _centre(box)
        return Pose(at=_vector(np.array(middle) - turned), rotate=self.rotate)

    def carried(self, place: Vector, new: "Pose") -> Vector:
        """A place that goes with the part from this pose to a new one [m]."""
        on_part = rotation_matrix(self.rotate).T @ (np.array(place) - np.array(self.at))
        return _vector(np.array(new.at) + rotation_matrix(new.rotate) @ on_part)

    def top(self, box: Box) -> Vector:
        """Above the middle, at the height of the highest corner of the box [m]."""
        low, high = np.array(box[0]), np.array(box[1])
        half = np.abs(rotation_matrix(self.rotate)) @ (high - low) / 2
        x, y, z = self.middle(box)
        return (x, y, z + float(half[2]))


def angles_of(direction: Vector) -> tuple[float, float]:
    """A direction's turn from above and its tilt upwards [degrees]."""
    x, y, z = direction
    level = float(np.hypot(x, y))
    turn = float(np.degrees(np.arctan2(y, x))) if level > 0 else 0.0
    return turn, float(np.degrees(np.arctan2(z, level)))


def direction_of(turn: float, tilt: float) -> Vector:
    """The direction of a turn and a tilt [degrees]; exact along the axes."""
    matrix = rotation_matrix((0.0, -tilt, turn))
    return _vector(np.round(matrix[:, 0], 9) + 0.0)


def _centre(box: Box) -> Floats:
    return np.asarray((np.array(box[0]) + np.array(box[1])) / 2)


def _vector(values: Floats) -> Vector:
    x, y, z = (float(value) for value in values)
    return (x, y, z)
