"""Notes on how a cell hangs."""

from dataclasses import replace
from math import pi

import pytest

from tankside.cell.assembling import assembled
from tankside.cell.hanging import SOFT_COPPER_STRENGTH, wet_weight
from tests.unit.cell.scenes import FEW, LEFT, PLAIN, RIGHT, TOP, plain, with_contact, with_part

VOLUME = 0.03 * 0.02 * 0.06


def notes_about(word: str, notes: tuple[str, ...]) -> list[str]:
    return [note for note in notes if word in note]


def test_the_wet_weight_is_the_mass_less_what_is_displaced() -> None:
    assert wet_weight(0.1, VOLUME, 1100.0) == pytest.approx((0.1 - 0.0396) * 9.80665, rel=1e-12)


def test_a_light_part_floats_and_says_how_much_ballast() -> None:
    (note,) = notes_about("floats", assembled(with_part(mass=0.0296), panels=FEW).notes)
    assert note == "part 1 floats: it needs more than 10 g of ballast"
    assert not notes_about("floats", assembled(with_part(mass=0.04), panels=FEW).notes)


def test_a_wire_too_thin_for_the_weight_is_told() -> None:
    section = pi / 4 * TOP.wire_diameter**2
    holds = SOFT_COPPER_STRENGTH.value.low * section / 9.80665
    heavy = with_part(mass=0.0396 + 1.01 * holds)
    (note,) = notes_about("too thin", assembled(heavy, panels=FEW).notes)
    assert note.startswith("the wires of part 1 are too thin to hold its wet weight of")
    light = with_part(mass=0.0396 + 0.99 * holds)
    assert not notes_about("too thin", assembled(light, panels=FEW).notes)
    two = replace(heavy, contacts=(TOP, replace(TOP, near=(0.01, 0, 0.17))))
    assert not notes_about("too thin", assembled(two, panels=FEW).notes)


def test_without_a_mass_no_weight_is_told() -> None:
    assert not notes_about("part 1", assembled(PLAIN, panels=FEW).notes)


def test_a_contact_that_was_moved_is_told_from_a_millimetre_on() -> None:
    moved = assembled(with_contact(near=(0, 0, 0.174)), panels=FEW)
    assert "contact 1 was moved 4 mm onto the surface of part 1" in moved.notes
    assert moved.contacts[0].snapped_distance == pytest.approx(0.004)
    near = assembled(with_contact(near=(0, 0, 0.1709)), panels=FEW)
    assert not notes_about("was moved", near.notes)


def test_hidden_hooks_are_told() -> None:
    (note,) = notes_about("hook", assembled(PLAIN, panels=FEW).notes)
    assert note.startswith("anode 1 hangs wholly under the liquid;")
    both = plain(anodes=(LEFT, replace(RIGHT, at=(0.13, 0, 0.14))))
    (note,) = notes_about("hook", assembled(both, panels=FEW).notes)
    assert note.startswith("anode 1 and anode 2 hang wholly under the liquid;")
