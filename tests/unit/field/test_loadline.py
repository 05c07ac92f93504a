"""The load line: every load has its point, at every resistance, from every start."""

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.field.kinetics import (
    ButlerVolmer,
    CopperCathode,
    CopperDeposition,
    Hydrogen,
    LinearPolarisation,
)
from tankside.field.loadline import overpotential_at, overpotential_on_load_line
from tankside.field.problem import ElectrodeLaw

RT_F = 0.025693
COPPER = CopperDeposition(
    exchange_current_density=20.0,
    cathodic_transfer=0.5,
    anodic_transfer=1.5,
    limiting_current_density=500.0,
    thermal_voltage=RT_F,
)
CATHODE = CopperCathode(
    copper=COPPER,
    hydrogen=Hydrogen(
        exchange_current_density=1e-3, transfer=0.5, equilibrium=-0.34, thermal_voltage=RT_F
    ),
)
LAWS = [
    CATHODE,
    COPPER,
    ButlerVolmer(
        exchange_current_density=1.0,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        thermal_voltage=RT_F,
    ),
    LinearPolarisation(resistance=1e-12),
    LinearPolarisation(resistance=1e3),
]


@pytest.mark.parametrize("law", LAWS, ids=lambda law: type(law).__name__)
@pytest.mark.parametrize("resistance", [1e-9, 4e-5, 1e2])
def test_the_point_lies_on_the_load_line(law: ElectrodeLaw, resistance: float) -> None:
    load = np.concatenate([-np.geomspace(1e-9, 30, 60), [0.0], np.geomspace(1e-9, 30, 60)])
    r = np.full_like(load, resistance)
    for start in (np.zeros_like(load), np.full_like(load, 0.7), -load):
        eta = overpotential_on_load_line(law, load, r, start)
        back = r * law.current_density(eta) - eta
        slope = 1 - r * law.slope(eta)
        assert (np.abs(back - load) <= 1e-11 * (np.abs(load) + slope * np.abs(eta)) + 1e-15).all()


def test_a_warm_start_gives_the_same_point() -> None:
    load, r = np.linspace(-0.2, 0.5, 50), np.full(50, 4e-5)
    cold = overpotential_on_load_line(CATHODE, load, r, np.zeros(50))
    warm = overpotential_on_load_line(CATHODE, load, r, cold + 1e-3)
    np.testing.assert_allclose(warm, cold, rtol=1e-12, atol=1e-15)


def test_overpotential_at_inverts_the_law() -> None:
    for current in (1e-6, 3.0, 499.0, 501.0, 2000.0, -4.0, -900.0):
        eta = overpotential_at(CATHODE, current)
        assert CATHODE.current_density(np.array([eta]))[0] == pytest.approx(current, rel=1e-9)


def test_overpotential_at_refuses_more_than_the_limit() -> None:
    with pytest.raises(BadInput, match="cannot carry 501 A/m²"):
        overpotential_at(COPPER, 501.0)
