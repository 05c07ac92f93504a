"""Frames and rotations."""

import numpy as np
import pytest

from tankside.cell.placing import frame_facing, posed, rotation_matrix, unit
from tests.unit.cell.scenes import block


def test_rotations_run_about_x_then_y_then_z() -> None:
    turned = rotation_matrix((90.0, 0.0, 90.0)) @ [0.0, 1.0, 0.0]
    assert turned.tolist() == [0.0, 0.0, 1.0]
    turned = rotation_matrix((0.0, 90.0, 90.0)) @ [1.0, 0.0, 0.0]
    assert turned.tolist() == [0.0, 0.0, -1.0]


@pytest.mark.parametrize("quarters", [-3, -1, 1, 2, 5])
def test_quarter_turns_are_exact(quarters: int) -> None:
    matrix = rotation_matrix((0.0, 0.0, 90.0 * quarters))
    assert set(np.abs(matrix).ravel().tolist()) == {0.0, 1.0}
    assert np.linalg.det(matrix) == 1.0


def test_a_rotation_turns_lengths_into_themselves() -> None:
    matrix = rotation_matrix((17.0, -64.0, 211.0))
    assert matrix @ matrix.T == pytest.approx(np.eye(3), abs=1e-15)


@pytest.mark.parametrize("facing", [(1, 0, 0), (0, -2, 0), (0.3, 0.4, -0.5), (0, 0, 1), (0, 0, -7)])
def test_a_frame_is_right_handed_with_its_width_level(facing: tuple[float, ...]) -> None:
    frame = frame_facing((facing[0], facing[1], facing[2]))
    width, height, face = frame.T
    assert frame.T @ frame == pytest.approx(np.eye(3), abs=1e-15)
    assert np.linalg.det(frame) == pytest.approx(1.0)
    assert face == pytest.approx(np.array(facing) / np.linalg.norm(facing))
    assert width[2] == 0
    assert height[2] >= 0


def test_a_mesh_turns_about_its_origin_which_goes_where_it_is_put() -> None:
    mesh = block((0.1, 0.2, 0.3)).moved(np.eye(3), np.array([0.5, 0.0, 0.0]))
    low, high = posed(mesh, (1.0, 2.0, 3.0), (0.0, 0.0, 90.0)).box
    assert low == pytest.approx([0.9, 2.45, 2.85])
    assert high == pytest.approx([1.1, 2.55, 3.15])


def test_a_unit_vector_of_a_tiny_one() -> None:
    assert unit(np.array([3e-200, 4e-200, 0.0])) == pytest.approx([0.6, 0.8, 0.0])
