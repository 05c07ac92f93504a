"""The way of a wire from its contact to the liquid's surface."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.cell.assembling import assembled
from tankside.cell.bodies import Cell, Role
from tankside.cell.description import CellDescription, PlacedPart
from tankside.cell.nearness import Nearness
from tankside.cell.tubes import WIRE_SIDES
from tests.unit.cell.scenes import FEW, TOP, plain, sphere, torus, with_contact

UPRIGHT = PlacedPart(surface=torus(0.03, 0.008), at=(0, 0, 0.14), rotation=(90, 0, 0))


def wire_of(cell: Cell) -> Nearness:
    (wire,) = cell.of_role(Role.WIRE)
    return Nearness.to_meshes([wire.surface])


def clearance(cell: Cell) -> float:
    """Least distance between the wire and its part over the wire's radius [-]."""
    (part,) = cell.of_role(Role.PART)
    (wire,) = cell.of_role(Role.WIRE)
    there = Nearness.to_meshes([part.surface]).distances(wire.surface.vertices).min()
    back = wire_of(cell).distances(part.surface.vertices).min()
    return float(min(there, back)) / (cell.contacts[0].wire_diameter / 2)


def test_from_a_flat_top_straight_up_a_radius_off() -> None:
    cell = assembled(with_contact(near=(0.001, 0.002, 0.17)), panels=FEW)
    (wire,) = cell.of_role(Role.WIRE)
    low, high = wire.surface.box
    assert low[2] == pytest.approx(0.17 + 0.4e-3, abs=1e-12)
    assert high[2] == 0.25
    assert (low + high)[:2] / 2 == pytest.approx([0.001, 0.002])
    assert cell.contacts[0].wet_length == pytest.approx(0.08 - 0.4e-3, abs=1e-12)
    top = wire.surface.vertices[wire.surface.vertices[:, 2] == 0.25]
    assert len(top) == WIRE_SIDES


def test_beside_an_upright_wall_straight_up_a_radius_off() -> None:
    cell = assembled(with_contact(near=(0.015, 0.001, 0.14)), panels=FEW)
    assert clearance(cell) == pytest.approx(1.0, abs=0.2)
    assert cell.contacts[0].wet_length == pytest.approx(0.11)


@pytest.mark.parametrize("height", [0.155, 0.14, 0.128, 0.1201])
def test_round_a_ball_from_every_height(height: float) -> None:
    ball = PlacedPart(surface=sphere(0.02, 4), at=(0, 0, 0.14))
    out = np.sqrt(0.02**2 - (height - 0.14) ** 2)
    cell = assembled(
        plain(parts=(ball,), contacts=(replace(TOP, near=(out, 0, height)),)), panels=FEW
    )
    assert 0.4 < clearance(cell) < 2.1
    wire = cell.of_role(Role.WIRE)[0].surface
    assert wire.vertices[:, 2].max() == 0.25
    assert cell.contacts[0].wet_length < 0.25 - height + 0.06


def test_from_inside_a_ring_the_wire_leads_out_aside() -> None:
    inside = plain(parts=(UPRIGHT,), contacts=(replace(TOP, near=(0, 0, 0.119)),))
    cell = assembled(inside, panels=FEW)
    assert clearance(cell) > 0.4
    wire = cell.of_role(Role.WIRE)[0].surface
    top = wire.vertices[wire.vertices[:, 2] == 0.25].mean(axis=0)
    assert np.abs(top[1]) > 0.008
    assert cell.contacts[0].wet_length > 0.25 - 0.119 + 0.008


def test_from_a_deep_hole_that_is_open_above_straight_up() -> None:
    flat = replace(UPRIGHT, rotation=(0, 0, 0))
    cell = assembled(
        plain(parts=(flat,), contacts=(replace(TOP, near=(0.0221, 0, 0.14)),)), panels=FEW
    )
    assert cell.contacts[0].wet_length == pytest.approx(0.11, abs=2e-4)


def test_over_the_points_that_were_given() -> None:
    via = ((0.04, 0.0, 0.2), (0.04, 0.05, 0.22))
    cell = assembled(with_contact(via=via), panels=FEW)
    distances = wire_of(cell).distances(np.array(via))
    assert distances.max() < 1.5 * 0.8e-3
    top = cell.of_role(Role.WIRE)[0].surface.vertices
    assert top[top[:, 2] == 0.25].mean(axis=0) == pytest.approx([0.04, 0.05, 0.25])


def crowded(insulated: bool) -> CellDescription:
    third = replace(TOP, near=(-0.01, 0, 0.17), insulated=insulated)
    return plain(contacts=(TOP, third, replace(TOP, near=(0.01, 0, 0.17))))


def test_wires_are_numbered_as_their_contacts() -> None:
    cell = assembled(crowded(insulated=False), panels=FEW)
    wires = cell.of_role(Role.WIRE)
    assert [wire.number for wire in wires] == [1, 2, 3]
    assert [wire.name for wire in wires] == [f"the wire of contact {k}" for k in (1, 2, 3)]
    assert [contact.wire for contact in cell.contacts] == [1, 2, 3]


def test_an_insulated_wire_stands_among_the_shields() -> None:
    cell = assembled(crowded(insulated=True), panels=FEW)
    assert [wire.number for wire in cell.of_role(Role.WIRE)] == [1, 3]
    (shield,) = cell.of_role(Role.SHIELD)
    assert (shield.number, shield.name) == (1, "the wire of contact 2")
    contact = cell.contacts[1]
    assert (contact.insulated, contact.wire) == (True, 1)
    same = assembled(crowded(insulated=False), panels=FEW)
    assert cell.solution_volume == pytest.approx(same.solution_volume, rel=1e-12)


def test_a_wire_avoids_what_stands_above_the_contact_where_it_can() -> None:
    from tankside.cell.description import Plate

    roof = Plate(size=(0.03, 0.03), thickness=0.004, at=(0, 0, 0.22), facing=(0, 0, 1))
    cell = assembled(plain(shields=(roof,)), panels=FEW)
    assert cell.gap("shield 1", "the wire of contact 1") >= 1e-3
    assert cell.contacts[0].wet_length > 0.09
