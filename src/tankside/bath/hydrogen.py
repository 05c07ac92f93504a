"""Hydrogen on copper: where it becomes possible, and how fast it comes.

Its equilibrium potential against copper in the same bath, by Nernst:
    E = (RT/F) ln(c_H / 1 M) - [E0 + (RT/2F) ln(c_Cu / 1 M) + shift],
with one proton per acid molecule (the second stays on bisulfate), E0 = 0.340 V, and a shift for the
non-ideal copper ion that the copper sulfate reference electrode shows. Exchange current density
and transfer coefficient are of the textbooks, from memory; with them hydrogen takes a quarter of
a thin bath's current 0.8 V below rest, where a tenth was measured (Nikolić and others 2007, from
memory): right to the factor of ten that the interval admits.
"""

from math import log

from tankside.base.constants import COPPER_VALENCE, thermal_voltage
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.bath import parameters
from tankside.bath.composition import Composition
from tankside.bath.estimate import Estimate
from tankside.bath.parameters import parameter

_ONE_MOLAR = 1000.0


def hydrogen_equilibrium(composition: Composition, temperature: float) -> Estimate:
    """Potential of H⁺/H2 against copper in this bath [V], negative, about ±25 mV.

    `temperature` in K. Less negative in stronger acid, more negative with more copper.
    """
    if composition.acid_molarity <= 0.0 or composition.copper_molarity <= 0.0:
        raise BadInput("hydrogen's potential needs a bath with both copper sulfate and acid in it")
    thermal = thermal_voltage(temperature)
    hydrogen = thermal * log(composition.acid_molarity / _ONE_MOLAR)
    copper = thermal / COPPER_VALENCE * log(composition.copper_molarity / _ONE_MOLAR)
    standard = parameter("copper_standard_potential").value
    shift = parameter("copper_activity_shift").value
    value = Interval(
        hydrogen - copper - standard.high - shift.high,
        hydrogen - copper - standard.best - shift.best,
        hydrogen - copper - standard.low - shift.low,
    )
    return Estimate(
        value=value,
        sources=parameters.keys("copper_standard_potential", "copper_activity_shift"),
    )


def hydrogen_exchange() -> Estimate:
    """Exchange current density of hydrogen on copper in strong acid [A m⁻²], two decades wide."""
    return Estimate(
        value=parameter("hydrogen_exchange").value,
        assumptions=(
            said(
                "How fast hydrogen comes once copper runs short is from memory of textbooks; "
                "it decides the voltage of a burning area, hardly which area burns."
            ),
        ),
        sources=parameters.keys("hydrogen_exchange"),
    )


def hydrogen_transfer() -> Estimate:
    """Transfer coefficient of hydrogen evolution on copper [-]."""
    return Estimate(
        value=parameter("hydrogen_transfer").value, sources=parameters.keys("hydrogen_transfer")
    )
