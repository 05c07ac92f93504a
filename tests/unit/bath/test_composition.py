"""Grams per litre, moles per litre and mass fractions are one bath."""

import pytest

from tankside.base.errors import BadInput
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.density import density

BATH = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0, chloride=0.07)


def test_moles_of_a_known_bath() -> None:
    """249.685 g/mol of pentahydrate and 98.078 g/mol of acid (molmass), 50.9 g/L of copper."""
    assert BATH.copper_molarity == pytest.approx(200e3 / 249.685, rel=1e-4)
    assert BATH.acid_molarity == pytest.approx(60e3 / 98.078, rel=1e-4)
    assert BATH.copper == pytest.approx(50.90, rel=1e-3)
    assert BATH.anhydrous_copper_sulfate == pytest.approx(200.0 * 159.608 / 249.685, rel=1e-4)


def test_fractions_times_density_give_the_recipe_back() -> None:
    fractions = mass_fractions(BATH, 298.15)
    rho = density(fractions, 298.15)
    assert fractions["sulfuric acid"] * rho == pytest.approx(60.0, rel=1e-11)
    assert fractions["copper sulfate"] * rho == pytest.approx(
        BATH.anhydrous_copper_sulfate, rel=1e-11
    )


def test_water_has_nothing_in_it() -> None:
    empty = Composition(copper_sulfate_pentahydrate=0.0, sulfuric_acid=0.0)
    assert mass_fractions(empty, 298.15) == {"copper sulfate": 0.0, "sulfuric acid": 0.0}


@pytest.mark.parametrize("field", ["copper_sulfate_pentahydrate", "sulfuric_acid", "chloride"])
@pytest.mark.parametrize("value", [-1.0, float("nan"), float("inf")])
def test_impossible_concentrations_are_refused(field: str, value: float) -> None:
    values = {"copper_sulfate_pentahydrate": 200.0, "sulfuric_acid": 60.0, field: value}
    with pytest.raises(BadInput, match=field.replace("_", " ")) as caught:
        Composition(**values)
    assert caught.value.where == field
