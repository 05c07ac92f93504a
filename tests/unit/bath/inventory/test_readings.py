"""What readings let one expect: values by the package's laws, derivatives by differences."""

import numpy as np
import pytest

from tankside.base.errors import OutsideValidity
from tankside.bath.composition import Composition
from tankside.bath.conductivity import conductivity
from tankside.bath.density import density
from tankside.bath.inventory import Analysis, Priors, TopUp
from tankside.bath.inventory.bath_estimate import SALT_OF_COPPER
from tankside.bath.inventory.contents import SALT_PER_COPPER
from tankside.bath.inventory.readings import Reading, expected, readings_of
from tankside.bath.inventory.shop import shop_of
from tankside.bath.inventory.volumes import volume
from tests.unit.bath.inventory.shelf import BOTTLES, found, make_up

SHOP = shop_of((*BOTTLES, make_up()), Priors())
STATE = np.concatenate([[1.0, 1.1, 1.3e-3, 0.05, 16.5], np.full(SHOP.size - 5, 0.3)])
KINDS = ("copper", "sulfuric_acid", "chloride", "density", "conductivity", "volume")


def reading(quantity: str, temperature: float = 298.15) -> Reading:
    return Reading(
        event="x", at=0.0, quantity=quantity, value=1.0, std=1.0, temperature=temperature
    )


@pytest.mark.parametrize("quantity", KINDS)
def test_slopes_are_derivatives(quantity: str) -> None:
    _, slope = expected(reading(quantity), STATE, SHOP)
    for place in range(SHOP.size):
        step = 2e-4 * max(abs(STATE[place]), 0.01)
        moved = [STATE.copy(), STATE.copy()]
        moved[0][place] += step
        moved[1][place] -= step
        ends = [expected(reading(quantity), one, SHOP)[0] for one in moved]
        central = (ends[0] - ends[1]) / (2.0 * step)
        scale = max(np.abs(slope).max(), 1e-12)
        assert slope[place] == pytest.approx(central, rel=5e-3, abs=1e-4 * scale), place


def test_values_without_shared_errors_are_the_laws() -> None:
    state = STATE.copy()
    state[5:] = 0.0
    filled = volume(state[:5], 298.15)
    mass = SALT_PER_COPPER + 1.1 + 16.5
    fractions = {"copper sulfate": SALT_PER_COPPER / mass, "sulfuric acid": 1.1 / mass}
    bath = Composition(
        copper_sulfate_pentahydrate=SALT_OF_COPPER / filled, sulfuric_acid=1.1 / filled
    )
    by_law = {
        "copper": 1.0 / filled,
        "sulfuric_acid": 1.1 / filled,
        "chloride": 1.3e-3 / filled,
        "density": density(fractions, 293.15),
        "conductivity": conductivity(bath, 293.15).best,
        "volume": volume(state[:5], 293.15),
    }
    for quantity, value in by_law.items():
        assert expected(reading(quantity, 293.15), state, SHOP)[0] == pytest.approx(value, rel=1e-6)


def test_density_couples_copper_and_acid() -> None:
    """A kilogram of copper as sulfate weighs more in the density than one of acid."""
    _, slope = expected(reading("density"), STATE, SHOP)
    assert slope[0] > slope[1] > 0.0 > slope[4]


def test_conductivity_does_not_answer_outside_its_law() -> None:
    weak = STATE.copy()
    weak[1] = 0.05
    with pytest.raises(OutsideValidity):
        expected(reading("conductivity"), weak, SHOP)


def test_what_events_measured() -> None:
    analysis = Analysis(
        at=1.0, id="a", findings=(found("copper", 50.0, 1.0), found("pH", 1.0, 0.1))
    )
    assert [one.quantity for one in readings_of(analysis, SHOP)] == ["copper"]
    level = TopUp(at=1.0, id="t", water="water", volume=1e-3, level_volume=0.018)
    (one,) = readings_of(level, SHOP)
    assert (one.quantity, one.value) == ("volume", 0.018)
    assert one.std == pytest.approx(0.00018)
    assert readings_of(TopUp(at=1.0, id="u", water="water", volume=1e-3), SHOP) == ()
