"""Pitzer's activities against published ones and against Gibbs and Duhem."""

from math import exp, log

import chemicals
import pytest

from tankside.bath.speciation.debye_hueckel import davies_slope, permittivity, pitzer_slope
from tankside.bath.speciation.pitzer import WATER_KG_PER_MOL, activities


@pytest.mark.parametrize("kelvin", [273.16, 288.15, 298.15, 313.15, 333.15])
def test_permittivity_is_that_of_the_standard(kelvin: float) -> None:
    rho = chemicals.iapws.iapws95_rho(kelvin, 101325.0)
    standard = chemicals.permittivity.permittivity_IAPWS(kelvin, rho)
    assert permittivity(kelvin) == pytest.approx(standard, rel=2e-3)


def test_slopes_at_room_temperature() -> None:
    """0.509 and 0.391 in every textbook."""
    assert davies_slope(298.15) == pytest.approx(0.5095, abs=2e-3)
    assert pitzer_slope(298.15) == pytest.approx(0.3915, abs=1e-3)


@pytest.mark.parametrize(("molality", "gamma"), [(0.1, 0.150), (0.5, 0.0620), (1.0, 0.0423)])
def test_mean_activity_of_copper_sulfate(molality: float, gamma: float) -> None:
    """Robinson and Stokes, from memory; the compilations differ by about 3 %."""
    ions = {"H": 1e-9, "Cu": molality, "HSO4": 1e-9, "SO4": molality}
    held = activities(ions, 298.15).log_gamma
    assert exp((held["Cu"] + held["SO4"]) / 2.0) == pytest.approx(gamma, rel=0.04)


@pytest.mark.parametrize(
    "ions",
    [
        {"H": 0.8, "Cu": 0.5, "HSO4": 0.6, "SO4": 0.6},
        {"H": 2.2, "Cu": 0.3, "HSO4": 1.8, "SO4": 0.5},
    ],
)
def test_gibbs_and_duhem(ions: dict[str, float]) -> None:
    """sum m d ln(m gamma) = - n_w d ln(a_w) along a neutral change of composition."""
    step = 1e-5

    def at(scale: float) -> tuple[dict[str, float], float]:
        # add HSO4⁻ with H⁺, and copper sulfate, both neutral
        moved = dict(ions)
        moved["H"] += scale
        moved["HSO4"] += scale
        moved["Cu"] += 0.3 * scale
        moved["SO4"] += 0.3 * scale
        held = activities(moved, 298.15)
        return {ion: log(m) + held.log_gamma[ion] for ion, m in moved.items()}, held.log_water

    up, water_up = at(step)
    down, water_down = at(-step)
    solutes = sum(ions[ion] * (up[ion] - down[ion]) for ion in ions)
    assert solutes == pytest.approx(-(water_up - water_down) / WATER_KG_PER_MOL, rel=1e-6)
