"""Mass transfer to a vertical cathode in a still bath, driven by its own lighter, depleted liquid.

Wilke, Eisenberg and Tobias (1953): Sh = 0.673 (Sc Gr)^(1/4) averaged over the height, Sh = k H / D,
Gr = g (drho/rho) H³ / nu², for the limiting current. Taller and stronger than Sc Gr about 2e11 the
turbulent law of Fouad and Ibl (1960), Sh = 0.31 (Sc Gr)^0.28, gives more and is taken. Below the
limit the driving difference shrinks and the layer is thicker, up to a quarter at 40 % of the limit,
where it matters less.
"""

from dataclasses import dataclass, replace

from tankside.base.constants import COPPER_VALENCE, FARADAY_C_PER_MOL, STANDARD_GRAVITY_M_PER_S2
from tankside.base.errors import OutsideValidity
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.density import density
from tankside.bath.parameters import parameter

RAYLEIGH_RANGE = (1e4, 1e15)
"""Sc Gr that the two laws together answer for [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuoyantLiquid:
    """What the laws need: diffusivity [m² s⁻¹], kinematic viscosity [m² s⁻¹], and the density lost
    at a cathode at its limit over that of the bath [-]."""

    diffusivity: float
    kinematic_viscosity: float
    lost_density: float

    def rayleigh(self, height: float) -> float:
        """Sc Gr of a cathode `height` tall [m]."""
        buoyancy = STANDARD_GRAVITY_M_PER_S2 * self.lost_density * height**3
        return buoyancy / (self.kinematic_viscosity * self.diffusivity)


def lost_density(composition: Composition, temperature: float) -> float:
    """Density that a bath loses beside a cathode that takes all its copper, relative [-].

    The acid is left as it is: its small enrichment there cuts the flow by about 3 %.
    """
    depleted = replace(composition, copper_sulfate_pentahydrate=0.0)
    full = density(mass_fractions(composition, temperature), temperature)
    return (full - density(mass_fractions(depleted, temperature), temperature)) / full


def laminar_sherwood(rayleigh: float, constant: float | None = None) -> float:
    """Sh of the law of 1953, averaged over the height; `constant` in place of 0.673."""
    a = parameter("free_convection_laminar").best if constant is None else constant
    return float(a * _checked(rayleigh) ** 0.25)


def turbulent_sherwood(rayleigh: float, constant: float | None = None) -> float:
    """Sh of the law of 1960, averaged over the height; `constant` in place of 0.31."""
    b = parameter("free_convection_turbulent").best if constant is None else constant
    return float(b * _checked(rayleigh) ** 0.28)


def free_convection_layer(
    liquid: BuoyantLiquid,
    height: float,
    *,
    laminar: float | None = None,
    turbulent: float | None = None,
) -> float:
    """Nernst layer [m] of a vertical cathode `height` tall [m] at its limit: H / Sh."""
    rayleigh = liquid.rayleigh(height)
    sherwood = max(laminar_sherwood(rayleigh, laminar), turbulent_sherwood(rayleigh, turbulent))
    return height / sherwood


def limiting_current_density(diffusivity: float, concentration: float, layer: float) -> float:
    """2 F D c / delta [A m⁻²]: the most copper that reaches the cathode through a Nernst layer."""
    return COPPER_VALENCE * FARADAY_C_PER_MOL * diffusivity * concentration / layer


def _checked(rayleigh: float) -> float:
    low, high = RAYLEIGH_RANGE
    if not low <= rayleigh <= high:
        raise OutsideValidity(
            "free convection at a vertical cathode is known for Sc Gr from {low:.0e} to "
            "{high:.0e}, not {rayleigh:.2e}; give the boundary layer as a thickness",
            low=low,
            high=high,
            rayleigh=rayleigh,
        )
    return rayleigh
