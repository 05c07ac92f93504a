"""Citrate and acetate baths as the cell sees them, by the equilibrium of their ions.

The recipe gives totals; the equilibrium (speciation/equilibrium.py) gives pH, free copper and every
ion; from these follow conductivity, diffusivity and hydrogen's potential. Density and viscosity are
sums over the components. Weak acids carry few ions, so conductivity is a tenth of an acid sulfate
bath's and the Wagner length with it: less throw, as a number.

Where the model ends: ionic strength above 2 mol/kg or off 10 to 60 °C it refuses; above 0.5 mol/kg
(Davies), and in citrate above pH 5, where copper binds citrate's hydroxyl in complexes that are not
held, it says so. All copper, free or bound, is taken to reach the cathode (complexes let go fast).
"""

from math import exp, log

from tankside.base.constants import COPPER_VALENCE, ZERO_CELSIUS_K, thermal_voltage
from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.bath import copper_kinetics, hydrogen, parameters, water
from tankside.bath.boundary_layer import DEFAULT_HEIGHT, layer_beside
from tankside.bath.conductivity import measured
from tankside.bath.electrolyte import Electrolyte
from tankside.bath.estimate import Estimate, assumptions_of, sources_of
from tankside.bath.free_convection import BuoyantLiquid
from tankside.bath.parameters import parameter
from tankside.bath.speciation import ionic_conductivity, recipe
from tankside.bath.speciation.equilibrium import Speciation, speciated
from tankside.bath.speciation.recipe import WeakAcidRecipe
from tankside.bath.speciation.species import species
from tankside.bath.weak_acid_words import weak_acid_remarks
from tankside.substances import molar_mass

FAMILIES = ("citrate", "acetate")

TEMPERATURE_RANGE_DEGC = (10.0, 60.0)

COPPER_ERROR = 0.05
"""How far a home bath's copper may lie from what was weighed in [-]; our judgement."""

PH_ERROR = 0.2
"""Half-width of the pH [-]: activity models differ by 0.13, and the constants hold for dilute
solutions; our judgement."""

DENSITY_ERROR = 0.01
VISCOSITY_ERROR = 0.15
HEAT_CAPACITY_ERROR = 0.05
DIFFUSIVITY_ERROR = 0.15
"""Half-widths of the sums over components [-]; our judgement."""

SOLUTE_HEAT_CAPACITY = 1500.0
"""What dissolved salts and acids add [J kg⁻¹ K⁻¹]: our guess, between 1000 and 2000."""


def weak_acid(
    family: str,
    ingredients: WeakAcidRecipe,
    temperature: float,
    agitation: str | float | Interval,
    *,
    height: float = DEFAULT_HEIGHT,
    measured_conductivity: float | Interval | None = None,
) -> Electrolyte:
    """The citrate or acetate bath of these ingredients at `temperature` [K].

    agitation               a word of boundary_layer.AGITATIONS, or the boundary layer [m]
    height                  of the part [m], for free convection
    measured_conductivity   [S m⁻¹], which then replaces the law's

    UnknownName for another family, BadInput where copper or the family's acid is missing,
    OutsideValidity beyond the model.
    """
    answer = equilibrium_of(family, ingredients, temperature)
    laws = _laws(ingredients, answer, agitation, height, measured_conductivity)
    return Electrolyte(
        family=family,
        temperature=temperature,
        copper_concentration=Interval.about(ingredients.copper_molarity, COPPER_ERROR),
        assumptions=(
            *weak_acid_remarks(family, ingredients, answer, ph_error=PH_ERROR),
            *assumptions_of(laws.values()),
        ),
        sources=tuple(sorted({*sources_of(laws.values()), "minteq4", "crc2010"})),
        **{name: law.value for name, law in laws.items()},
    )


def equilibrium_of(family: str, ingredients: WeakAcidRecipe, temperature: float) -> Speciation:
    """The ions of a bath; refusals as of weak_acid."""
    _check(family, ingredients, temperature)
    return speciated(recipe.molalities(ingredients, temperature), temperature)


def pH(family: str, ingredients: WeakAcidRecipe, temperature: float) -> Estimate:
    """The bath's pH [-] with its interval."""
    best = equilibrium_of(family, ingredients, temperature).pH
    return Estimate(value=Interval(best - PH_ERROR, best, best + PH_ERROR), sources=("minteq4",))


def diffusivity(ingredients: WeakAcidRecipe, answer: Speciation) -> Interval:
    """Mean diffusivity of the bath's copper, over its species by what they hold [m² s⁻¹]."""
    neutral = parameter("neutral_complex_diffusivity").value
    warm = (
        answer.temperature / 298.15 * water.viscosity(298.15) / water.viscosity(answer.temperature)
    )
    held = low = best = high = 0.0
    for one in species():
        share = one.counts.get("copper", 0) * answer.molality.get(one.name, 0.0)
        if share:
            own = (
                Interval.about(
                    ionic_conductivity.ion_diffusivity(one, 298.15), 0.25 if one.guessed else 0.03
                )
                if one.charge
                else neutral
            )
            held += share
            low, best, high = (
                low + share * own.low,
                best + share * own.best,
                high + share * own.high,
            )
    slowed = warm / exp(recipe.thickening(ingredients, answer.temperature))
    return Interval(
        low / held * slowed * (1.0 - DIFFUSIVITY_ERROR),
        best / held * slowed,
        high / held * slowed * (1.0 + DIFFUSIVITY_ERROR),
    )


def _laws(
    ingredients: WeakAcidRecipe,
    answer: Speciation,
    agitation: str | float | Interval,
    height: float,
    measured_conductivity: float | Interval | None,
) -> dict[str, Estimate]:
    t = answer.temperature
    density = recipe.density(ingredients, t)
    viscosity = water.viscosity(t) * exp(recipe.thickening(ingredients, t))
    moving = diffusivity(ingredients, answer)

    def liquid() -> BuoyantLiquid:
        return BuoyantLiquid(
            diffusivity=moving.best,
            kinematic_viscosity=viscosity / density,
            lost_density=_lost_density(ingredients, density),
        )

    return {
        "conductivity": (
            _conductivity(ingredients, answer)
            if measured_conductivity is None
            else measured(measured_conductivity)
        ),
        "boundary_layer": layer_beside(liquid, agitation, height=height),
        "density": _about(density, DENSITY_ERROR, "laliberte2009"),
        "viscosity": _about(viscosity, VISCOSITY_ERROR, "jenkins1995", "laliberte2009"),
        "heat_capacity": _about(_heat_capacity(ingredients, t, density), HEAT_CAPACITY_ERROR),
        "diffusivity": Estimate(value=moving, sources=("crc2010",)),
        "exchange_current_density": _exchange_current(ingredients),
        "cathodic_transfer": copper_kinetics.cathodic_transfer(),
        "anodic_transfer": copper_kinetics.anodic_transfer(),
        "hydrogen_exchange": hydrogen.hydrogen_exchange(),
        "hydrogen_transfer": hydrogen.hydrogen_transfer(),
        "hydrogen_equilibrium": _hydrogen_equilibrium(answer),
        "anode_limit": _anode_limit(),
    }


def _about(value: float, error: float, *sources: str) -> Estimate:
    return Estimate(value=Interval.about(value, error), sources=sources)


def _conductivity(ingredients: WeakAcidRecipe, answer: Speciation) -> Estimate:
    value = ionic_conductivity.conductivity(
        answer, recipe.water_held(ingredients, answer.temperature)
    )
    return Estimate(
        value=value,
        assumptions=(
            said(
                "Conductivity is summed over the computed ions: {value}, believed to lie "
                "between {value_low} and {value_high}; a measured value narrows the whole plan.",
                value=Quantity(value.best, "S/m", 2),
                value_low=f"{value.low:.2g}",
                value_high=f"{value.high:.2g}",
            ),
        ),
        sources=("appelo2010", "crc2010"),
    )


def _heat_capacity(ingredients: WeakAcidRecipe, temperature: float, density: float) -> float:
    share = recipe.dry_mass(ingredients) / density
    return (1.0 - share) * water.heat_capacity(temperature) + share * SOLUTE_HEAT_CAPACITY


def _lost_density(ingredients: WeakAcidRecipe, density: float) -> float:
    """Density lost where copper is used up, with the anions that leave its side, relative [-]."""
    copper = ingredients.copper_molarity
    partner = molar_mass("SO4") if ingredients.moles["sulfate"] else 2.0 * molar_mass("C2H4O2")
    weight = molar_mass("Cu") + partner
    room = (0.0 if ingredients.moles["sulfate"] else 9.0e-5) * 1e3
    return copper * (weight - room) / density


def _exchange_current(ingredients: WeakAcidRecipe) -> Estimate:
    """Copper's exchange current density [A m⁻²]; BadInput where the bath is too thin."""
    copper_kinetics.exchange_current_density(ingredients.copper_molarity)
    value = parameter("exchange_current_weak_acid").value
    return Estimate(
        value=value,
        assumptions=(
            said(
                "Copper's exchange current density in this weak acid is our guess, anywhere "
                "from {value_low} to {value_high}; it moves the voltage more than the evenness.",
                value_low=Quantity(value.low, "A/m^2", 2, bare=True),
                value_high=Quantity(value.high, "A/m^2", 2),
            ),
        ),
    )


def _hydrogen_equilibrium(answer: Speciation) -> Estimate:
    """Potential of H⁺/H2 against copper in this bath [V], from the activities of both."""
    thermal = thermal_voltage(answer.temperature)
    standard = parameter("copper_standard_potential").value
    copper = thermal / COPPER_VALENCE * log(answer.activity("Cu+2"))
    proton = thermal * log(answer.activity("H+"))
    spread = thermal * 2.302585 * PH_ERROR + 0.01
    best = proton - copper - standard.best
    return Estimate(
        value=Interval(best - spread, best, best + spread),
        sources=parameters.keys("copper_standard_potential"),
    )


def _anode_limit() -> Estimate:
    value = parameter("anode_limit_weak_acid").value
    return Estimate(
        value=value,
        assumptions=(
            said(
                "Anodes in a weak acid are taken to stay active up to about {value}, which is "
                "our guess; a film on them and a climbing voltage tell.",
                value=Quantity(value.best, "A/dm^2", 2),
            ),
        ),
    )


def _check(family: str, ingredients: WeakAcidRecipe, temperature: float) -> None:
    if family not in FAMILIES:
        raise UnknownName("weak-acid bath family", family, FAMILIES)
    held = ingredients.moles
    if held["copper"] <= 0.0:
        raise BadInput(
            "the {family} bath holds no copper; give a copper salt or dissolved copper",
            family=family,
        )
    if held[family] <= 0.0:
        acid = said("citric acid or sodium citrate") if family == "citrate" else "acetic acid"
        raise BadInput("the {family} bath holds no {family}; give {acid}", family=family, acid=acid)
    low, high = TEMPERATURE_RANGE_DEGC
    if not low <= temperature - ZERO_CELSIUS_K <= high:
        raise OutsideValidity(
            "the {family} bath is computed from {low:g} to {high:g} °C, not at {temperature}",
            family=family,
            low=low,
            high=high,
            temperature=Quantity(temperature, "degC", 4),
        )
