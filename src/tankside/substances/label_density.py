"""A label's density against its strength: what the density means, and whether the two agree.

Where the label does not give the liquid's temperature, it is taken to lie between 15 and 25 °C (our
guess: labels are printed for 20 °C or 60 °F).
"""

from tankside.base.errors import BadInput, MissingData, OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.base.wording import either, quoting, term
from tankside.substances.hydrometer import DensityReading
from tankside.substances.strengths import (
    ROOM_TEMPERATURE_K,
    has_densities,
    possible_strengths,
    solution_density,
    strength_from_density,
    strongest,
)

_UNSTATED_K = (ROOM_TEMPERATURE_K, ROOM_TEMPERATURE_K - 5.0, ROOM_TEMPERATURE_K + 5.0)


def strength_by_reading(name: str, reading: DensityReading, *, where: str) -> Interval:
    """Mass fraction [-] of a liquid by its density alone; BadInput where that does not tell."""
    if not has_densities(name):
        raise BadInput(
            'no density of {name} in water is held to tell its strength; add strength = "..."',
            name=name,
            where=where,
        )
    try:
        found = [
            strength_from_density(name, reading.density, temperature)
            for temperature in _temperatures(reading)
        ]
    except (BadInput, OutsideValidity) as error:
        raise BadInput(error.message, where=where) from error
    return Interval(min(one.low for one in found), found[0].best, max(one.high for one in found))


def agreed(
    name: str, strength: Interval, reading: DensityReading, text: str, *, where: str
) -> Interval:
    """The strengths that both the label's percent and its density allow.

    BadInput, with both numbers and what each would mean, where they contradict each other. A
    density that does not tell strengths apart leaves the label's percent as it is.
    """
    if not has_densities(name) or strength.best > strongest(name):
        return strength
    expected = _expected(name, strength, reading)
    if expected.high < reading.density.low or expected.low > reading.density.high:
        raise BadInput(_contradiction(name, strength, reading, text), where=where)
    try:
        by_density = strength_by_reading(name, reading, where=where)
    except BadInput:  # the density does not tell: then the label's percent stands
        return strength
    low, high = max(strength.low, by_density.low), min(strength.high, by_density.high)
    if low > high:
        return strength
    return Interval(low, min(max(by_density.best, low), high), high)


def _expected(name: str, strength: Interval, reading: DensityReading) -> Interval:
    """The densities that a strength may have at the label's temperature."""
    top = min(strength.high, strongest(name))
    fractions = [strength.low + (top - strength.low) * step / 20 for step in range(21)]
    spans = [
        solution_density(name, fraction, temperature)
        for temperature in _temperatures(reading)
        for fraction in fractions
        if fraction <= strongest(name, temperature)
    ]
    if not spans:
        raise MissingData("no density of {name} is held at the label's temperature", name=name)
    low, high = min(span.low for span in spans), max(span.high for span in spans)
    return Interval(low, 0.5 * (low + high), high)


def _contradiction(name: str, strength: Interval, reading: DensityReading, text: str) -> str:
    temperature = _temperatures(reading)[0]
    weight = solution_density(name, min(strength.best, strongest(name)), temperature).best
    possible = possible_strengths(name, reading.density, temperature)
    if possible:
        meant = either(
            quoting("{low:.3g} to {high:.3g} %", low=100 * low, high=100 * high)
            for low, high in possible
        )
        meaning = quoting("would be {meant}", meant=meant)
    else:
        meaning = term("is the weight of no strength of it")
    return quoting(
        "the label contradicts itself: {strength:.4g} % {name} weighs {weight:.4g} g/mL "
        "at {at}, and {text!r} {meaning}; read it again, or titrate it",
        strength=100 * strength.best,
        name=name,
        weight=weight / 1000,
        at=Quantity(temperature, "degC"),
        text=text,
        meaning=meaning,
    )


def _temperatures(reading: DensityReading) -> tuple[float, ...]:
    """The best guess first."""
    return _UNSTATED_K if reading.temperature is None else (reading.temperature,)
