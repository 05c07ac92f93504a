"""What a kilogram of product does, against stoichiometry written out with other molar masses."""

import pytest

from tankside.base.errors import BadInput
from tankside.bath.inventory.contents import (
    ACID,
    ACID_PER_COPPER,
    ADDITIVE,
    CHLORIDE,
    COPPER,
    SALT_PER_COPPER,
    WATER,
    effect,
)
from tankside.bath.mixture import composition_of, mixed, portion
from tankside.substances.products import grade
from tests.unit.bath.inventory.shelf import (
    BATTERY_ACID,
    BRIGHTENER,
    CRYSTALS,
    MURIATIC,
    TAP,
    product,
)

CU, SALT, H2SO4, HCL, CL, H2O = 63.546, 249.685, 98.078, 36.458, 35.45, 18.015


def test_crystals_bring_copper_and_their_water() -> None:
    one = effect(CRYSTALS)
    assert one.best[COPPER] == pytest.approx(0.985 * CU / SALT, rel=1e-4)
    assert one.best[WATER] == pytest.approx(0.015 + 0.985 * 5 * H2O / SALT, rel=1e-4)
    assert one.best[ACID] == pytest.approx(0.0, abs=1e-12)


def test_acid_brings_acid_and_water() -> None:
    one = effect(BATTERY_ACID)
    assert one.best[ACID] == pytest.approx(0.37, rel=1e-4)
    assert one.best[WATER] == pytest.approx(0.63, rel=1e-4)


def test_muriatic_acid_counts_as_half_its_hydrogen() -> None:
    one = effect(MURIATIC)
    assert one.best[CHLORIDE] == pytest.approx(0.31 * CL / HCL, rel=1e-3)
    assert one.best[ACID] == pytest.approx(0.31 / HCL / 2.0 * H2SO4, rel=1e-3)


def test_copper_oxide_raises_copper_and_eats_as_many_moles_of_acid() -> None:
    one = effect(product("oxide", "copper oxide", 1.0, 0.0))
    assert one.best[COPPER] == pytest.approx(CU / 79.545, rel=1e-4)
    assert one.best[ACID] == pytest.approx(-H2SO4 / 79.545, rel=1e-4)
    assert one.best[WATER] == pytest.approx(H2O / 79.545, rel=1e-3)


def test_a_label_s_tolerance_becomes_a_relative_error() -> None:
    one = effect(BATTERY_ACID)
    assert one.strength_std == pytest.approx(0.008 / 0.37 / 1.645, rel=1e-3)
    assert one.strength[ACID] == one.best[ACID]
    assert one.strength[WATER] == -one.best[ACID]
    exact = effect(product("salt", "copper sulfate", 1.0, 0.0), least_error=0.003)
    assert exact.strength_std == 0.003


def test_what_does_not_dissolve_leaves_the_strength_alone() -> None:
    technical = grade("copper sulfate, technical")
    share = next(
        c.mass_fraction for c in technical.contents if c.substance.startswith("copper sulfate")
    )
    half = (share.high - share.low) / 2
    assert effect(technical).strength_std == pytest.approx(half / share.best / 1.645, rel=1e-3)
    assert effect(technical).strength_std < 0.03


def test_water_has_no_strength_but_its_chloride() -> None:
    one = effect(TAP, least_error=0.003)
    assert one.strength_std == 0.0
    assert one.chloride == pytest.approx(3e-5)
    assert one.chloride_std == pytest.approx(5e-5 / 2 / 1.645, rel=1e-3)
    assert one.best[CHLORIDE] == pytest.approx(0.0, abs=1e-15)


def test_an_additive_is_followed_as_product() -> None:
    one = effect(BRIGHTENER, additive=True)
    assert one.best[ADDITIVE] == 1.0
    assert one.best[WATER] == pytest.approx(1.0)


def test_what_the_chemistry_does_not_know_is_refused_unless_an_additive() -> None:
    strange = product("tonic", "polyethylene glycol", 0.1, 0.01)
    with pytest.raises(BadInput, match="enter it as an additive"):
        effect(strange)
    assert effect(strange, additive=True).best[ADDITIVE] == 1.0


def test_effects_add_up_to_the_mixture() -> None:
    """Independent way: the mixture's own composition, by its own reaction and density."""
    amounts = {CRYSTALS.name: 3.9, BATTERY_ACID.name: 2.7, MURIATIC.name: 4e-3, TAP.name: 14.0}
    held = [(one, amounts[one.name]) for one in (CRYSTALS, BATTERY_ACID, MURIATIC, TAP)]
    bath = composition_of(mixed(*(portion(one, mass) for one, mass in held)), 298.15)
    total = sum(effect(one).best * mass for one, mass in held)
    total[CHLORIDE] += 14.0 * TAP.chloride.best
    assert total[COPPER] / total[ACID] == pytest.approx(bath.copper / bath.sulfuric_acid, rel=1e-9)
    assert total[CHLORIDE] / total[ACID] == pytest.approx(
        bath.chloride / bath.sulfuric_acid, rel=1e-9
    )


def test_the_ratios_of_moles() -> None:
    assert ACID_PER_COPPER == pytest.approx(H2SO4 / CU, rel=1e-4)
    assert SALT_PER_COPPER == pytest.approx(159.609 / CU, rel=1e-4)
