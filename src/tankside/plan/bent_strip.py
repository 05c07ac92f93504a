"""The bent-strip test: how far a strip burns tells the limiting current density.

A strip of copper foil as wide as a straight-sided trough is bent square in its middle. One half
stands against the end wall up to the liquid's surface, the other lies on the floor with its tip
towards the anode, which fills the far wall. The trough is three times as long as the liquid is deep
and each half of the strip as long as that depth. The current crowds at the tip; from the tip on the
strip is burnt as far as the local current density comes near copper's limit.

Where that is depends on the mean current density over the limit, and on one Wagner number: how much
polarisation levels the current. data/bent_strip.csv holds it, from the field solver; nothing here
is given by the person but the current, the width, the depth, and a ruler's reading.
"""

from dataclasses import dataclass
from functools import cache
from math import exp, log, sqrt

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, OutsideValidity
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.base.tables import table
from tankside.bath.electrolyte import Electrolyte
from tankside.plan.laws import BathNumbers, best_numbers, moved_numbers
from tankside.runs.calibration import Observation

LOOKS_BURNT_AT = Interval(0.7, 0.9, 0.97)
"""Share of the limiting current density at which copper first looks burnt [-] (common practice, no
source)."""

MODEL_ERROR = 0.05
"""Of the table [-]: edges, the foil's thickness, a trough that is not quite three depths long (our
judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BentStripTest:
    """Total current [A], the strip's width and the liquid's depth [m], how far from the tip the
    foot is burnt [m], and how finely that is read [m]."""

    current: float
    width: float
    depth: float
    burnt: float
    reading: float

    @property
    def mean(self) -> float:
        """Current density over the whole strip's inner face [A m⁻²]."""
        return self.current / (2.0 * self.depth * self.width)


def of_bent_strip(test: BentStripTest, electrolyte: Electrolyte, *, name: str) -> Observation:
    """What the strip says of the limiting current density, beside what is unsure of conductivity
    and kinetics; BadInput, placed at the test, where it cannot be or the table does not reach."""
    if min(test.current, test.width, test.depth, test.burnt, test.reading) <= 0.0:
        raise BadInput("a strip has a current, a width, a depth and a burnt length", where=name)
    best = best_numbers(electrolyte)
    try:
        low, middle, high = (
            log(_limit(test, best, test.burnt, fraction))
            for fraction in (LOOKS_BURNT_AT.low, LOOKS_BURNT_AT.best, LOOKS_BURNT_AT.high)
        )
        reading = _by_reading(test, best)
    except OutsideValidity as error:
        raise BadInput(error.message, where=name) from error
    look = abs(low - high) / (2.0 * NINE_IN_TEN)

    def predicted(x: Floats) -> Floats:
        """The limit under these factors, over what the strip is read as under them."""
        numbers = moved_numbers(best, x)
        read = log(_limit(test, numbers, test.burnt, LOOKS_BURNT_AT.best, clipped=True))
        return np.array([log(numbers.limiting_current_density) - read + middle])

    return Observation(
        name=name,
        predicted=predicted,
        measured=np.array([middle]),
        error=np.array([sqrt(look**2 + reading**2 + MODEL_ERROR**2)]),
    )


def limiting_current_density(test: BentStripTest, electrolyte: Electrolyte) -> Interval:
    """What the strip alone says [A m⁻²] for the range of looks, with the electrolyte's best
    conductivity and kinetics; OutsideValidity where the table does not reach."""
    best = best_numbers(electrolyte)
    found = [
        _limit(test, best, test.burnt, fraction)
        for fraction in (LOOKS_BURNT_AT.low, LOOKS_BURNT_AT.best, LOOKS_BURNT_AT.high)
    ]
    return Interval(min(found), found[1], max(found))


def wagner_number(test: BentStripTest, numbers: BathNumbers) -> float:
    """Conductivity times the Tafel slope over mean current density and depth [-]."""
    slope = numbers.thermal_voltage / numbers.cathodic_transfer
    return numbers.conductivity * slope / (test.mean * test.depth)


def _limit(
    test: BentStripTest,
    numbers: BathNumbers,
    burnt: float,
    fraction: float,
    *,
    clipped: bool = False,
) -> float:
    """The limiting current density [A m⁻²] under which `fraction` of it is reached at the end of
    the burnt length; `clipped` takes the table's end for a Wagner number beyond it."""
    wagner = wagner_number(test, numbers)
    places, wagners, _ = _table()
    if clipped:
        wagner = min(max(wagner, wagners[0]), wagners[-1])
    _refuse_outside(burnt / test.depth, places, "depths from the tip", "raise or lower the current")
    _refuse_outside(wagner, wagners, "for the Wagner number", "a deeper trough lowers it")
    return test.mean / _share(burnt / test.depth, wagner, fraction)


def _by_reading(test: BentStripTest, numbers: BathNumbers) -> float:
    """Error of the limit's logarithm by the ruler [-]."""
    places = test.depth * _table()[0]
    ends = np.clip([test.burnt - test.reading, test.burnt + test.reading], places[0], places[-1])
    near, far = (log(_limit(test, numbers, float(end), LOOKS_BURNT_AT.best)) for end in ends)
    return abs(near - far) / (2.0 * NINE_IN_TEN)


def _share(place: float, wagner: float, fraction: float) -> float:
    """Mean current density over the limit [-]."""
    places, wagners, logs = _table()
    across = [np.interp(place, places, row) for row in logs[fraction]]
    return exp(float(np.interp(log(wagner), np.log(wagners), across)))


@cache
def _table() -> tuple[Floats, Floats, dict[float, Floats]]:
    """Places (m,), Wagner numbers (n,), and logarithms of the shares (n, m) by fraction."""
    rows = table("tankside.plan", "bent_strip.csv")
    heads = [head for head in rows[0] if head.startswith("at_")]
    places = np.array([float(head.removeprefix("at_")) for head in heads])
    fractions = sorted({float(one["fraction"]) for one in rows})
    by_fraction = {
        fraction: [one for one in rows if float(one["fraction"]) == fraction]
        for fraction in fractions
    }
    wagners = np.array([float(one["wagner"]) for one in by_fraction[fractions[0]]])
    logs = {
        fraction: np.log([[float(one[head]) for head in heads] for one in held])
        for fraction, held in by_fraction.items()
    }
    return places, wagners, logs


def _refuse_outside(value: float, held: Floats, what: str, advice: str) -> None:
    if not held[0] * (1 - 1e-9) <= value <= held[-1] * (1 + 1e-9):
        raise OutsideValidity(
            "the table of the bent strip reaches from {low:g} to {high:g} {what}, not to "
            "{value:.3g}; {advice}",
            low=held[0],
            high=held[-1],
            what=what,
            value=value,
            advice=advice,
        )
