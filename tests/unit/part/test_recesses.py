"""Depth to width of recesses that are drilled and cut to measure."""

import manifold3d
import numpy as np
import pytest

from tankside.part.mesh import TriangleMesh
from tankside.part.recesses import deepest_recesses
from tests.unit.part.solids import box, cup, drilled, from_manifold, rotation, sphere

BLOCK = manifold3d.Manifold.cube((0.04, 0.04, 0.04), True)


@pytest.mark.parametrize("ratio", [1.0, 2.0, 4.0, 8.0])
@pytest.mark.parametrize("angle", [0.0, 0.9])
def test_a_drilled_hole_has_its_depth_to_its_width(ratio: float, angle: float) -> None:
    mesh = drilled(0.04, 0.02 / ratio, 0.02).moved(rotation(angle), np.array([0.1, 0.0, -0.2]))
    found = deepest_recesses(mesh)
    assert len(found.recesses) == 1
    recess = found.recesses[0]
    assert recess.ratio == pytest.approx(ratio, rel=0.01)
    assert recess.depth == pytest.approx(0.02, rel=0.01)
    assert recess.width == pytest.approx(0.02 / ratio, rel=1e-3)
    assert not recess.passage
    axis = rotation(angle) @ np.array([0.0, 0.0, 1.0])
    assert (recess.mouth - recess.floor) @ axis == pytest.approx(0.02, rel=0.01)
    assert found.hidden_area_fraction == 0.0


def test_a_hole_right_through_counts_half_its_length() -> None:
    through = from_manifold(BLOCK - manifold3d.Manifold.cylinder(0.1, 0.005, 0.005, 64, True))
    found = deepest_recesses(through).recesses
    assert len(found) == 1
    assert found[0].passage
    assert found[0].ratio == pytest.approx(2.0, rel=0.01)
    assert found[0].floor == pytest.approx([0.0, 0.0, 0.0], abs=1e-3)


def test_a_slot_has_its_depth_to_its_narrow_width() -> None:
    slot = manifold3d.Manifold.cube((0.004, 0.03, 0.012)).translate((0.0, -0.015, 0.008))
    found = deepest_recesses(from_manifold(BLOCK - slot)).recesses
    assert len(found) == 1
    assert found[0].ratio == pytest.approx(3.0, rel=0.01)


def test_a_groove_open_at_its_ends_is_as_deep_as_it_is_high() -> None:
    groove = manifold3d.Manifold.cube((0.004, 0.1, 0.012), True).translate((0.0, 0.0, 0.014))
    found = deepest_recesses(from_manifold(BLOCK - groove)).recesses
    assert found[0].ratio == pytest.approx(3.0, rel=0.01)
    assert len(found) == 1


def test_a_vee_counts_as_its_definition_says() -> None:
    """The gap square to a wall is s tan(2 a) at s along it, doubles at 2 s, and the axis through
    its middle starts at s / 2: 1.5 / tan(2 a), whatever the height."""
    vee = manifold3d.CrossSection([[[0.0, 0.0], [0.006, 0.02], [-0.006, 0.02]]])
    cut = manifold3d.Manifold.extrude(vee, 0.1).rotate((90, 0, 0)).translate((0.0, 0.05, 0.0))
    found = deepest_recesses(from_manifold(BLOCK - cut)).recesses
    expected = 1.5 / np.tan(2 * np.arctan(0.3))
    assert 0.9 * expected <= found[0].ratio <= 1.01 * expected
    assert len(found) <= 2


def test_a_cup_is_its_own_recess() -> None:
    found = deepest_recesses(cup(0.05, 0.022, 0.02, 0.002, sides=64)).recesses
    assert found[0].ratio == pytest.approx(48 / (40 * np.cos(np.pi / 64)), rel=0.01)


def test_the_deeper_of_two_holes_comes_first() -> None:
    wide = manifold3d.Manifold.cylinder(0.02, 0.004, 0.004, 48).translate((-0.01, 0.0, 0.008))
    narrow = manifold3d.Manifold.cylinder(0.02, 0.001, 0.001, 48).translate((0.01, 0.0, 0.01))
    found = deepest_recesses(from_manifold(BLOCK - wide - narrow)).recesses
    assert [recess.ratio for recess in found] == pytest.approx([5.0, 1.5], rel=0.02)
    assert [round(recess.mouth[0], 3) for recess in found] == [0.01, -0.01]


@pytest.mark.parametrize("mesh", [box(), sphere(0.02, 64)])
def test_convex_parts_have_none(mesh: TriangleMesh) -> None:
    found = deepest_recesses(mesh)
    assert found.recesses == ()
    assert found.hidden_area_fraction == 0.0


def test_a_room_behind_a_small_door_is_hidden() -> None:
    """A hollow sphere with a hole of a tenth of its width: most of its wall sees no way out."""
    hollow = manifold3d.Manifold.sphere(0.018, 64) - manifold3d.Manifold.sphere(0.015, 64)
    door = manifold3d.Manifold.cylinder(0.02, 0.0015, 0.0015, 32).translate((0.0, 0.0, 0.005))
    mesh = from_manifold(hollow - door)
    inner = 4 * np.pi * 0.015**2 / mesh.area
    assert deepest_recesses(mesh).hidden_area_fraction > 0.8 * inner


def test_size_does_not_matter() -> None:
    small = drilled(0.04, 0.005, 0.015)
    large = small.moved(25.0 * np.eye(3), np.zeros(3))
    one, other = deepest_recesses(small).recesses[0], deepest_recesses(large).recesses[0]
    assert one.ratio == pytest.approx(other.ratio, rel=1e-6)
    assert 25.0 * one.depth == pytest.approx(other.depth, rel=1e-6)
