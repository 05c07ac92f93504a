"""Wires' places chosen for the start, against trying every choice."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from scipy.stats import spearmanr

from tankside.base.intervals import Interval
from tankside.cell.coating import Box, PaintedRegion, SeedCoat, even_coat
from tankside.cell.description import PlacedPart
from tankside.plan.rigs.contact_sites import contact_sites
from tankside.plan.rigs.evaluation import lumped_rig, started
from tankside.plan.rigs.figures import Bench
from tankside.plan.rigs.rig import Rig, in_tank, mesh_of
from tankside.plan.rigs.start_contacts import held
from tankside.plan.rigs.start_sites import StartSites, in_gas, spread_out
from tests.unit.plan.rigs.conftest import cup
from tests.unit.plan.rigs.test_starting import coated

SITES = 10


def sites_of(rig: Rig, bench: Bench) -> StartSites:
    cell, allowed = lumped_rig(rig.description, bench)
    part = rig.description.parts[0]
    places = spread_out(contact_sites(mesh_of(part), ()), SITES)
    return StartSites(
        cell=cell,
        places=np.array([in_tank(part, place) for place in places]),
        others=(),
        wire=4e-4,
        allowed=allowed,
    )


@pytest.mark.parametrize("count", [1, 2])
def test_exchange_finds_what_trying_every_choice_finds(
    block_rig: Rig, bench: Bench, count: int
) -> None:
    """The best by its quick start of a few that the Green's functions like, against the best of
    all: what the start costs is within 5 %."""
    sites = sites_of(coated(block_rig, even_coat(1000.0)), bench)
    every = list(combinations(range(SITES), count))
    by_drop = sorted(every, key=sites.drop)
    found = sites.best(count, 6)
    assert sites.drop(min(found, key=sites.drop)) == pytest.approx(sites.drop(by_drop[0]))
    costs = [sites.cost(choice) for choice in every]
    assert sites.cost(found[0]) <= 1.05 * min(costs)
    assert min(costs) < 0.9 * max(costs)  # places matter, so that this can fail


def test_the_best_pair_is_good_by_the_whole_growth_too(block_rig: Rig, bench: Bench) -> None:
    """Of all pairs of five sites, each grown whole with its own wires in the cell."""
    rig = coated(block_rig, even_coat(1000.0))
    sites = sites_of(rig, bench)
    among = [0, 2, 4, 6, 8]
    pairs = list(combinations(among, 2))
    whole = {}
    for pair in pairs:
        places = sites.places[list(pair)]
        whole[pair] = started(held(rig.description, 1, places), bench).delay
    (first, *_) = sites.best(2, 3, usable=among.__contains__)
    assert whole[first] <= 1.1 * min(whole.values())
    by_drop = spearmanr([sites.drop(pair) for pair in pairs], list(whole.values())).statistic
    by_quick = spearmanr([sites.cost(pair) for pair in pairs], list(whole.values())).statistic
    assert by_drop > 0.7
    assert by_quick > 0.8


def test_each_island_gets_a_wire(block_rig: Rig, bench: Bench) -> None:
    """A bare band cuts the coat in two; the own wire stands on one half."""
    band = Box(low=(-1.0, -1.0, -0.004), high=(1.0, 1.0, 0.004))
    split = SeedCoat(
        sheet_resistance=Interval.exact(50.0),
        regions=(PaintedRegion(where=band, sheet_resistance=None),),
    )
    sites = sites_of(coated(block_rig, split), bench)
    heights = sites.places[list(sites.best(2, 3)[0]), 2] - 0.07
    assert heights.min() < -0.004
    assert heights.max() > 0.004


def test_places_that_cannot_be_used_are_passed_over(block_rig: Rig, bench: Bench) -> None:
    sites = sites_of(coated(block_rig, even_coat(200.0)), bench)
    first = sites.best(1, 2)[0]
    assert sites.best(1, 2, usable=lambda site: site not in first)[0] != first
    assert sites.best(1, 2, usable=lambda site: False) == ()


def test_gas_lies_under_the_roof_of_a_cup_turned_over() -> None:
    upright = PlacedPart(surface=cup(), at=(0.0, 0.0, 0.07))
    over = replace(upright, rotation=(180.0, 0.0, 0.0))
    inside = np.array([[0.0, 0.0, 0.08], [0.0, 0.0, 0.06]])
    outside = np.array([[0.02, 0.0, 0.07], [0.0, 0.0, 0.09]])
    assert in_gas(over, inside, 1e-3).all()
    assert not in_gas(over, outside[1:], 1e-3).any()
    assert not in_gas(upright, np.concatenate([inside, outside]), 1e-3).any()
