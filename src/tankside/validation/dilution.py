"""Heats of mixing acid, and of dissolving salts and oxide, against published heats."""

from math import inf

from tankside.bath.heat_of_dilution import (
    heat_given_off,
    heat_of_dissolving,
    heat_of_solution,
    mixed_temperature,
)
from tankside.bath.mixture import Mixture
from tankside.substances import substance
from tankside.validation.cases import quantity

_WARM = 298.15


@quantity("heat of mixing sulfuric acid into water")
def mixing_heat(strength: float, acid_g: float, water_g: float) -> float:
    """Given off at 25 °C [kJ]."""
    return heat_given_off(_water(water_g), _acid(strength, acid_g)).best * 1e-3


@quantity("warming of water by sulfuric acid")
def warming(strength: float, acid_g: float, water_g: float) -> float:
    """Both at 25 °C, nothing lost [K]."""
    acid = _acid(strength, acid_g)
    return mixed_temperature(_water(water_g), _WARM, acid, _WARM).value.best - _WARM


@quantity("heat of diluting hydrochloric acid without end")
def endless_dilution(molality: float) -> float:
    """From a molality [mol kg⁻¹], given off at 25 °C [kJ mol⁻¹]."""
    water_per_acid = 1.0 / (molality * substance("water").molar_mass)
    acid = "hydrochloric acid"
    return (heat_of_solution(acid, water_per_acid) - heat_of_solution(acid, inf)) * 1e-3


@quantity("heat of solution of an acid")
def solution(acid: str, water_per_acid: float) -> float:
    """Enthalpy of solution at 25 °C [kJ mol⁻¹]; 1e12 moles of water stand for no end."""
    ratio = inf if water_per_acid >= 1e12 else water_per_acid
    return heat_of_solution(acid, ratio) * 1e-3


@quantity("heat of dissolving a solid")
def dissolving(name: str) -> float:
    """Enthalpy of dissolving to infinite dilution at 25 °C [kJ mol⁻¹]."""
    return heat_of_dissolving(name) * 1e-3


@quantity("heat of hydrating copper sulfate")
def hydration() -> float:
    """CuSO4 + 5 H2O = CuSO4·5H2O, from the two heats of dissolving [kJ mol⁻¹]."""
    dry = heat_of_dissolving("copper sulfate")
    return (dry - heat_of_dissolving("copper sulfate pentahydrate")) * 1e-3


def _acid(strength: float, grams: float) -> Mixture:
    mass = grams * 1e-3
    return Mixture(masses={"sulfuric acid": strength * mass, "water": (1.0 - strength) * mass})


def _water(grams: float) -> Mixture:
    return Mixture(masses={"water": grams * 1e-3})
