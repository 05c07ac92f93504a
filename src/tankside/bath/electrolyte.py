"""The bath as the cell sees it: every property that a plan needs, each as an interval.

One value, so that a new family of baths can be added without touching the field: whoever can fill
an `Electrolyte` can be planned with.
"""

from dataclasses import dataclass

from tankside.base.constants import COPPER_VALENCE, FARADAY_C_PER_MOL
from tankside.base.intervals import Interval

ALL = Interval.exact(1.0)
"""Copper's share of its own current where no shop has told otherwise [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Electrolyte:
    """A bath at one temperature and agitation. All SI; intervals hold nine times in ten.

    family                        name of the family, such as "acid sulfate"
    temperature                   [K]
    copper_concentration          Cu²⁺ in the bulk [mol m⁻³]
    density                       [kg m⁻³]
    viscosity                     dynamic [Pa s]
    heat_capacity                 [J kg⁻¹ K⁻¹]
    conductivity                  [S m⁻¹]
    diffusivity                   of Cu²⁺ [m² s⁻¹]
    boundary_layer                Nernst diffusion layer [m]
    exchange_current_density      of Cu²⁺/Cu at this composition [A m⁻²]
    cathodic_transfer             alpha_c [-], in exp(-alpha_c F eta / RT)
    anodic_transfer               alpha_a [-]
    hydrogen_exchange             exchange current density of hydrogen on copper [A m⁻²]
    hydrogen_transfer             alpha of hydrogen evolution [-]
    hydrogen_equilibrium          potential of H⁺/H2 against copper in this bath [V], negative
    anode_limit                   anode current density above which copper anodes may go passive
                                  [A m⁻²]
    efficiency                    share of copper's current that stays as metal [-]: 1 but where a
                                  shop's audits tell of losses beside hydrogen
    assumptions                   sentences: what was assumed or read outside its range
    sources                       keys of the sources leaned on
    """

    family: str
    temperature: float
    copper_concentration: Interval
    density: Interval
    viscosity: Interval
    heat_capacity: Interval
    conductivity: Interval
    diffusivity: Interval
    boundary_layer: Interval
    exchange_current_density: Interval
    cathodic_transfer: Interval
    anodic_transfer: Interval
    hydrogen_exchange: Interval
    hydrogen_transfer: Interval
    hydrogen_equilibrium: Interval
    anode_limit: Interval
    efficiency: Interval = ALL
    assumptions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    @property
    def limiting_current_density(self) -> Interval:
        """Nernst limit of copper deposition, 2 F D c / delta [A m⁻²]."""

        def limit(diffusivity: float, concentration: float, layer: float) -> float:
            return COPPER_VALENCE * FARADAY_C_PER_MOL * diffusivity * concentration / layer

        d, c, layer = self.diffusivity, self.copper_concentration, self.boundary_layer
        return Interval(
            limit(d.low, c.low, layer.high),
            limit(d.best, c.best, layer.best),
            limit(d.high, c.high, layer.low),
        )
