"""Gains, costs and changes in words that can be followed at the tank."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from tankside.cell.description import Plate, Rod
from tankside.plan.rigs.comparison import changes, gains_and_costs, rig_numbers
from tankside.plan.rigs.goals import RigGoal, RigWish
from tankside.plan.rigs.rig import Rig, Turn, with_part_moved
from tankside.plan.rigs.rules_of_thumb import rule_current, rule_rig
from tests.unit.plan.rigs.test_goals import FIGURES

WISH = RigWish(goal=RigGoal.THINNEST, thickness=1e-4)
OWN = rig_numbers(FIGURES, FIGURES, WISH)


def test_the_own_rig_reaches_its_thickness_in_its_own_time() -> None:
    assert OWN.thinnest_um == pytest.approx(100.0)
    assert OWN.hours == pytest.approx(1e5 / 3600)
    assert OWN.copper_g == pytest.approx(40.0)
    assert OWN.copper_elsewhere_g == pytest.approx(10.0)
    assert gains_and_costs(OWN, OWN) == ("No number differs by more than 2 %.",)


def test_gains_and_costs_are_told_with_their_size() -> None:
    better = replace(FIGURES, thinnest_rate=1.5e-9, part_thinnest_rates=(1.5e-9,), copper_rate=9e-7)
    numbers = rig_numbers(better, FIGURES, WISH)
    assert numbers.thinnest_um == pytest.approx(150.0)
    told = " ".join(gains_and_costs(numbers, OWN))
    for words in (
        "150 µm instead of 100 µm (+50 %)",
        "18.5 h instead of 27.8 h (-33 %)",
        "Copper used until then: 60 g instead of 40 g (+50 %)",
        "Costs 40 g of copper on",
    ):
        assert words in told


def test_the_own_rig_needs_no_change(block_rig: Rig) -> None:
    assert changes(block_rig, block_rig) == ("Nothing to move.",)


def test_every_change_is_told_once(block_rig: Rig) -> None:
    old = block_rig.description
    rotation = Rotation.from_euler("xyz", [0, 0, 45], degrees=True)
    new = with_part_moved(old, 1, rotation, np.array([0.02, 0.0, 0.07]))
    sheet = replace(old.anodes[1], size=(0.04, 0.08))
    rod = Rod(diameter=4e-3, length=0.05, at=(0.0, 0.05, 0.1))
    shield = Plate(size=(0.02, 0.03), at=(0.05, 0.0, 0.07))
    new = replace(new, anodes=(old.anodes[0], sheet, rod), shields=(shield,), thieves=(rod,))
    told = changes(
        Rig(description=new, turn=Turn(after=0.5, angle=180.0), current_share=0.8), block_rig
    )
    said = "\n".join(told)
    for words in (
        "Turn part 1 to [0, 0, 45] degrees",
        "Hang the middle of part 1 at (2.0, 0.0, 7.0) cm",
        "Hang anode 2, cut to 4 × 8 cm, at",
        "Add anode 3, a rod of 0.4 × 5 cm",
        "Add shield 1, a sheet of 2 × 3 cm",
        "Add thief 1, a rod",
        "After 50 % of the time, turn the part by 180 degrees",
        "Set 80 % of the highest current",
    ):
        assert said.count(words) == 1, words
    assert "anode 1" not in said
    assert "Hold" not in said  # the wire travels with the part


def test_another_place_for_a_wire_is_told(block_rig: Rig) -> None:
    old = block_rig.description
    wire = replace(old.contacts[0], near=(0.01, 0.0, 0.085))
    other = Rig(description=replace(old, contacts=(wire, old.contacts[0])))
    told = changes(other, block_rig)
    assert told[0] == "Hold with 2 wires instead of 1."
    assert told[1].startswith("Hold at (1.0, 0.0, 8.5) cm (contact 1)")
    assert len(told) == 2


def test_the_rules_rig_is_in_the_middle_between_equal_sheets(block_rig: Rig) -> None:
    moved = with_part_moved(
        block_rig.description, 1, Rotation.identity(), np.array([0.04, 0.03, 0.07])
    )
    rig = rule_rig(Rig(description=moved))
    one, other = rig.description.anodes
    assert isinstance(one, Plate)
    assert isinstance(other, Plate)
    assert one.at[0] == -other.at[0]
    assert rig.description.parts[0].at[:2] == pytest.approx((0.0, 0.0), abs=1e-9)
    area = 6 * 0.03**2
    assert one.size[0] * one.size[1] + other.size[0] * other.size[1] == pytest.approx(2 * area)
    assert rule_current(moved) == pytest.approx(200.0 * area)
