"""The fewest wires with which a coated block starts, and where they go."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.cell.coating import SeedCoat, even_coat
from tankside.plan.rigs.contact_sites import ContactRegion, RegionKind
from tankside.plan.rigs.figures import Bench
from tankside.plan.rigs.rig import Rig, on_part
from tankside.plan.rigs.start_contacts import COLLAR, MARGIN, fewest_contacts
from tests.unit.plan.rigs.test_starting import coated

TOP = ContactRegion(kind=RegionKind.ALLOWED, centre=(0.0, 0.0, 0.015), radius=0.012)


def test_a_good_coat_starts_from_one_wire_where_it_is_allowed(block_rig: Rig, bench: Bench) -> None:
    rig = coated(block_rig, SeedCoat(sheet_resistance=Interval(10.0, 20.0, 40.0)))
    found = fewest_contacts(rig, bench, (TOP,))
    (attempt,) = found.attempts
    assert attempt.succeeds
    assert attempt.start is not None
    assert attempt.start.collar_fraction <= COLLAR
    assert found.description is not None
    (contact,) = found.description.contacts
    place = on_part(rig.description.parts[0], contact.near)
    assert np.linalg.norm(place - np.array(TOP.centre)) <= TOP.radius + 1e-4
    assert found.margins is not None
    low, best, high = found.margins
    assert low >= best >= high >= MARGIN
    assert high == attempt.start.margin


def test_there_are_as_many_wires_as_the_load_asks_for(block_rig: Rig, bench: Bench) -> None:
    """Two thin wires set the own rig's current; one of them would not bear it."""
    (wire,) = block_rig.description.contacts
    two = tuple(replace(wire, wire_diameter=1e-4, near=(x, 0.0, 0.085)) for x in (-0.008, 0.008))
    thin = replace(block_rig, description=replace(block_rig.description, contacts=two))
    found = fewest_contacts(coated(thin, even_coat(20.0)), bench, ())
    assert len(found.attempts[0].places) == 2
    assert found.attempts[-1].succeeds
    assert found.attempts[-1].wire_load <= 1.0


def test_a_metal_part_is_told_so(block_rig: Rig, bench: Bench) -> None:
    with pytest.raises(Impossible, match="part 1 is metal"):
        fewest_contacts(block_rig, bench, ())
