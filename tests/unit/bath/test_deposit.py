"""Faraday's laws there and back, and the deposit's own properties."""

import pytest

from tankside.base.constants import COPPER_DENSITY_KG_PER_M3
from tankside.base.errors import BadInput
from tankside.bath import deposit


def test_an_ampere_hour_is_one_gram_and_a_bit() -> None:
    """1.18549 g/Ah from M = 63.546 g/mol and exact F; tables print 1.186."""
    assert deposit.deposited_mass(3600.0) == pytest.approx(1.185494e-3, rel=1e-6)


def test_mass_and_charge_are_inverses() -> None:
    for efficiency in (0.5, 0.97, 1.0):
        charge = deposit.charge_of_mass(1e-3, efficiency)
        assert deposit.deposited_mass(charge, efficiency) == pytest.approx(1e-3, rel=1e-14)
        layer = deposit.charge_of_thickness(1e-4, efficiency=efficiency)
        assert deposit.deposited_thickness(layer, efficiency=efficiency) == pytest.approx(1e-4)


def test_growth_rate_of_a_lighter_deposit_is_faster() -> None:
    """13.23 µm/h at 1 A/dm² and 8.96 g/cm³."""
    assert deposit.growth_rate(100.0, 8960.0) * 3600e6 == pytest.approx(13.231, rel=1e-4)
    assert deposit.growth_rate(100.0, 8890.0) > deposit.growth_rate(100.0, 8960.0)


@pytest.mark.parametrize("efficiency", [0.0, -0.1, 1.01, float("nan")])
def test_impossible_efficiencies_are_refused(efficiency: float) -> None:
    with pytest.raises(BadInput, match="current efficiency"):
        deposit.deposited_mass(3600.0, efficiency)


def test_density_and_resistivity_lie_between_published_ends() -> None:
    assert 8920.0 in deposit.deposit_density()
    assert 8960.0 in deposit.deposit_density()
    resistivity = deposit.deposit_resistivity()
    assert resistivity.low == deposit.wrought_resistivity() == 1.7241e-8
    assert resistivity.best == pytest.approx(0.162e-3 / 8930.0, rel=1e-3)  # IPC-MF-150F
    assert resistivity.high == pytest.approx(1.7241e-8 / 0.6, rel=2e-3)


def test_resistivity_rises_with_temperature_by_the_standard() -> None:
    """0.00393 per kelvin at 20 °C (IEC 60028)."""
    warm, cold = deposit.wrought_resistivity(303.15), deposit.wrought_resistivity(293.15)
    assert warm / cold == pytest.approx(1.0393, rel=1e-12)


def test_sheet_resistance_halves_with_twice_the_film() -> None:
    thin, thick = (deposit.sheet_resistance(t).best for t in (1e-6, 2e-6))
    assert thin == pytest.approx(2 * thick)
    with pytest.raises(BadInput, match="above zero"):
        deposit.sheet_resistance(0.0)


def test_the_best_guess_of_density_is_that_of_every_other_room() -> None:
    assert deposit.deposit_density().best == COPPER_DENSITY_KG_PER_M3
