"""Moving a part moves what hangs on it, and nothing else."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from tankside.plan.rigs.rig import (
    STEP_M,
    Rig,
    Turn,
    box_of,
    in_tank,
    middle_of,
    on_part,
    rotation_of,
    with_part_moved,
)


@pytest.fixture
def moved(cup_rig: Rig) -> Rig:
    turn = Rotation.from_euler("xyz", [20, -35, 140], degrees=True)
    return Rig(description=with_part_moved(cup_rig.description, 1, turn, np.array([0.03, 0, 0.08])))


def test_the_middle_goes_where_it_is_asked_to_half_a_step(moved: Rig) -> None:
    part = moved.description.parts[0]
    assert middle_of(part) == pytest.approx([0.03, 0.0, 0.08], abs=0.51 * STEP_M)
    assert np.round(np.array(part.at) / STEP_M) * STEP_M == pytest.approx(part.at, abs=1e-12)
    assert list(part.rotation) == [round(angle) for angle in part.rotation]


def test_the_wire_keeps_its_place_on_the_part(cup_rig: Rig, moved: Rig) -> None:
    before, after = cup_rig.description, moved.description
    where = on_part(before.parts[0], before.contacts[0].near)
    assert on_part(after.parts[0], after.contacts[0].near) == pytest.approx(where, abs=1e-9)
    assert in_tank(after.parts[0], where) == pytest.approx(after.contacts[0].near, abs=1e-9)


def test_nothing_else_moves(cup_rig: Rig, moved: Rig) -> None:
    assert moved.description.anodes == cup_rig.description.anodes
    assert moved.description.tank == cup_rig.description.tank


def test_a_wires_own_way_is_given_up_when_its_part_moves(cup_rig: Rig) -> None:
    contacts = tuple(replace(c, via=((0.0, 0.0, 0.12),)) for c in cup_rig.description.contacts)
    led = replace(cup_rig.description, contacts=contacts)
    assert with_part_moved(led, 1, Rotation.identity(), np.zeros(3)).contacts[0].via == ()


def test_stages_fill_the_time_and_turn_about_the_own_middle(moved: Rig) -> None:
    turned = replace(moved, turn=Turn(after=0.4, angle=90.0))
    (first, before), (second, after) = turned.stages()
    assert (first, second) == (0.4, 0.6)
    assert before == moved.description
    assert middle_of(after.parts[0]) == pytest.approx(middle_of(before.parts[0]), abs=STEP_M)
    quarter = Rotation.from_euler("z", 90, degrees=True) * rotation_of(before.parts[0])
    away = (quarter.inv() * rotation_of(after.parts[0])).magnitude()
    assert np.degrees(away) < 1.5  # angles are whole degrees


def test_without_a_turn_there_is_one_stage(cup_rig: Rig) -> None:
    assert list(cup_rig.stages()) == [(1.0, cup_rig.description)]


def test_the_box_is_that_of_the_turned_corners(cup_rig: Rig) -> None:
    low, high = box_of(cup_rig.description.parts[0])
    assert low == pytest.approx([-0.02, -0.02, 0.05])
    assert high == pytest.approx([0.02, 0.02, 0.09])
