"""Charge transfer, hydrogen, anodes, and the length that evens a deposit."""

from dataclasses import replace
from math import exp

import pytest
from scipy.optimize import brentq

from tankside.base.constants import thermal_voltage
from tankside.base.errors import BadInput
from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.anode_limit import anode_limit
from tankside.bath.composition import Composition
from tankside.bath.copper_kinetics import exchange_current_density
from tankside.bath.electrolyte import Electrolyte
from tankside.bath.hydrogen import hydrogen_equilibrium
from tankside.bath.wagner import overpotential, slope, wagner_length

BATH = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0)


def electrolyte() -> Electrolyte:
    return acid_sulfate(BATH, 298.15, "gentle air")


def test_exchange_current_at_the_reference_is_the_reference() -> None:
    """10 A/m² at 0.1 M (Newman 1966, from memory)."""
    value = exchange_current_density(100.0).value
    assert value.best == pytest.approx(10.0, rel=1e-12)
    assert (value.low, value.high) == pytest.approx((1.0, 40.0))


def test_exchange_current_follows_the_power_of_copper() -> None:
    ratio = exchange_current_density(800.0).value.best / exchange_current_density(100.0).value.best
    assert ratio == pytest.approx(8**0.42, rel=1e-12)


def test_the_interval_of_the_exchange_current_stays_ordered_below_the_reference() -> None:
    thin = exchange_current_density(20.0).value
    assert thin.low < thin.best < thin.high


def test_additives_are_admitted_to_be_unknown() -> None:
    assert any("PEG" in text for text in exchange_current_density(500.0).assumptions)


@pytest.mark.parametrize("copper", [0.0, 9.9, float("nan")])
def test_a_bath_without_copper_has_no_rate(copper: float) -> None:
    with pytest.raises(BadInput, match="too thin to plate from"):
        exchange_current_density(copper)


def test_hydrogen_stands_where_copper_and_acid_put_it() -> None:
    """1 M copper, 1 M acid: E0 and the shift alone, -0.340 + 0.028 V."""
    molar = Composition(copper_sulfate_pentahydrate=249.677, sulfuric_acid=98.072)
    value = hydrogen_equilibrium(molar, 298.15).value
    assert value.best == pytest.approx(-0.312, abs=1e-6)
    assert value.high < 0.0


def test_hydrogens_potential_follows_nernst() -> None:
    def at(salt: float, acid: float) -> float:
        bath = Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid)
        return hydrogen_equilibrium(bath, 298.15).value.best

    thermal = thermal_voltage(298.15)
    assert at(200, 120) - at(200, 60) == pytest.approx(thermal * 0.693147, rel=1e-5)
    assert at(200, 60) - at(100, 60) == pytest.approx(-thermal * 0.693147 / 2, rel=1e-5)


def test_hydrogen_needs_both_ions() -> None:
    with pytest.raises(BadInput, match="both copper sulfate and acid"):
        hydrogen_equilibrium(
            Composition(copper_sulfate_pentahydrate=0.0, sulfuric_acid=60.0), 298.15
        )


def test_the_anodes_rule_is_labelled_as_a_rule() -> None:
    estimate = anode_limit()
    assert 100.0 <= estimate.value.low <= estimate.value.best <= estimate.value.high <= 500.0
    assert "without a source" in estimate.assumptions[0]
    assert estimate.sources == ()


@pytest.mark.parametrize("current", [0.0, 1e-6, 0.3, 10.0, 200.0, 5e4])
@pytest.mark.parametrize("exchange", [0.05, 10.0, 300.0])
@pytest.mark.parametrize("alpha", [0.3, 0.5, 0.7])
def test_overpotential_solves_the_rate_law(current: float, exchange: float, alpha: float) -> None:
    f = 1.0 / thermal_voltage(298.15)

    def excess(eta: float) -> float:
        cathodic, anodic = exp(-alpha * f * eta), exp((2.0 - alpha) * f * eta)
        return exchange * (cathodic - anodic) - current

    expected = brentq(excess, -3.0, 1e-9, xtol=1e-14)
    found = overpotential(current, exchange, alpha, 2.0 - alpha, 298.15)
    assert found == pytest.approx(expected, abs=1e-11)


def test_slope_is_the_derivative_of_the_rate_law() -> None:
    step = 1e-7
    currents = [200.0, 200.0 + step * 1e3]
    etas = [overpotential(i, 10.0, 0.5, 1.5, 298.15) for i in currents]
    numeric = (currents[1] - currents[0]) / (etas[0] - etas[1])
    assert slope(etas[0], 10.0, 0.5, 1.5, 298.15) == pytest.approx(numeric, rel=1e-5)


def test_wagner_length_at_rest_is_linear_and_far_up_is_tafels() -> None:
    bath = electrolyte()
    thermal = thermal_voltage(298.15)
    kappa, i0 = bath.conductivity.best, bath.exchange_current_density.best
    assert wagner_length(bath, 0.0).best == pytest.approx(kappa * thermal / (2.0 * i0), rel=1e-9)
    assert wagner_length(bath, 1e5).best == pytest.approx(kappa * thermal / (0.5 * 1e5), rel=1e-3)


def test_wagner_length_scales_with_conductivity_and_its_interval_holds_the_best() -> None:
    bath = electrolyte()
    double = replace(bath, conductivity=bath.conductivity.scaled(2.0))
    assert wagner_length(double, 150.0).best == pytest.approx(
        2.0 * wagner_length(bath, 150.0).best, rel=1e-12
    )
    value = wagner_length(bath, 150.0)
    assert value.low < value.best < value.high
    with pytest.raises(BadInput, match="zero or more"):
        wagner_length(bath, -1.0)
