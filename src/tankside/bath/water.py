"""Pure water: density, viscosity, heat capacity, heat of evaporation, vapour pressure.

Density and viscosity are the closed forms inside Laliberté's mixture laws (the first is Kell's);
vapour pressure is the equation of Wagner and Pruss (1993), 0.03 % from 0 to 100 °C; the two heats
are a table of the IAPWS 1995 formulation. Everything refuses temperatures off 0 to 100 °C.
"""

from functools import cache
from math import exp, isfinite

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import OutsideValidity
from tankside.base.tables import table
from tankside.bath.interpolation import between

_CRITICAL_TEMPERATURE_K = 647.096
_CRITICAL_PRESSURE_PA = 22.064e6
_ROOM = "tankside.bath"


def density(temperature: float) -> float:
    """Density of water at 1 atm [kg m⁻³] at `temperature` [K]; within 0.01 % (Laliberté 2009)."""
    t = celsius(temperature)
    numerator = 999.83952 + t * (
        16.945176
        + t * (-0.0079870401 + t * (-4.6170461e-5 + t * (1.0556302e-7 - 2.8054253e-10 * t)))
    )
    return numerator / (1.0 + 0.01687985 * t)


def viscosity(temperature: float) -> float:
    """Dynamic viscosity of water [Pa s] at `temperature` [K]; within 1 % (Laliberté 2009)."""
    t = celsius(temperature)
    return 1e-3 * (t + 246.0) / ((0.05594 * t + 5.2842) * t + 137.37)


def heat_capacity(temperature: float) -> float:
    """Heat capacity of liquid water at 1 atm [J kg⁻¹ K⁻¹] at `temperature` [K]; within 0.05 %."""
    nodes, capacities, _ = _heats()
    return between(
        nodes, capacities, celsius(temperature), what="the heat capacity of water", unit="°C"
    )


def latent_heat(temperature: float) -> float:
    """Heat of evaporation of water [J kg⁻¹] at `temperature` [K]; within 0.05 %."""
    nodes, _, latent = _heats()
    return between(
        nodes, latent, celsius(temperature), what="the heat of evaporation of water", unit="°C"
    )


def vapour_pressure(temperature: float) -> float:
    """Saturation pressure of water [Pa] at `temperature` [K], Wagner and Pruss (1993), eq. 1."""
    celsius(temperature)
    theta = 1.0 - temperature / _CRITICAL_TEMPERATURE_K
    total = sum(coefficient * theta**exponent for exponent, coefficient in _vapour_terms())
    return _CRITICAL_PRESSURE_PA * exp(_CRITICAL_TEMPERATURE_K / temperature * total)


def celsius(temperature: float) -> float:
    """`temperature` [K] in °C; OutsideValidity where liquid water at 1 atm does not exist."""
    t = temperature - ZERO_CELSIUS_K
    if not (isfinite(t) and 0.0 <= t <= 100.0):
        raise OutsideValidity(
            "water is liquid from 0 to 100 °C, not at {t:.4g} °C; temperatures are in kelvin here",
            t=t,
        )
    return t


@cache
def _heats() -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    rows = table(_ROOM, "water.csv")
    return (
        tuple(float(row["temperature_degC"]) for row in rows),
        tuple(float(row["heat_capacity_J_kg_K"]) for row in rows),
        tuple(float(row["latent_heat_kJ_kg"]) * 1e3 for row in rows),
    )


@cache
def _vapour_terms() -> tuple[tuple[float, float], ...]:
    return tuple(
        (float(row["exponent"]), float(row["coefficient"]))
        for row in table(_ROOM, "water_vapour_pressure.csv")
    )
