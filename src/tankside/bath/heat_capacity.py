"""The heat capacity of a mixed bath.

Laliberté (2009): Cp = w_w Cp_w + sum w_i Cp_i,
    Cp_i [kJ/kg/K] = a1 exp(a2 t + a3 exp(0.01 t) + a4 W) + a5 W^a6,  W = 1 - w_w, t in °C.
The author reports 29 J kg⁻¹ K⁻¹ standard deviation for mixtures. Copper sulfate stands on four
points at 18 °C up to 0.15 kg/kg, so the interval is 3 %, and beyond that strength it refuses.
"""

from math import exp

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.intervals import Interval
from tankside.bath import water
from tankside.bath.estimate import Estimate
from tankside.bath.laliberte import Law, MassFractions, fits

RELATIVE_ERROR = 0.03
"""Believed to hold nine times in ten [-]; our judgement, see the module."""


def heat_capacity(fractions: MassFractions, temperature: float) -> float:
    """Heat capacity [J kg⁻¹ K⁻¹] of a bath with these mass fractions at `temperature` [K]."""
    dissolved = sum(fractions.values())
    held = fits(Law.HEAT_CAPACITY, fractions, temperature)
    total = (1.0 - dissolved) * water.heat_capacity(temperature)
    for name, fit in held.items():
        total += fractions[name] * _solute(fit.parameters, dissolved, temperature)
    return total


def heat_capacity_estimate(fractions: MassFractions, temperature: float) -> Estimate:
    """Heat capacity [J kg⁻¹ K⁻¹] with its interval."""
    value = Interval.about(heat_capacity(fractions, temperature), RELATIVE_ERROR)
    return Estimate(value=value, sources=("laliberte2009", "wagner2002"))


def _solute(parameters: tuple[float, ...], dissolved: float, temperature: float) -> float:
    """Apparent heat capacity of one solute [J kg⁻¹ K⁻¹]."""
    a1, a2, a3, a4, a5, a6 = parameters
    t = temperature - ZERO_CELSIUS_K
    alpha = a2 * t + a3 * exp(0.01 * t) + a4 * dissolved
    return float(1e3 * (a1 * exp(alpha) + a5 * dissolved**a6))
