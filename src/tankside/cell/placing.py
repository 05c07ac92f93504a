"""Turns directions and poses into frames and rotation matrices.

A frame is three unit columns (width, height, face) that form a right-handed system. Rotations are
in degrees about the fixed axes x, then y, then z, so the matrix is Rz Ry Rx.
"""

import numpy as np

from tankside.base.arrays import Floats
from tankside.cell.description import Vector
from tankside.part.mesh import TriangleMesh


def posed(mesh: TriangleMesh, at: Vector, rotation: Vector) -> TriangleMesh:
    """The mesh turned about its origin by `rotation` [degrees], its origin put `at` [m]."""
    return mesh.moved(rotation_matrix(rotation), np.asarray(at, dtype=np.float64))


def rotation_matrix(degrees: Vector) -> Floats:
    """Rz Ry Rx (3, 3) of angles about x, y, z [degrees]; exact at multiples of 90."""
    x, y, z = (_plane_rotation(angle, axis) for axis, angle in enumerate(degrees))
    matrix: Floats = z @ y @ x
    return matrix


def frame_facing(facing: Vector) -> Floats:
    """Columns (width, height, face): face along `facing`, width level, height as far up as may be.

    A face straight up or down has its width along x.
    """
    face = unit(facing)
    level = np.cross([0.0, 0.0, 1.0], face)
    if np.linalg.norm(level) < 1e-9:
        face = np.array([0.0, 0.0, np.sign(face[2])])
        width = np.array([1.0, 0.0, 0.0])
    else:
        width = unit(level)
    return np.column_stack([width, np.cross(face, width), face])


def unit(vector: Vector | Floats) -> Floats:
    """The vector over its length."""
    array = np.asarray(vector, dtype=np.float64)
    longest = np.abs(array).max()
    scaled = array / longest
    direction: Floats = scaled / np.linalg.norm(scaled)
    return direction


def _plane_rotation(degrees: float, axis: int) -> Floats:
    quarter, rest = divmod(degrees, 90.0)
    turn = np.deg2rad(rest)
    cosine, sine = np.cos(turn), np.sin(turn)
    for _ in range(int(quarter) % 4):
        cosine, sine = -sine, cosine
    matrix = np.eye(3)
    one, two = (axis + 1) % 3, (axis + 2) % 3
    matrix[[one, two], [one, two]] = cosine
    matrix[one, two], matrix[two, one] = -sine, sine
    return matrix
