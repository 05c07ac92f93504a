"""Diffusivity, free convection and the boundary layer by agitation."""

from itertools import pairwise

import pytest

from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.boundary_layer import AGITATIONS, boundary_layer, sparged_layer
from tankside.bath.composition import Composition
from tankside.bath.diffusivity import diffusivity, diffusivity_estimate
from tankside.bath.free_convection import (
    BuoyantLiquid,
    free_convection_layer,
    laminar_sherwood,
    limiting_current_density,
    lost_density,
    turbulent_sherwood,
)

BATH = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0)
LIQUID = BuoyantLiquid(diffusivity=5e-10, kinematic_viscosity=1.3e-6, lost_density=0.1)


def test_diffusivity_lies_where_the_literature_puts_it() -> None:
    """5 to 7e-10 m²/s in acid at 25 °C (Quickenden and Jiang 1984, from memory); 7.136e-10 at
    infinite dilution (CRC ionic conductivities), which no strong bath may exceed by much."""
    thin = Composition(copper_sulfate_pentahydrate=25.0, sulfuric_acid=147.0)
    assert 5e-10 < diffusivity(thin, 298.15) < 7e-10
    value = diffusivity_estimate(thin, 298.15).value
    assert value.low > 4e-10
    assert value.high < 7.5e-10


@pytest.mark.parametrize(("salt", "acid"), [(320.0, 60.0), (70.0, 270.0)])
def test_diffusivity_refuses_what_was_not_measured(salt: float, acid: float) -> None:
    strong = Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid)
    with pytest.raises(OutsideValidity, match=r"1\.2 mol/L of copper"):
        diffusivity(strong, 298.15)


def test_depleted_liquid_is_lighter_by_the_salt() -> None:
    """121.9 kg/m³ for 0.8 M copper and 0.6 M acid at 25 °C (thermo 0.6.1)."""
    bath = Composition(copper_sulfate_pentahydrate=0.8 * 249.685, sulfuric_acid=0.6 * 98.078)
    assert lost_density(bath, 298.15) * 1157.0 == pytest.approx(121.9, rel=2e-3)


def test_the_two_free_convection_laws_meet_without_a_step() -> None:
    """0.673 x^0.25 and 0.31 x^0.28 cross at x = (0.673/0.31)^(1/0.03), 1.66e11."""
    crossing = (0.673 / 0.31) ** (1 / 0.03)
    assert laminar_sherwood(crossing) == pytest.approx(turbulent_sherwood(crossing), rel=1e-9)
    for factor, law in ((0.5, laminar_sherwood), (2.0, turbulent_sherwood)):
        height = (crossing * factor * 5e-10 * 1.3e-6 / (9.80665 * 0.1)) ** (1 / 3)
        layer = free_convection_layer(LIQUID, height)
        assert layer == pytest.approx(height / law(crossing * factor), rel=1e-9)


def test_laminar_layer_grows_with_the_fourth_root_of_height() -> None:
    small, tall = (free_convection_layer(LIQUID, h) for h in (0.01, 0.02))
    assert tall / small == pytest.approx(2**0.25, rel=1e-12)


@pytest.mark.parametrize("rayleigh", [1e3, 1e16])
def test_free_convection_outside_its_range_is_refused(rayleigh: float) -> None:
    with pytest.raises(OutsideValidity, match="give the boundary layer as a thickness"):
        laminar_sherwood(rayleigh)


def test_the_limit_is_nernsts() -> None:
    """849.1 A/m² for 0.8 M, 5.5e-10 m²/s and 100 µm (2 F D c / delta)."""
    assert limiting_current_density(5.5e-10, 800.0, 1e-4) == pytest.approx(849.07, rel=1e-5)


def test_bubbles_thin_the_layer_whatever_the_height() -> None:
    layers = [sparged_layer(LIQUID, gas, 0.19) for gas in (0.005, 0.01, 0.05)]
    assert layers == sorted(layers, reverse=True)
    assert layers[0] / layers[1] == pytest.approx((2 * 0.995 / 0.99) ** (1 / 3), rel=1e-12)


def test_stronger_agitation_never_thickens_the_layer() -> None:
    layers = [boundary_layer(BATH, 298.15, word).value for word in AGITATIONS[:3]]
    for calm, strong in pairwise(layers):
        assert strong.low <= calm.low
        assert strong.best <= calm.best
        assert strong.high <= calm.high


@pytest.mark.parametrize("word", AGITATIONS)
def test_a_small_part_is_never_worse_off_than_in_a_still_bath(word: str) -> None:
    still = boundary_layer(BATH, 298.15, "still", height=0.005).value
    moved = boundary_layer(BATH, 298.15, word, height=0.005).value
    assert moved.best <= still.best


@pytest.mark.parametrize("word", AGITATIONS)
def test_every_word_admits_how_little_it_says(word: str) -> None:
    estimate = boundary_layer(BATH, 298.15, word)
    assert estimate.value.high / estimate.value.low > 1.3
    assert len(estimate.assumptions) == 1
    assert estimate.sources
    assert 20e-6 < estimate.value.best < 300e-6


def test_a_given_thickness_is_kept() -> None:
    assert boundary_layer(BATH, 298.15, 9e-5).value.best == 9e-5
    assert boundary_layer(BATH, 298.15, 9e-5).value.high == pytest.approx(1.17e-4)
    exact = Interval.exact(9e-5)
    assert boundary_layer(BATH, 298.15, exact).value == exact


def test_impossible_layers_and_words_are_refused() -> None:
    with pytest.raises(UnknownName, match="'gentle air'"):
        boundary_layer(BATH, 298.15, "gentle airr")
    with pytest.raises(BadInput, match="thicker than nothing"):
        boundary_layer(BATH, 298.15, 0.0)
    with pytest.raises(BadInput, match="height must be above zero"):
        boundary_layer(BATH, 298.15, "still", height=0.0)
    with pytest.raises(BadInput, match="without copper sulfate"):
        boundary_layer(
            Composition(copper_sulfate_pentahydrate=0.0, sulfuric_acid=60.0), 298.15, "still"
        )
