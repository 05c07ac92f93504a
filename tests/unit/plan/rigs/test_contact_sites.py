"""Where wires may hold, and how many it takes."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from tankside.base.errors import Impossible
from tankside.cell.coating import even_coat
from tankside.plan.current import WIRE_LIMIT_A_PER_M2
from tankside.plan.rigs.contact_sites import (
    MORE_WIRES,
    ContactRegion,
    RegionKind,
    contact_freedom,
    contact_sites,
    fewest_wires,
)
from tankside.plan.rigs.rig import Rig, on_part
from tests.unit.plan.conftest import block

MESH = block(cuts=5)
TOP = (0.0, 0.0, 0.015)


def region(kind: str, centre: tuple[float, float, float], radius: float) -> ContactRegion:
    return ContactRegion(kind=RegionKind(kind), centre=centre, radius=radius)


def test_without_regions_every_triangle_serves() -> None:
    assert len(contact_sites(MESH, ())) == len(MESH.triangles)


def test_forbidden_places_are_left_out() -> None:
    kept = contact_sites(MESH, [region("forbidden", TOP, 0.012)])
    assert (np.linalg.norm(kept - TOP, axis=1) > 0.012).all()
    assert 0 < len(MESH.triangles) - len(kept) < 40


def test_hidden_places_come_before_allowed_ones() -> None:
    regions = [region("allowed", TOP, 0.02), region("hidden", (0.0, 0.0, -0.015), 0.01)]
    assert (contact_sites(MESH, regions)[:, 2] < 0).all()
    assert (contact_sites(MESH, regions[:1])[:, 2] > 0).all()


def test_another_parts_regions_do_not_count() -> None:
    other = replace(region("hidden", TOP, 0.01), part=2)
    assert len(contact_sites(MESH, [other])) == len(MESH.triangles)


def test_no_place_left_is_impossible() -> None:
    with pytest.raises(Impossible, match="leave no place on part 1"):
        contact_sites(MESH, [region("allowed", TOP, 0.01), region("forbidden", TOP, 0.02)])


@pytest.mark.parametrize(("current", "wires"), [(0.1, 1), (2.9, 1), (3.0, 2), (5.8, 2), (6.0, 3)])
def test_the_fewest_wires_bear_the_current(current: float, wires: int) -> None:
    assert fewest_wires(current, 5e-4) == wires
    bears = WIRE_LIMIT_A_PER_M2 * pi / 4 * 5e-4**2
    assert (wires - 1) * bears < current <= wires * bears


def test_wires_are_put_on_sites_and_are_enough(block_rig: Rig) -> None:
    regions = [region("hidden", (0.0, 0.0, -0.015), 0.012)]
    freedom = contact_freedom(block_rig.description, 1, regions, current=20.0)
    assert freedom.fewest == freedom.most == 3
    values = np.array([0.0, 0.0, 0.5, 1.0, 0.0, 0.5, 0.5, 1.0, 0.5])
    wires = freedom.applied(values, block_rig).description.contacts
    assert len(wires) == 3
    for wire in wires:
        place = on_part(block_rig.description.parts[0], wire.near)
        assert np.linalg.norm(freedom.sites - place, axis=1).min() < 1e-4
        assert place[2] == pytest.approx(-0.015, abs=1e-4)


def test_fewer_wires_may_be_chosen_but_never_too_few(block_rig: Rig) -> None:
    two = replace(block_rig.description, contacts=2 * block_rig.description.contacts)
    freedom = contact_freedom(two, 1, (), current=0.5)
    assert (freedom.fewest, freedom.most) == (1, 2)
    rig = Rig(description=two)
    for count in (1.0, 1.99, 2.0, 2.9):
        values = np.array([count, 0.5, 0.0, 1.0, 0.5, 1.0, 1.0])
        assert len(freedom.applied(values, rig).description.contacts) == int(count)
    assert freedom.own(rig)[0] == 2.0


def test_every_site_can_be_chosen_and_a_suggestion_comes_back_as_it_is(block_rig: Rig) -> None:
    """Sites inside a cup lie behind one another from its middle; by place each is the nearest to
    itself."""
    places = np.array([[0.01, 0.0, 0.015], [0.0, -0.015, 0.0]])
    (part,) = block_rig.description.parts
    description = replace(block_rig.description, parts=(replace(part, coat=even_coat(100.0)),))
    freedom = contact_freedom(description, 1, (), current=0.5, suggested=[places])
    assert freedom.most == 1 + MORE_WIRES
    for site in freedom.sites[::7]:
        low, size = freedom.sites.min(axis=0), np.ptp(freedom.sites, axis=0)
        values = np.concatenate([[1.0], (site - low) / size, np.full(6, 0.5)])
        (wire,) = freedom.applied(values, Rig(description=description)).description.contacts
        assert np.allclose(on_part(part, wire.near), site, atol=1e-4)
    (hint,) = freedom.hints
    wires = freedom.applied(hint, Rig(description=description)).description.contacts
    for wire, place in zip(wires, places, strict=True):
        nearest = freedom.sites[np.linalg.norm(freedom.sites - place, axis=1).argmin()]
        assert np.allclose(on_part(part, wire.near), nearest, atol=1e-4)
