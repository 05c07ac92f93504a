"""Pure water against the IAPWS formulations, through CoolProp."""

import pytest
from CoolProp.CoolProp import PropsSI

from tankside.base.errors import OutsideValidity
from tankside.bath import water

TEMPERATURES = [274.15, 283.15, 291.15, 298.15, 304.7, 313.15, 323.15, 333.15, 358.15, 372.0]


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_water_is_that_of_the_steam_tables(temperature: float) -> None:
    def standard(letter: str) -> float:
        return float(PropsSI(letter, "T", temperature, "P", 101325.0, "Water"))

    assert water.density(temperature) == pytest.approx(standard("D"), rel=3e-5)
    assert water.viscosity(temperature) == pytest.approx(standard("V"), rel=5e-3)
    assert water.heat_capacity(temperature) == pytest.approx(standard("C"), rel=3e-4)


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_saturation_is_that_of_the_steam_tables(temperature: float) -> None:
    pressure = PropsSI("P", "T", temperature, "Q", 0, "Water")
    steam, liquid = (PropsSI("H", "T", temperature, "Q", q, "Water") for q in (1, 0))
    assert water.vapour_pressure(temperature) == pytest.approx(pressure, rel=2e-4)
    assert water.latent_heat(temperature) == pytest.approx(steam - liquid, rel=3e-4)


@pytest.mark.parametrize("celsius", [-0.1, 100.1, 25.0 - 273.15, float("nan")])
def test_ice_and_steam_are_refused(celsius: float) -> None:
    with pytest.raises(OutsideValidity, match="liquid from 0 to 100 °C"):
        water.density(celsius + 273.15)
