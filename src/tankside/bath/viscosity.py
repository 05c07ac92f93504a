"""The viscosity of a mixed bath.

Laliberté (2007), parameters of Laliberté (2009):
    ln mu = w_w ln mu_w + sum w_i ln mu_i,
    mu_i [mPa s] = exp[(v1 W^v2 + v3)/(v4 t + 1)] / (v5 W^v6 + 1),  W = 1 - w_w, t in °C.
The interval of 10 % is wider than the scatter of single salts (a few per cent), because copper
sulfate with acid was not among the mixtures whose check was read.
"""

from math import exp, log

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.intervals import Interval
from tankside.bath import water
from tankside.bath.estimate import Estimate
from tankside.bath.laliberte import Law, MassFractions, fits

RELATIVE_ERROR = 0.10
"""Believed to hold nine times in ten for mixtures [-]; our judgement, see the module."""


def viscosity(fractions: MassFractions, temperature: float) -> float:
    """Dynamic viscosity [Pa s] of a bath with these mass fractions at `temperature` [K]."""
    dissolved = sum(fractions.values())
    held = fits(Law.VISCOSITY, fractions, temperature)
    logarithm = (1.0 - dissolved) * log(water.viscosity(temperature))
    for name, fit in held.items():
        logarithm += fractions[name] * _log_solute(fit.parameters, dissolved, temperature)
    return exp(logarithm)


def viscosity_estimate(fractions: MassFractions, temperature: float) -> Estimate:
    """Dynamic viscosity [Pa s] with its interval."""
    value = Interval.about(viscosity(fractions, temperature), RELATIVE_ERROR)
    return Estimate(value=value, sources=("laliberte2007", "laliberte2009"))


def _log_solute(parameters: tuple[float, ...], dissolved: float, temperature: float) -> float:
    """Logarithm of one solute's share of the viscosity, in Pa s."""
    v1, v2, v3, v4, v5, v6 = parameters
    t = temperature - ZERO_CELSIUS_K
    exponent = (v1 * dissolved**v2 + v3) / (v4 * t + 1.0)
    return float(exponent - log(v5 * dissolved**v6 + 1.0) + log(1e-3))
