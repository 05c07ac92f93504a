"""The stagnant layer through which copper must diffuse, from the words a bench uses for agitation.

"still"       the bath's own free convection over the part's height (free_convection.py)
"gentle air"  a curtain of bubbles; Sh = 0.19 (Ar Sc)^(1/3), Sigrist, Dossenbach and Ibl (1979),
"strong air"  Ar = g H³ e / (nu² (1 - e)) with the gas fraction e guessed for each word
"stirred"     stirrer, pump or moved rack; a guess from measured cells
a thickness   taken as given, to 30 % where it comes without an interval.
Agitation never makes the layer thicker than free convection leaves it. No word was ever measured in
a home tank: intervals span a factor of two to four, and only a burning test narrows them.
"""

from collections.abc import Callable

from tankside.base.constants import STANDARD_GRAVITY_M_PER_S2
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.bath import parameters
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.density import density
from tankside.bath.diffusivity import diffusivity
from tankside.bath.estimate import Estimate
from tankside.bath.free_convection import BuoyantLiquid, free_convection_layer, lost_density
from tankside.bath.parameters import parameter
from tankside.bath.viscosity import viscosity

AGITATIONS = ("still", "gentle air", "strong air", "stirred")
"""The words that are understood."""

DEFAULT_HEIGHT = 0.10
"""Height of the part [m] where none is given."""

GIVEN_LAYER_ERROR = 0.30
"""Relative interval of a thickness that comes without one [-]."""


def boundary_layer(
    composition: Composition,
    temperature: float,
    agitation: str | float | Interval,
    *,
    height: float = DEFAULT_HEIGHT,
) -> Estimate:
    """Nernst diffusion layer [m] with its interval, and a sentence on where it comes from.

    `agitation` is a word of AGITATIONS, or a thickness [m]. `height` [m] is the part's, for free
    convection. UnknownName for another word, BadInput for a thickness of nothing.
    """
    if isinstance(agitation, str) and composition.copper_sulfate_pentahydrate <= 0.0:
        raise BadInput("a bath without copper sulfate has no boundary layer of copper")

    def liquid() -> BuoyantLiquid:
        return _liquid(composition, temperature)

    return layer_beside(liquid, agitation, height=height)


def layer_beside(
    of_liquid: Callable[[], BuoyantLiquid],
    agitation: str | float | Interval,
    *,
    height: float = DEFAULT_HEIGHT,
) -> Estimate:
    """The layer [m] in any liquid, which is asked for only where a word of agitation needs it."""
    if not isinstance(agitation, str):
        return _given(agitation)
    if agitation not in AGITATIONS:
        raise UnknownName("agitation", agitation, AGITATIONS)
    if not height > 0.0:
        raise BadInput("the part's height must be above zero, not {height} m", height=height)
    liquid = of_liquid()
    still = _still(liquid, height)
    if agitation == "still":
        return Estimate(
            value=still,
            assumptions=(
                said(
                    "In a still bath the boundary layer is taken as {still}, from free convection "
                    "over a height of {height} at the limiting current.",
                    still=Quantity(still.best, "um", decimals=0),
                    height=Quantity(height, "cm"),
                ),
            ),
            sources=parameters.keys("free_convection_laminar", "free_convection_turbulent"),
        )
    moved = _moved(liquid, agitation)
    value = Interval(
        min(moved.low, still.low), min(moved.best, still.best), min(moved.high, still.high)
    )
    return Estimate(
        value=value,
        assumptions=(
            said(
                "'{agitation}' is taken as a boundary layer of {value}, believed to lie between "
                "{low} and {high}; only a burning test in your tank says better.",
                agitation=agitation,
                value=Quantity(value.best, "um", decimals=0),
                low=Quantity(value.low, "um", decimals=0, bare=True),
                high=Quantity(value.high, "um", decimals=0, bare=True),
            ),
        ),
        sources=(
            *parameters.keys("free_convection_laminar", "gas_sparging"),
            *(("williams2019",) if agitation == "stirred" else ()),
        ),
    )


def sparged_layer(liquid: BuoyantLiquid, gas_fraction: float, constant: float) -> float:
    """Nernst layer [m] beside rising bubbles; height cancels out of Sh = a (Ar Sc)^(1/3)."""
    product = liquid.kinematic_viscosity * liquid.diffusivity * (1.0 - gas_fraction)
    driven = STANDARD_GRAVITY_M_PER_S2 * gas_fraction
    return float((product / driven) ** (1.0 / 3.0) / constant)


def _still(liquid: BuoyantLiquid, height: float) -> Interval:
    laminar = parameter("free_convection_laminar").value
    turbulent = parameter("free_convection_turbulent").value
    return Interval(
        free_convection_layer(liquid, height, laminar=laminar.high, turbulent=turbulent.high),
        free_convection_layer(liquid, height, laminar=laminar.best, turbulent=turbulent.best),
        free_convection_layer(liquid, height, laminar=laminar.low, turbulent=turbulent.low),
    )


def _moved(liquid: BuoyantLiquid, agitation: str) -> Interval:
    if agitation == "stirred":
        return parameter("stirred_layer").value
    gas = parameter("gas_fraction_" + agitation.removesuffix(" air")).value
    a = parameter("gas_sparging").value
    return Interval(
        sparged_layer(liquid, gas.high, a.high),
        sparged_layer(liquid, gas.best, a.best),
        sparged_layer(liquid, gas.low, a.low),
    )


def _given(thickness: float | Interval) -> Estimate:
    value = (
        thickness
        if isinstance(thickness, Interval)
        else Interval.about(thickness, GIVEN_LAYER_ERROR)
    )
    if value.low <= 0.0:
        raise BadInput(
            "a boundary layer must be thicker than nothing, not {low}",
            low=Quantity(value.low, "m", 6),
        )
    return Estimate(
        value=value,
        assumptions=(
            said(
                "The boundary layer is the one given, {value}, taken as {value_low} to "
                "{value_high}.",
                value=Quantity(value.best, "um", decimals=0),
                value_low=Quantity(value.low, "um", decimals=0, bare=True),
                value_high=Quantity(value.high, "um", decimals=0),
            ),
        ),
    )


def _liquid(composition: Composition, temperature: float) -> BuoyantLiquid:
    fractions = mass_fractions(composition, temperature)
    return BuoyantLiquid(
        diffusivity=diffusivity(composition, temperature),
        kinematic_viscosity=viscosity(fractions, temperature) / density(fractions, temperature),
        lost_density=lost_density(composition, temperature),
    )
