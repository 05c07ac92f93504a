"""The stated intervals against a second, cruder way: the make-up done ten thousand times by chance.

Each label, tool, old bath and mark is drawn from a normal distribution of the stated nine-in-ten
width, masses are added up anew, and the spread that comes out is compared. Fixed seed.
"""

import numpy as np
import pytest

from tankside.base.intervals import Interval
from tankside.bath.makeup import MakeUpPlan, MakeUpRequest, made_up
from tankside.substances import molar_mass
from tests.unit.bath.makeup.shelf import (
    BATTERY_ACID,
    OXIDE,
    PLAIN_SALT,
    SALT,
    STRONG_ACID,
    TAP,
    WATER,
    old_bath,
    request,
)

DRAWS = 10_000
HALF = 1.645
MOLES = {
    "copper sulfate pentahydrate": (molar_mass("CuSO4·5H2O"), 1.0, 0.0, 0.0),
    "copper oxide": (molar_mass("CuO"), 1.0, -2.0, 0.0),
    "sulfuric acid": (molar_mass("H2SO4"), 0.0, 2.0, 0.0),
    "hydrochloric acid": (molar_mass("HCl"), 0.0, 1.0, 1.0),
    "sodium chloride": (molar_mass("NaCl"), 0.0, 0.0, 1.0),
    "water": (molar_mass("H2O"), 0.0, 0.0, 0.0),
}
"""Molar mass, and moles of copper, hydrogen and chloride: written again, apart from the program."""

TOLD = (molar_mass("CuSO4·5H2O"), molar_mass("H2SO4") / 2.0, molar_mass("Cl"))


def drawn(random: np.random.Generator, value: Interval) -> np.ndarray:
    width = (value.high - value.low) / 2.0 / HALF
    middle = (value.high + value.low) / 2.0
    return random.normal(middle, width, DRAWS)


def by_chance(asked: MakeUpRequest, plan: MakeUpPlan) -> np.ndarray:
    """(3, draws) copper sulfate pentahydrate, acid and chloride [kg/m³]."""
    random = np.random.default_rng(20)
    moles = np.zeros((3, DRAWS))
    for stocked in asked.shelf:
        product, amount = stocked.product, plan.amount(stocked.product.name)
        if amount is None:
            continue
        mass = drawn(random, amount.mass)
        for content in product.contents:
            weight, *counts = MOLES[content.substance]
            brought = mass * drawn(random, content.mass_fraction) / weight
            moles += np.outer(counts, brought)
        moles[2] += mass * drawn(random, product.chloride) / molar_mass("Cl")
    if asked.old is not None:
        volume = drawn(random, asked.old.volume) * plan.old_bath / asked.old.volume.best
        for row, (one, weight) in enumerate(zip(asked.old.holds, TOLD, strict=True)):
            moles[row] += volume * drawn(random, one.value) / weight
    filled = plan.volume.best * (1.0 + drawn(random, Interval(-0.01, 0.0, 0.01)))
    return moles * np.array(TOLD)[:, None] / filled


@pytest.mark.parametrize(
    "asked",
    [
        request(),
        request(SALT, STRONG_ACID, PLAIN_SALT, TAP),
        request(OXIDE, STRONG_ACID, PLAIN_SALT, WATER),
        request(SALT, BATTERY_ACID, PLAIN_SALT, WATER, old=old_bath(180.0, 50.0, 0.04)),
    ],
    ids=["plain", "tap water", "oxide", "old bath"],
)
def test_the_spread_is_that_of_chance(asked: MakeUpRequest) -> None:
    plan = made_up(asked)
    seen = by_chance(asked, plan)
    covariance = np.array(plan.covariance)
    wide = np.sqrt(np.diag(covariance))
    assert wide == pytest.approx(seen.std(axis=1), rel=0.04)
    tied = covariance / np.outer(wide, wide)
    assert np.allclose(tied, np.corrcoef(seen), atol=0.03)
    for row, one in enumerate(plan.composition):
        inside = (seen[row] >= one.value.low) & (seen[row] <= one.value.high)
        assert 0.87 < inside.mean() < 0.93 or abs(_skew(one.value)) > 0.1


def _skew(value: Interval) -> float:
    """How lopsided an interval is; a normal draw cannot follow a lopsided label."""
    return (value.high + value.low - 2.0 * value.best) / (value.high - value.low)
