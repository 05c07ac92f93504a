"""Charge transfer of copper: exchange current density and the two transfer coefficients.

i = i0 [exp(aa F eta/RT) - exp(-ac F eta/RT)], i0 = 10 A/m² (c / 0.1 M)^0.42 (Newman 1966), aa =
1.5 and ac = 0.5 (Mattsson and Bockris 1959: the first electron is the slow one). The numbers are
from memory and published exchange currents spread over two decades with surface, method and
additives, so the interval runs from a tenth to four times the best guess. Its temperature
dependence is unknown and left out. Tafel's slope, which rules uniformity, follows from ac and is
known far better.
"""

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.bath import parameters
from tankside.bath.estimate import Estimate
from tankside.bath.parameters import parameter

LOWEST_COPPER = 10.0
"""Copper below which the power law is not used [mol m⁻³]."""


def exchange_current_density(copper_molarity: float) -> Estimate:
    """i0 of Cu²⁺/Cu [A m⁻²] at a copper concentration [mol m⁻³]; BadInput below 10 mol m⁻³."""
    if not copper_molarity >= LOWEST_COPPER:
        raise BadInput(
            "a bath with {copper_molarity:.3g} mol/m³ of copper is too thin to plate from; the "
            "rate law begins at {lowest_copper:g} mol/m³ (2.5 g/L of the salt)",
            copper_molarity=copper_molarity,
            lowest_copper=LOWEST_COPPER,
        )
    reference = parameter("exchange_current_reference").best
    exponent = parameter("exchange_current_exponent").value
    ratio = copper_molarity / reference
    ends = (ratio**exponent.low, ratio**exponent.high)
    i0 = parameter("exchange_current").value
    value = Interval(i0.low * min(ends), i0.best * ratio**exponent.best, i0.high * max(ends))
    return Estimate(
        value=value,
        assumptions=(
            said(
                "Copper's exchange current density is that of a bath without organic "
                "additives, from memory of the literature, anywhere from {value_low} to "
                "{value_high}.",
                value_low=Quantity(value.low, "A/m^2", 2, bare=True),
                value_high=Quantity(value.high, "A/m^2", 2),
            ),
            said(
                "A suppressor such as PEG with chloride slows copper down and evens the "
                "deposit; a brightener undoes part of that; neither is modelled, and no "
                "published number for your additive is held."
            ),
        ),
        sources=parameters.keys("exchange_current"),
    )


def cathodic_transfer() -> Estimate:
    """alpha_c of copper [-], in exp(-alpha_c F eta / RT)."""
    return Estimate(
        value=parameter("cathodic_transfer").value, sources=parameters.keys("cathodic_transfer")
    )


def anodic_transfer() -> Estimate:
    """alpha_a of copper [-], in exp(alpha_a F eta / RT)."""
    return Estimate(
        value=parameter("anodic_transfer").value, sources=parameters.keys("anodic_transfer")
    )
