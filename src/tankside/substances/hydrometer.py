"""What a hydrometer or a label says of a liquid's weight, as a density.

Understands a density ("1.84 g/mL"), a specific gravity ("SG 1.265 at 80 degF", "1.16 sp gr",
"SG 1.18 20/20 degC") and degrees Baumé for liquids heavier than water. A specific gravity is a
ratio to water: to water at the temperature after the stroke, else at 60 °F, which hydrometers of
the trade are marked for. Baumé scales differ, so the scale is asked for and never assumed:
specific gravity = modulus / (modulus - degrees), with the modulus 145 in the United States and
144.3 on the rational scale.
"""

import re
from dataclasses import dataclass

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import BadInput, OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity, spread
from tankside.substances.strengths import solution_density

SIXTY_FAHRENHEIT_K = 288.70555555555555
"""60 °F, the reference temperature of trade hydrometers."""

BAUME_MODULUS_US = 145.0
"""Of the American scale for liquids heavier than water, at 60 °F against water at 60 °F [-]."""

BAUME_MODULUS_RATIONAL = 144.3
"""Of the older European scale, at 15 °C against water at 15 °C [-]."""

_NUMBER = r"([+-]?\d+(?:[.,]\d+)?)"
_NUMBERS = r"(\d+(?:[.,]\d+)?(?:\s*(?:-|–|to|±|\+/-)\s*\d+(?:[.,]\d+)?)?)"
_DEGREES = r"(?:deg(?:rees)?\.?|°|º)\s*[CF]"
_GRAVITY = re.compile(
    rf"^(?:(?:sp\.?\s*gr\.?|s\.?g\.?|specific\s+gravity)\s*[:=]?\s*{_NUMBERS}"
    rf"|{_NUMBERS}\s*(?:sp\.?\s*gr\.?|s\.?g\.?|specific\s+gravity))(?![\d.,])\s*(.*)$",
    re.IGNORECASE,
)
_BAUME = re.compile(
    rf"^{_NUMBER}\s*(?:deg(?:rees)?\.?|°|º)?\s*b(?:e|é|aum[eé])\.?\s*(.*)$", re.IGNORECASE
)
_PAIR = re.compile(rf"^\(?(?:at\s+)?{_NUMBER}\s*/\s*{_NUMBER}\s*({_DEGREES})\)?$", re.IGNORECASE)
_AT = re.compile(r"^\(?(?:at|@)\s*(.+?)\)?$", re.IGNORECASE)
_US = re.compile(r"^\(?\s*(?:us|american|145)\s*\)?$", re.IGNORECASE)
_RATIONAL = re.compile(r"^\(?\s*(?:rational|european|144[.,]3)\s*\)?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class DensityReading:
    """A density and the temperature of the liquid it was read at.

    density       [kg m⁻³]; the interval is half of the last digit written, both ways, and nothing
                  for whole degrees Baumé, which name a grade
    temperature   of the liquid [K]; None where the text does not say
    """

    density: Interval
    temperature: float | None


def read_density(text: str, *, where: str) -> DensityReading:
    """A density, a specific gravity or degrees Baumé as typed; BadInput says what is missing."""
    stripped = text.strip()
    if match := _GRAVITY.match(stripped):
        return _gravity(match.group(1) or match.group(2), match.group(3).strip(), text, where)
    if match := _BAUME.match(stripped):
        return _baume(match.group(1), match.group(2).strip(), text, where)
    return _plain(stripped, where)


def gravity_of_baume(degrees: float, modulus: float = BAUME_MODULUS_US) -> float:
    """Specific gravity [-] of a liquid heavier than water at a reading of a Baumé scale."""
    if not 0.0 <= degrees < 0.9 * modulus:
        raise BadInput(
            "{degrees:g} degrees Baumé is no reading of the scale for liquids heavier than water, "
            "which runs from 0 to about 70",
            degrees=degrees,
        )
    return modulus / (modulus - degrees)


def baume_of_gravity(gravity: float, modulus: float = BAUME_MODULUS_US) -> float:
    """Degrees Baumé of a liquid heavier than water with a specific gravity [-] of 1 or more."""
    if gravity < 1.0:
        raise BadInput(
            "a specific gravity of {gravity:g} is lighter than water; this scale begins at 1",
            gravity=gravity,
        )
    return modulus - modulus / gravity


def water_density(temperature: float) -> float:
    """Density of water [kg m⁻³] at a temperature [K] from 0 to 60 °C."""
    return solution_density("sodium chloride", 0.0, temperature).best


def _gravity(number: str, rest: str, text: str, where: str) -> DensityReading:
    liquid, water = _temperatures(rest, text, where)
    value = spread(number, where=where).value
    if not 0.5 < value.low <= value.high < 3.0:
        raise BadInput(
            "{text!r}: a specific gravity lies between 0.6 and 2 or so", text=text, where=where
        )
    try:
        reference = water_density(water)
    except OutsideValidity as error:
        raise BadInput(
            "{text!r}: a specific gravity is compared with water of 0 to 60 °C",
            text=text,
            where=where,
        ) from error
    return DensityReading(density=value.scaled(reference), temperature=liquid)


def _temperatures(rest: str, text: str, where: str) -> tuple[float | None, float]:
    """Of the liquid, where given, and of the water it is compared with."""
    if not rest:
        return None, SIXTY_FAHRENHEIT_K
    if match := _PAIR.match(rest):
        liquid, water = (
            quantity(f"{number} {match.group(3)}", Kind.TEMPERATURE, where=where)
            for number in (match.group(1), match.group(2))
        )
        return liquid, water
    if match := _AT.match(rest):
        return quantity(match.group(1), Kind.TEMPERATURE, where=where), SIXTY_FAHRENHEIT_K
    raise BadInput(
        "{text!r}: write a specific gravity as 'SG 1.265 at 80 degF' or 'SG 1.18 20/20 degC'",
        text=text,
        where=where,
    )


def _baume(number: str, rest: str, text: str, where: str) -> DensityReading:
    value = spread(number, where=where).value if re.search(r"[.,]", number) else _mark(number)
    if not 0.0 <= value.low <= value.high < 100.0:
        raise BadInput(
            "{text!r} is no reading of the Baumé scale for liquids heavier than water, which runs "
            "from 0 to about 70",
            text=text,
            where=where,
        )
    if _US.match(rest):
        modulus, temperature = BAUME_MODULUS_US, SIXTY_FAHRENHEIT_K
    elif _RATIONAL.match(rest):
        modulus, temperature = BAUME_MODULUS_RATIONAL, ZERO_CELSIUS_K + 15.0
    else:
        us, rational = (
            gravity_of_baume(value.best, modulus)
            for modulus in (BAUME_MODULUS_US, BAUME_MODULUS_RATIONAL)
        )
        raise BadInput(
            "{text!r} is ambiguous, as Baumé scales differ: it is a specific gravity of {us:.4f} "
            "on the US scale and {rational:.4f} on the rational one; write '{number} degBe US' or "
            "'{number} degBe rational'",
            text=text,
            us=us,
            rational=rational,
            number=number,
            where=where,
        )
    gravity = value.mapped(lambda degrees: gravity_of_baume(degrees, modulus))
    return DensityReading(
        density=gravity.scaled(water_density(temperature)), temperature=temperature
    )


def _plain(text: str, where: str) -> DensityReading:
    number, _, at = text.partition(" at ")
    temperature = quantity(at, Kind.TEMPERATURE, where=where) if at else None
    try:
        written = spread(number, where=where)
    except BadInput as no_number:
        raise BadInput(
            "{text!r} is not a density; write for example '1.16 g/mL' or 'SG 1.16'",
            text=text,
            where=where,
        ) from no_number
    if not written.unit:
        raise BadInput(
            "{text!r} has no unit; write for example '1.16 g/mL' or 'SG 1.16'",
            text=text,
            where=where,
        )
    one = f"1 {written.unit}"
    try:
        density = written.value.scaled(quantity(one, Kind.DENSITY, where=where))
    except BadInput as error:
        raise BadInput(error.message.replace(repr(one), repr(number)), where=where) from error
    if density.low <= 0.0:
        raise BadInput("{text!r}: a density is more than nothing", text=text, where=where)
    return DensityReading(density=density, temperature=temperature)


def _mark(number: str) -> Interval:
    """A whole degree is the name of a grade rather than a reading: taken as it stands."""
    return Interval.exact(float(number))
