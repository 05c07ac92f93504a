"""The acid sulfate bath as the cell sees it: composition, temperature and agitation in, properties
out, each with its interval, the assumptions in sentences and the works leaned on.

It only gathers: every law stands in a module of its own beside this one. It refuses what lies
beyond those laws' ranges, and says in a sentence where a bath is merely outside what handbooks
print.
"""

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.bath import anode_limit, copper_kinetics, hydrogen
from tankside.bath.boundary_layer import DEFAULT_HEIGHT, boundary_layer
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.conductivity import conductivity_estimate, measured
from tankside.bath.density import density_estimate
from tankside.bath.diffusivity import diffusivity_estimate
from tankside.bath.electrolyte import Electrolyte
from tankside.bath.estimate import Estimate, assumptions_of, sources_of
from tankside.bath.families import nearest_family
from tankside.bath.heat_capacity import heat_capacity_estimate
from tankside.bath.viscosity import viscosity_estimate

FAMILY = "acid sulfate"

COMPOSITION_ERROR = 0.05
"""How far a home bath's copper may lie from what was weighed in [-]; our judgement."""


def acid_sulfate(
    composition: Composition,
    temperature: float,
    agitation: str | float | Interval,
    *,
    height: float = DEFAULT_HEIGHT,
    measured_conductivity: float | Interval | None = None,
) -> Electrolyte:
    """The acid copper sulfate bath of this composition at `temperature` [K].

    agitation               a word of boundary_layer.AGITATIONS, or the boundary layer [m]
    height                  of the part [m], for free convection
    measured_conductivity   [S m⁻¹], which then replaces the law's

    Every property is continuous in composition and temperature, and the best guesses of density,
    viscosity and conductivity rise with acid. OutsideValidity names the first law whose range is
    left; BadInput a bath without copper sulfate or acid.
    """
    if composition.copper_sulfate_pentahydrate <= 0.0 or composition.sulfuric_acid <= 0.0:
        raise BadInput("an acid copper bath needs both copper sulfate and sulfuric acid")
    laws = _laws(composition, temperature, agitation, height, measured_conductivity)
    return Electrolyte(
        family=FAMILY,
        temperature=temperature,
        copper_concentration=Interval.about(composition.copper_molarity, COMPOSITION_ERROR),
        assumptions=(
            *nearest_family(composition, temperature).outside(composition, temperature),
            *assumptions_of(laws.values()),
        ),
        sources=sources_of(laws.values()),
        **{name: law.value for name, law in laws.items()},
    )


def _laws(
    composition: Composition,
    temperature: float,
    agitation: str | float | Interval,
    height: float,
    measured_conductivity: float | Interval | None,
) -> dict[str, Estimate]:
    fractions = mass_fractions(composition, temperature)
    return {
        "conductivity": (
            conductivity_estimate(composition, temperature)
            if measured_conductivity is None
            else measured(measured_conductivity)
        ),
        "boundary_layer": boundary_layer(composition, temperature, agitation, height=height),
        "density": density_estimate(fractions, temperature),
        "viscosity": viscosity_estimate(fractions, temperature),
        "heat_capacity": heat_capacity_estimate(fractions, temperature),
        "diffusivity": diffusivity_estimate(composition, temperature),
        "exchange_current_density": copper_kinetics.exchange_current_density(
            composition.copper_molarity
        ),
        "cathodic_transfer": copper_kinetics.cathodic_transfer(),
        "anodic_transfer": copper_kinetics.anodic_transfer(),
        "hydrogen_exchange": hydrogen.hydrogen_exchange(),
        "hydrogen_transfer": hydrogen.hydrogen_transfer(),
        "hydrogen_equilibrium": hydrogen.hydrogen_equilibrium(composition, temperature),
        "anode_limit": anode_limit.anode_limit(),
    }
