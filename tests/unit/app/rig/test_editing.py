"""A rig's fields: untouched answers leave the file alone, parts take their contacts along, things
are added and taken away, and every wrong answer has its sentence."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from tankside.app.rig.changing import ADDED, SHAPES
from tankside.app.rig.editing import length_text, point_of
from tankside.app.rig.keeping import Rig, RigDesk
from tankside.app.rig.poses import Pose, angles_of, direction_of
from tankside.app.work.plan_form import FormFault
from tankside.base.errors import BadInput, UnknownName
from tests.unit.app.rig.bench import desk_over, hung


@pytest.fixture
def desk(tmp_path: Path) -> RigDesk:
    return desk_over(tmp_path)


@pytest.fixture
def rig(desk: RigDesk) -> Rig:
    return hung(desk)


def answered(desk: RigDesk, rig: Rig, **typed: str) -> dict[str, Any]:
    answers = {key.replace("_", "."): value for key, value in typed.items()}
    return tomllib.loads(desk.answered(rig, rig.value.text, answers))


def test_answers_left_as_they_are_change_nothing(desk: RigDesk, rig: Rig) -> None:
    groups = desk.groups(rig, rig.value.text)
    typed = {one.key: one.value for group in groups for one in group.fields}
    assert len(typed) > 40
    again = tomllib.loads(desk.answered(rig, rig.value.text, typed))
    assert again == tomllib.loads(rig.value.text)


def test_an_answer_is_kept_as_it_was_typed(desk: RigDesk, rig: Rig) -> None:
    job = answered(desk, rig, anode_0_at_0="-12,5 cm", tank_inside_2="10 in", contact_0_wire="1 mm")
    assert job["anode"][0]["at"] == ["-12,5 cm", "0 cm", "10 cm"]
    assert job["tank"]["inside"][2] == "10 in"
    assert job["contact"][0]["wire"] == "1 mm"


def test_a_part_takes_its_contacts_along(desk: RigDesk, rig: Rig) -> None:
    job = answered(desk, rig, part_0_middle_0="3 cm", part_0_rotate_0="90 deg")
    assert point_of(job["part"]["at"]) == pytest.approx((0.03, 0.0, 0.10))
    turned = Rotation.from_euler("xyz", [90, 0, 0], degrees=True).apply([0.0, 0.0, 0.02])
    expected = np.array([0.03, 0.0, 0.10]) + turned
    assert point_of(job["contact"][0]["near"]) == pytest.approx(expected, abs=1e-6)


def test_a_contact_placed_in_the_same_breath_stays_where_it_was_put(
    desk: RigDesk, rig: Rig
) -> None:
    job = answered(desk, rig, part_0_middle_2="8 cm", contact_0_near_2="10 cm")
    assert job["contact"][0]["near"] == ["0 cm", "0 cm", "10 cm"]


def test_a_direction_is_two_angles(desk: RigDesk, rig: Rig) -> None:
    job = answered(desk, rig, anode_1_facing_turn="90 deg")
    assert job["anode"][1]["facing"] == [0.0, 1.0, 0.0]


def test_a_surface_is_a_coat_or_metal(desk: RigDesk, rig: Rig) -> None:
    job = answered(desk, rig, part_0_surface="coat")
    assert job["part"]["seed"] == {"sheet_resistance": "10 ohm"}
    assert "surface" not in job["part"]


@pytest.mark.parametrize(
    ("key", "answer", "words"),
    [
        ("anode.0.at.0", "13", "unit"),
        ("anode.0.size.0", "-8 cm", "above zero"),
        ("tank.liquid_depth", "deep", "deep"),
        ("contact.0.insulated", "perhaps", "not one of no, yes"),
        ("goal.thickness", "-5 um", "above zero"),
    ],
)
def test_a_wrong_answer_is_told_at_its_field(
    desk: RigDesk, rig: Rig, key: str, answer: str, words: str
) -> None:
    with pytest.raises(FormFault) as caught:
        desk.answered(rig, rig.value.text, {key: answer})
    assert list(caught.value.faults) == [key]
    assert words in caught.value.faults[key]


@pytest.mark.parametrize("what", ADDED)
def test_what_is_added_can_be_planned(desk: RigDesk, rig: Rig, what: str) -> None:
    text = desk.acted(rig, rig.value.text, {}, f"add:{what}")
    name = what.partition("-")[0]
    before = tomllib.loads(rig.value.text).get(name, [])
    assert len(tomllib.loads(text)[name]) == len(before) + 1


def test_a_contact_is_added_where_the_surface_was_clicked(desk: RigDesk, rig: Rig) -> None:
    text = desk.acted(rig, rig.value.text, {}, "add:contact", (0.02, 0.005, 0.11))
    near = tomllib.loads(text)["contact"][1]["near"]
    assert near == ["20 mm", "5 mm", "110 mm"]
    scene = desk.scene(rig, text)
    assert scene.refusal == ""
    assert scene.drawing["contacts"][1]["at_m"] == pytest.approx([0.02, 0.005, 0.11], abs=1e-4)


def test_things_are_copied_and_taken_away(desk: RigDesk, rig: Rig) -> None:
    fewer = desk.acted(rig, rig.value.text, {}, "remove:anode.0")
    assert len(tomllib.loads(fewer)["anode"]) == 1
    with pytest.raises(BadInput, match="the last anode stays"):
        desk.acted(rig, fewer, {}, "remove:anode.0")
    more = desk.acted(rig, rig.value.text, {}, "copy:anode.1")
    assert tomllib.loads(more)["anode"][2] == tomllib.loads(more)["anode"][1]


@pytest.mark.parametrize("act", ["add:boat", "remove:anode.7", "remove:part.0", "tank:egg", "fly"])
def test_an_act_that_is_not_known_is_refused(desk: RigDesk, rig: Rig, act: str) -> None:
    with pytest.raises(UnknownName):
        desk.acted(rig, rig.value.text, {}, act)


@pytest.mark.parametrize("shape", SHAPES)
def test_a_tank_of_another_shape_is_about_as_large(desk: RigDesk, rig: Rig, shape: str) -> None:
    text = desk.acted(rig, rig.value.text, {}, f"tank:{shape}")
    floor = np.array(desk.scene(rig, text).drawing["tank"]["floor_m"])
    assert np.ptp(floor[:, 1]) == pytest.approx(0.20, rel=0.02)


def test_angles_and_directions_are_one_another() -> None:
    for turn, tilt in ((0, 0), (90, 0), (-135, 30), (20, -90), (0, 90)):
        x, y, z = direction_of(turn, tilt)
        expected = [
            np.cos(np.radians(turn)) * np.cos(np.radians(tilt)),
            np.sin(np.radians(turn)) * np.cos(np.radians(tilt)),
            np.sin(np.radians(tilt)),
        ]
        assert [x, y, z] == pytest.approx(expected, abs=1e-8)
        if abs(tilt) < 90:
            assert angles_of((x, y, z)) == pytest.approx((turn, tilt), abs=1e-6)


def test_a_place_on_a_part_stays_on_it() -> None:
    box = ((-0.01, 0.0, 0.0), (0.03, 0.02, 0.05))
    old = Pose(at=(0.1, 0.0, 0.1), rotate=(0.0, 0.0, 0.0))
    new = Pose(at=(0.0, 0.0, 0.0), rotate=(20.0, 30.0, 40.0)).with_middle((0.0, 0.1, 0.2), box)
    assert new.middle(box) == pytest.approx((0.0, 0.1, 0.2))
    corner = old.carried((0.1 - 0.01, 0.0, 0.1), new)
    distance = np.linalg.norm(np.array(corner) - new.middle(box))
    assert distance == pytest.approx(np.linalg.norm([0.02, 0.01, 0.025]))


def test_lengths_are_written_to_the_thousandth() -> None:
    assert length_text(0.1234567) == "123.457 mm"
    assert length_text(-1e-10) == "0 mm"
