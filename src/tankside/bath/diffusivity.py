"""How fast copper ions diffuse in an acid copper bath.

D = (T / mu) (a0 + a1 c_acid + a2 c_Cu), the Stokes-Einstein form of Fenech and Tobias (1960); the
viscosity carries the temperature. Checked against the two activation energies that were read, 19.2
(Moats and others 2000) and 26.8 kJ/mol. Its low end is the infinite-dilution value from copper's
ionic conductivity. Range: 1.2 M copper sulfate, 2.7 M acid.
"""

from tankside.base.errors import OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.bath import parameters
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.estimate import Estimate
from tankside.bath.parameters import parameter
from tankside.bath.viscosity import viscosity, viscosity_estimate

HIGHEST_COPPER = 1200.0
"""[mol m⁻³], a little above the measured range of the correlation."""

HIGHEST_ACID = 2700.0
"""[mol m⁻³]; read up to 2.5 M by the refining papers that confirm the trend."""


def diffusivity(composition: Composition, temperature: float) -> float:
    """Diffusivity of Cu²⁺ [m² s⁻¹] at `temperature` [K]; OutsideValidity beyond the range above."""
    mobility = _viscous_mobility(composition, parameter("diffusivity_base").best)
    return mobility * temperature / viscosity(mass_fractions(composition, temperature), temperature)


def diffusivity_estimate(composition: Composition, temperature: float) -> Estimate:
    """Diffusivity of Cu²⁺ [m² s⁻¹] with its interval, about -20 and +16 %.

    Spread of the correlation's constant and half of the viscosity's own, as the constant was fitted
    with measured viscosities.
    """
    base = parameter("diffusivity_base").value
    mu = viscosity_estimate(mass_fractions(composition, temperature), temperature).value
    thin, thick = (mu.low + mu.best) / 2.0, (mu.high + mu.best) / 2.0
    value = Interval(
        _viscous_mobility(composition, base.low) * temperature / thick,
        _viscous_mobility(composition, base.best) * temperature / mu.best,
        _viscous_mobility(composition, base.high) * temperature / thin,
    )
    return Estimate(
        value=value,
        assumptions=(
            said(
                "Copper's diffusivity follows the viscosity by a correlation of 1960 that was "
                "not measured in this bath."
            ),
        ),
        sources=(*parameters.keys("diffusivity_base"), "moats2000", "laliberte2007"),
    )


def _viscous_mobility(composition: Composition, base: float) -> float:
    """D mu / T [N K⁻¹]."""
    if composition.copper_molarity > HIGHEST_COPPER or composition.acid_molarity > HIGHEST_ACID:
        raise OutsideValidity(
            "copper's diffusivity is known up to {highest_copper:g} mol/L of copper and "
            "{highest_acid:g} mol/L of acid, not {copper_molarity:.3g} and {acid_molarity:.3g}",
            highest_copper=HIGHEST_COPPER / 1e3,
            highest_acid=HIGHEST_ACID / 1e3,
            copper_molarity=composition.copper_molarity / 1e3,
            acid_molarity=composition.acid_molarity / 1e3,
        )
    return (
        base
        + parameter("diffusivity_acid").best * composition.acid_molarity
        + parameter("diffusivity_copper").best * composition.copper_molarity
    )
