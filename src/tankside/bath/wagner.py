"""The length over which a bath evens out its deposit: Wagner (1951), kappa times d(eta)/d(i).

A part much smaller than this length plates evenly whatever its shape; one much larger follows the
field. The slope is that of Butler-Volmer at the current density asked for, without the
mass-transfer limit, which would only lengthen it.
"""

from math import asinh, exp

from tankside.base.constants import thermal_voltage
from tankside.base.errors import BadInput, NotConverged
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.bath.electrolyte import Electrolyte

_TOLERANCE = 1e-12
_MOST_STEPS = 200


def wagner_length(electrolyte: Electrolyte, current_density: float) -> Interval:
    """kappa |d(eta)/d(i)| [m] at a cathodic current density [A m⁻²], with its interval.

    Longer in better conductors, at lower current density, for smaller i0 and alpha.
    """
    if not current_density >= 0.0:
        raise BadInput(
            "a cathode's current density is zero or more, not {current_density} A/m²",
            current_density=current_density,
        )
    bath = electrolyte

    def length(kappa: float, i0: float, alpha_c: float, alpha_a: float) -> float:
        eta = overpotential(current_density, i0, alpha_c, alpha_a, bath.temperature)
        return kappa / slope(eta, i0, alpha_c, alpha_a, bath.temperature)

    i0, ac, aa = bath.exchange_current_density, bath.cathodic_transfer, bath.anodic_transfer
    ends = sorted(
        length(kappa, exchange, cathodic, aa.best)
        for kappa in (bath.conductivity.low, bath.conductivity.high)
        for exchange in (i0.low, i0.high)
        for cathodic in (ac.low, ac.high)
    )
    best = length(bath.conductivity.best, i0.best, ac.best, aa.best)
    return Interval(min(ends[0], best), best, max(ends[-1], best))


def overpotential(
    current_density: float, i0: float, alpha_c: float, alpha_a: float, temperature: float
) -> float:
    """The negative overpotential [V] at which copper deposits at `current_density` [A m⁻²].

    Solves i = i0 [exp(-ac f eta) - exp(aa f eta)] by Newton from the Tafel side, where the rate law
    is convex and the steps cannot overshoot.
    """
    f = 1.0 / thermal_voltage(temperature)
    eta = -asinh(current_density / (2.0 * i0) + 0.5) / (alpha_c * f)
    step = float("inf")
    for _ in range(_MOST_STEPS):
        excess = i0 * (exp(-alpha_c * f * eta) - exp(alpha_a * f * eta)) - current_density
        step = excess / slope(eta, i0, alpha_c, alpha_a, temperature)
        eta += step
        if abs(step) < _TOLERANCE:
            return eta
    raise NotConverged(
        "no overpotential was found for {current_density}",
        current_density=Quantity(current_density, "A/m^2", 6),
        residual=abs(step),
        iterations=_MOST_STEPS,
    )


def slope(eta: float, i0: float, alpha_c: float, alpha_a: float, temperature: float) -> float:
    """|d(i)/d(eta)| of copper's rate law [A m⁻² V⁻¹] at an overpotential [V]."""
    f = 1.0 / thermal_voltage(temperature)
    return i0 * f * (alpha_c * exp(-alpha_c * f * eta) + alpha_a * exp(alpha_a * f * eta))
