"""The density of a mixed bath.

Laliberté and Cooper (2004), parameters of Laliberté (2009):
    1/rho = w_w/rho_w + sum w_i v_i,
    v_i = (W + c2 + c3 t) / [(c0 W + c1) exp(1e-6 (t + c4)²)],  W = 1 - w_w, t in °C.
The authors report 1.39 kg m⁻³ standard deviation for 1600 points with several solutes, hence the
interval of 0.25 %. Refuses what lies beyond the fitted concentrations or temperatures.
"""

from math import exp

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.intervals import Interval
from tankside.bath import water
from tankside.bath.estimate import Estimate
from tankside.bath.laliberte import Law, MassFractions, fits

RELATIVE_ERROR = 0.0025
"""Nine in ten of the published mixtures lie this close [-]: 1.64 times 1.39 kg m⁻³ of 1000."""


def density(fractions: MassFractions, temperature: float) -> float:
    """Density [kg m⁻³] of a bath with these mass fractions at `temperature` [K]."""
    dissolved = sum(fractions.values())
    held = fits(Law.DENSITY, fractions, temperature)
    volume = (1.0 - dissolved) / water.density(temperature)
    for name, fit in held.items():
        volume += fractions[name] * _apparent_volume(fit.parameters, dissolved, temperature)
    return 1.0 / volume


def density_estimate(fractions: MassFractions, temperature: float) -> Estimate:
    """Density [kg m⁻³] with its interval."""
    value = Interval.about(density(fractions, temperature), RELATIVE_ERROR)
    return Estimate(value=value, sources=("laliberte2004", "laliberte2009"))


def _apparent_volume(parameters: tuple[float, ...], dissolved: float, temperature: float) -> float:
    """Apparent specific volume of one solute [m³ kg⁻¹]."""
    c0, c1, c2, c3, c4 = parameters
    t = temperature - ZERO_CELSIUS_K
    return (dissolved + c2 + c3 * t) / ((c0 * dissolved + c1) * exp(1e-6 * (t + c4) ** 2))
