"""A hydrometer's reading turned into the liquid's density at its own temperature.

The scale is true at the hydrometer's calibration temperature. In a liquid at t the bulb has another
volume, so

    rho(t) = scale · [1 - alpha (t - t_cal)],   scale = SG · rho_water(t_ref) or kg/m³ as printed.

This is not a conversion of the liquid's density to 20 °C: that depends on what is dissolved, and
density_line.py works at the temperature of the reading.
"""

from dataclasses import dataclass
from enum import Enum
from math import sqrt

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import BadInput
from tankside.base.messages import Quantity
from tankside.bath import water
from tankside.bath.analysis.finding import Finding, finding
from tankside.bath.analysis.parameters import deviation, number
from tankside.bath.analysis.propagation import Measured, propagated
from tankside.substances.hydrometer import (
    BAUME_MODULUS_RATIONAL,
    BAUME_MODULUS_US,
    gravity_of_baume,
)

LIQUID_RANGE = (980.0, 1450.0)
"""Densities that a copper bath can have [kg m⁻³], warm water to saturated in acid: our choice."""


class Mark(Enum):
    """What a hydrometer's scale is printed in."""

    DENSITY = "density"
    SPECIFIC_GRAVITY = "specific gravity"
    BAUME_US = "degrees Baumé of the US scale"
    BAUME_RATIONAL = "degrees Baumé of the rational scale"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hydrometer:
    """A hydrometer.

    mark                     what its scale is printed in
    division                 between two lines, in the scale's unit (kg m⁻³ for density)
    calibration_temperature  at which the scale is true [K]
    reference_temperature    of the water that specific gravity is told against [K]
    glass                    or plastic
    """

    mark: Mark
    division: float
    calibration_temperature: float = 293.15
    reference_temperature: float = 293.15
    glass: bool = True

    def density_on_scale(self, reading: float) -> float:
        """What a reading stands for where the scale is true [kg m⁻³]."""
        if self.mark is Mark.DENSITY:
            return reading
        return self._gravity(reading) * water.density(self.reference_temperature)

    def _gravity(self, reading: float) -> float:
        if self.mark is Mark.BAUME_US:
            return gravity_of_baume(reading, BAUME_MODULUS_US)
        if self.mark is Mark.BAUME_RATIONAL:
            return gravity_of_baume(reading, BAUME_MODULUS_RATIONAL)
        return reading


def density_by_hydrometer(
    reading: float, temperature: float, hydrometer: Hydrometer, *, temperature_std: float = 0.5
) -> Finding:
    """Density [kg m⁻³] of a liquid at its `temperature` [K], from a reading in the scale's unit.

    Half a division is taken for the eye and a whole one for the scale itself. BadInput where no
    copper bath has such a density.
    """
    _check(reading, temperature, hydrometer)
    name = "glass_expansion" if hydrometer.glass else "plastic_expansion"
    half = hydrometer.division / 2.0
    inputs = {
        "reading": Measured(value=reading, std=half / sqrt(3.0)),
        "scale": Measured(value=0.0, std=hydrometer.division / sqrt(3.0)),
        "expansion": Measured(value=number(name).best, std=deviation(name)),
        "temperature": Measured(value=temperature, std=temperature_std),
    }

    def law(reading: float, scale: float, expansion: float, temperature: float) -> float:
        warmer = temperature - hydrometer.calibration_temperature
        return hydrometer.density_on_scale(reading + scale) * (1.0 - expansion * warmer)

    outcome = propagated(law, inputs)
    low, high = LIQUID_RANGE
    if not low <= outcome.value <= high:
        raise BadInput(
            "a density of {outcome} is no copper bath's, which lie between {low:.0f} and "
            "{high:.0f}; check the reading and the scale's unit",
            outcome=Quantity(outcome.value, "kg/m^3", decimals=0),
            low=low,
            high=high,
        )
    note = (
        f"The density holds at the liquid's {temperature - ZERO_CELSIUS_K:.1f} °C. Alone it cannot "
        "tell copper from acid."
    )
    return finding(
        "density",
        outcome,
        method=f"hydrometer marked in {hydrometer.mark.value}",
        notes=(
            note,
            "Read at the liquid's level, not at the rim that climbs the stem; a coloured "
            "bath is read at the top of the rim and the rim's height added.",
        ),
        sources=("laliberte2009",) if hydrometer.mark is not Mark.DENSITY else (),
        temperature=temperature,
    )


def _check(reading: float, temperature: float, hydrometer: Hydrometer) -> None:
    water.celsius(temperature)
    if not hydrometer.division > 0.0:
        raise BadInput("a hydrometer's division is above zero")
    if hydrometer.mark is Mark.SPECIFIC_GRAVITY and reading > 10.0:
        raise BadInput(
            "a specific gravity of {reading:g} is a density or a reading with its point left out; "
            "did you mean {meant:.3f}?",
            reading=reading,
            meant=reading / 1000.0,
        )
    if hydrometer.mark is Mark.DENSITY and 0.9 < reading < 2.0:
        raise BadInput(
            "a density of {reading} is a gas's; did you mean {meant}?",
            reading=Quantity(reading, "kg/m^3", 6),
            meant=Quantity(1000 * reading, "kg/m^3", decimals=0),
        )
