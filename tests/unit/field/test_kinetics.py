"""The rate laws: values against their formulas written out, derivatives, limits, refusals."""

import pickle
from dataclasses import replace
from math import exp, inf, log

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.field.kinetics import (
    ButlerVolmer,
    CopperCathode,
    CopperDeposition,
    CopperDissolution,
    Hydrogen,
    LinearPolarisation,
    fixed_potential,
)
from tankside.field.problem import ElectrodeLaw

RT_F = 0.025693  # V, RT/F at 298.15 K by the CODATA constants

TRANSFER = ButlerVolmer(
    exchange_current_density=20.0,
    cathodic_transfer=0.5,
    anodic_transfer=1.5,
    thermal_voltage=RT_F,
)
COPPER = CopperDeposition(
    exchange_current_density=20.0,
    cathodic_transfer=0.5,
    anodic_transfer=1.5,
    limiting_current_density=500.0,
    thermal_voltage=RT_F,
)
HYDROGEN = Hydrogen(
    exchange_current_density=1e-3, transfer=0.5, equilibrium=-0.34, thermal_voltage=RT_F
)
CATHODE = CopperCathode(copper=COPPER, hydrogen=HYDROGEN)
ANODE = CopperDissolution(transfer=TRANSFER, passivation_limit=300.0)
LINEAR = LinearPolarisation(resistance=2e-4)
LAWS = [TRANSFER, COPPER, CATHODE, ANODE, LINEAR]
NAMES = [type(law).__name__ for law in LAWS]


@pytest.mark.parametrize("eta", [-0.2, -0.03, 0.0, 0.01, 0.08])
def test_butler_volmer_is_its_formula(eta: float) -> None:
    expected = 20.0 * (exp(-0.5 * eta / RT_F) - exp(1.5 * eta / RT_F))
    assert TRANSFER.current_density(np.array([eta]))[0] == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize("eta", [-0.4, -0.15, -0.02, 0.0, 0.03])
def test_copper_deposition_obeys_its_implicit_law(eta: float) -> None:
    """i = i0 [(1 - i/iL) exp(-ac F eta/RT) - exp(aa F eta/RT)], whose closed form is computed."""
    i = COPPER.current_density(np.array([eta]))[0]
    right = 20.0 * ((1 - i / 500.0) * exp(-0.5 * eta / RT_F) - exp(1.5 * eta / RT_F))
    assert i == pytest.approx(right, rel=1e-9, abs=1e-9)


def test_copper_approaches_its_limit_and_never_passes_it() -> None:
    eta = -np.linspace(0, 40, 401)
    current = COPPER.current_density(eta)
    assert (current <= 500.0).all()
    assert (np.diff(current) >= 0).all()
    assert current[-1] == pytest.approx(500.0, rel=1e-15)


def test_copper_without_a_felt_limit_is_butler_volmer() -> None:
    eta = np.linspace(-0.1, 0.1, 21)
    free = CopperDeposition(
        exchange_current_density=20.0,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        limiting_current_density=1e12,
        thermal_voltage=RT_F,
    )
    np.testing.assert_allclose(
        free.current_density(eta), TRANSFER.current_density(eta), rtol=1e-7, atol=1e-9
    )


def test_hydrogen_starts_at_its_own_equilibrium() -> None:
    eta = np.array([0.5, 0.0, -0.34, -0.35])
    current = HYDROGEN.current_density(eta)
    assert current[:3].tolist() == [0.0, 0.0, 0.0]
    assert current[3] == pytest.approx(1e-3 * (exp(0.5 * 0.01 / RT_F) - 1), rel=1e-12)


def test_hydrogen_tafel_slope() -> None:
    """2.303 RT/(alpha F) = 118 mV a decade at 25 °C for alpha = 0.5."""
    eta = np.array([-0.9, -1.0])
    current = HYDROGEN.current_density(eta)
    decade = 0.1 / (log(current[1] / current[0]) / log(10))
    assert decade == pytest.approx(0.1183, abs=1e-4)


def test_the_cathode_gives_the_surplus_to_hydrogen() -> None:
    eta = np.array([-0.1, -0.9])
    copper, total = CATHODE.copper_current_density(eta), CATHODE.current_density(eta)
    assert copper[0] == pytest.approx(total[0], rel=1e-12)
    assert copper[1] < 500.0 < total[1]
    np.testing.assert_allclose(total - copper, HYDROGEN.current_density(eta), rtol=1e-9, atol=1e-11)


def test_limits() -> None:
    assert CATHODE.limit == COPPER.limit == 500.0
    assert {law.limit for law in (TRANSFER, ANODE, LINEAR, HYDROGEN)} == {inf}


def test_the_anode_flags_what_may_go_passive() -> None:
    assert ANODE.passive(np.array([-301.0, -299.0, 400.0])).tolist() == [True, False, False]


@pytest.mark.parametrize("law", LAWS, ids=NAMES)
def test_rest_carries_no_current(law: ElectrodeLaw) -> None:
    assert law.current_density(np.zeros(1))[0] == 0.0


@pytest.mark.parametrize("law", [*LAWS, HYDROGEN], ids=[*NAMES, "Hydrogen"])
def test_slope_is_the_derivative(law: ElectrodeLaw) -> None:
    """Five-point differences, whose own error is below 1e-9 of the slope here."""
    eta, h = np.array([-0.7, -0.41, -0.2, -0.05, -1e-3, 2e-3, 0.06]), 1e-4
    around = [law.current_density(eta + k * h) for k in (-2, -1, 1, 2)]
    difference = (around[0] - 8 * around[1] + 8 * around[2] - around[3]) / (12 * h)
    np.testing.assert_allclose(law.slope(eta), difference, rtol=3e-8, atol=1e-7)


@pytest.mark.parametrize("law", LAWS, ids=NAMES)
def test_far_out_stays_finite_and_falling(law: ElectrodeLaw) -> None:
    eta = np.linspace(-60, 60, 481)
    current, slope = law.current_density(eta), law.slope(eta)
    assert np.isfinite(current).all()
    assert np.isfinite(slope).all()
    assert (np.diff(current) <= 0).all()
    assert (slope <= 0).all()


@pytest.mark.parametrize("law", LAWS, ids=NAMES)
def test_pickles(law: ElectrodeLaw) -> None:
    assert pickle.loads(pickle.dumps(law)) == law


def test_fixed_potential_is_a_millionth_of_the_solution() -> None:
    law = fixed_potential(conductivity=50.0, length=0.1)
    assert law.resistance == pytest.approx(1e-6 * 0.1 / 50.0)


@pytest.mark.parametrize("wrong", [0.0, -1.0, float("nan"), inf])
def test_refuses_what_is_no_law(wrong: float) -> None:
    with pytest.raises(BadInput, match="exchange current density must be a finite number above"):
        ButlerVolmer(
            exchange_current_density=wrong,
            cathodic_transfer=0.5,
            anodic_transfer=1.5,
            thermal_voltage=RT_F,
        )
    with pytest.raises(BadInput, match="resistance"):
        LinearPolarisation(resistance=wrong)


def test_refuses_hydrogen_nobler_than_copper() -> None:
    with pytest.raises(BadInput, match="equilibrium potential"):
        Hydrogen(exchange_current_density=1e-3, transfer=0.5, equilibrium=0.1, thermal_voltage=RT_F)


def test_what_a_shop_loses_is_no_copper_and_still_current() -> None:
    lossy = replace(CATHODE, efficiency=0.97)
    eta = np.linspace(-0.4, -0.01, 9)
    np.testing.assert_array_equal(lossy.current_density(eta), CATHODE.current_density(eta))
    np.testing.assert_allclose(
        lossy.copper_current_density(eta), 0.97 * CATHODE.copper_current_density(eta)
    )
