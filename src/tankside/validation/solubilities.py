"""Copper sulfate's solubility in water and in acid, in the units of the tables."""

from scipy.optimize import brentq

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.solubility import saturated
from tankside.substances import molar_mass
from tankside.validation.cases import quantity


@quantity("copper sulfate in saturated water")
def in_water(temperature_degC: float) -> float:
    """Grams of anhydrous salt per kilogram of water."""
    share = _shares(0.0, temperature_degC)["copper sulfate"]
    return 1e3 * share / (1.0 - share)


@quantity("copper sulfate in saturated acid")
def in_acid(sulfuric_acid_mass_fraction: float, temperature_degC: float = 25.0) -> float:
    """Per cent by mass of anhydrous salt, beside acid that is this share of the solution's mass."""

    def excess(acid: float) -> float:
        return _shares(acid, temperature_degC)["sulfuric acid"] - sulfuric_acid_mass_fraction

    acid = float(brentq(excess, 1e-3, 349.0, xtol=1e-8))
    return 100.0 * _shares(acid, temperature_degC)["copper sulfate"]


@quantity("copper sulfate in saturated cold acid")
def in_cold_acid(sulfuric_acid_g_L: float, temperature_degC: float = 0.0) -> float:
    """Grams of anhydrous salt in a litre of solution that holds this much acid."""
    held = saturated(sulfuric_acid_g_L, temperature_degC + ZERO_CELSIUS_K)
    return held * molar_mass("CuSO4") / molar_mass("CuSO4·5H2O")


def _shares(sulfuric_acid: float, temperature_degC: float) -> dict[str, float]:
    temperature = temperature_degC + ZERO_CELSIUS_K
    bath = Composition(
        copper_sulfate_pentahydrate=saturated(sulfuric_acid, temperature),
        sulfuric_acid=sulfuric_acid,
    )
    return mass_fractions(bath, max(temperature, 10.0 + ZERO_CELSIUS_K))
