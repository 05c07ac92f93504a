"""The conductivity of an acid copper bath.

Two factors: that of its sulfuric acid alone (Kohlrausch and Holborn's table at 18 °C, per mole a
straight line in the root of the concentration between rows, with their temperature coefficient),
divided by 1 + k Cu, where copper ties sulfate and thickens the liquid (k after Skowronski and
Reinoso, measured in strong hot acid). Kalliomäki and others (2016) confirm the directions: down
with copper, up with acid and warmth. No measured mixture of a plating bath could be read, so the
interval is honest rather than narrow: about 10 % in strong acid, 20 to 25 % in weak acid. A
measured value always beats this law.
"""

from functools import cache
from math import sqrt

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.base.tables import table
from tankside.bath import parameters
from tankside.bath.composition import Composition
from tankside.bath.density import density
from tankside.bath.estimate import Estimate
from tankside.bath.interpolation import between
from tankside.bath.parameters import parameter

TABLE_TEMPERATURE_K = 291.15
"""Temperature of the acid's table [K]."""

ACID_RANGE = (1.0, 350.0)
"""Sulfuric acid that the acid's own law answers for [kg m⁻³]."""

BATH_ACID_RANGE = (20.0, 260.0)
"""Sulfuric acid that the law of the mixture answers for [kg m⁻³]; below, copper's own share of the
current is no longer small."""

TEMPERATURE_RANGE_DEGC = (10.0, 60.0)
"""Temperatures that the linear coefficient is used for: to where the refining papers begin."""

_WEAK_ACID = 100.0
"""Acid [kg m⁻³] up to which the wider ends hold for copper's drag: our guess."""

_STRONG_ACID = 180.0
"""Acid [kg m⁻³] from which the refineries' rule for copper's drag holds: their usual range."""


def acid_conductivity(
    sulfuric_acid: float, temperature: float, *, temperature_factor: float = 1.0
) -> float:
    """Conductivity of sulfuric acid in water [S m⁻¹]; acid in kg m⁻³, temperature in K.

    `temperature_factor` scales the table's temperature coefficient. Within 3 % of two other tables
    and 12 % of a third up to 18 % by mass. OutsideValidity beyond 1 to 350 kg m⁻³ or 10 to 60 °C.
    """
    _check("sulfuric acid", sulfuric_acid, ACID_RANGE, "g/L")
    t = temperature - ZERO_CELSIUS_K
    _check("the temperature", t, TEMPERATURE_RANGE_DEGC, "°C")
    roots, per_mass, per_kelvin = _acid_table()
    root = sqrt(sulfuric_acid)
    first, second = roots[:2]
    if root < first:  # Kohlrausch's root law: the first line is carried on to dilute acid
        slope = (per_mass[1] - per_mass[0]) / (second - first)
        conductance, coefficient = per_mass[0] + slope * (root - first), per_kelvin[0]
    else:
        conductance = between(roots, per_mass, root, what="the acid's conductance", unit="√(g/L)")
        coefficient = between(roots, per_kelvin, root, what="its temperature rise", unit="√(g/L)")
    warming = 1.0 + temperature_factor * coefficient * (temperature - TABLE_TEMPERATURE_K)
    return sulfuric_acid * conductance * warming


def conductivity(composition: Composition, temperature: float) -> Interval:
    """Conductivity of a bath [S m⁻¹] at `temperature` [K], with its interval.

    Rises with acid and temperature, falls with copper. OutsideValidity where the acid is not 20 to
    260 kg m⁻³ or the temperature not 10 to 60 °C.
    """
    _check("sulfuric acid", composition.sulfuric_acid, BATH_ACID_RANGE, "g/L")
    drag = copper_drag(composition.sulfuric_acid)
    scale = parameter("acid_conductivity_factor").value
    warm = parameter("acid_temperature_factor").value
    below, above = warm.low, warm.high
    if temperature < TABLE_TEMPERATURE_K:
        below, above = above, below

    def law(acid_factor: float, warmth: float, copper_factor: float) -> float:
        alone = acid_conductivity(composition.sulfuric_acid, temperature, temperature_factor=warmth)
        return acid_factor * alone / (1.0 + copper_factor * composition.copper)

    return Interval(
        law(scale.low, below, drag.high),
        law(scale.best, warm.best, drag.best),
        law(scale.high, above, drag.low),
    )


def copper_drag(sulfuric_acid: float) -> Interval:
    """k of the factor 1/(1 + k Cu) [m³ kg⁻¹]: the known rule in strong acid, wider ends in weak."""
    weak, strong = parameter("copper_drag_weak_acid").value, parameter("copper_drag").value
    share = min(max((sulfuric_acid - _WEAK_ACID) / (_STRONG_ACID - _WEAK_ACID), 0.0), 1.0)

    def blend(from_weak: float, from_strong: float) -> float:
        return from_weak + share * (from_strong - from_weak)

    return Interval(
        blend(weak.low, strong.low), blend(weak.best, strong.best), blend(weak.high, strong.high)
    )


def conductivity_estimate(composition: Composition, temperature: float) -> Estimate:
    """Conductivity [S m⁻¹] with its interval, and the sentence that goes with it."""
    value = conductivity(composition, temperature)
    return Estimate(
        value=value,
        assumptions=(
            said(
                "Conductivity is computed, not measured: {value}, believed to lie between "
                "{value_low} and {value_high}; a measured value narrows the whole plan.",
                value=Quantity(value.best, "S/m"),
                value_low=f"{value.low:.3g}",
                value_high=f"{value.high:.3g}",
            ),
        ),
        sources=(
            "kohlrausch1898",
            "laliberte2009",
            "kalliomaki2016",
            *parameters.keys("copper_drag", "acid_conductivity_factor"),
        ),
    )


def measured(value: float | Interval, *, relative: float = 0.03) -> Estimate:
    """A conductivity measured in the bath [S m⁻¹]; a bare number is taken to 3 %."""
    interval = value if isinstance(value, Interval) else Interval.about(value, relative)
    if interval.low <= 0.0:
        raise OutsideValidity("a conductivity is above zero, not {low:g} S/m", low=interval.low)
    return Estimate(value=interval, assumptions=(said("Conductivity is the measured one."),))


def _check(what: str, value: float, limits: tuple[float, float], unit: str) -> None:
    low, high = limits
    if not low <= value <= high:
        raise OutsideValidity(
            "the conductivity law holds for {what} from {low:g} to {high:g} {unit}, not "
            "{value:.4g} {unit}; measure the conductivity and give it",
            what=what,
            low=low,
            high=high,
            unit=unit,
            value=value,
        )


@cache
def _acid_table() -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    """Root of the concentration [√(kg m⁻³)], conductivity per kg m⁻³, its rise per kelvin."""
    roots, per_mass, per_kelvin = [], [], []
    for row in table("tankside.bath", "acid_conductivity.csv"):
        fraction = float(row["mass_fraction"])
        concentration = fraction * density({"sulfuric acid": fraction}, TABLE_TEMPERATURE_K)
        roots.append(sqrt(concentration))
        per_mass.append(float(row["conductivity_S_m"]) / concentration)
        per_kelvin.append(float(row["per_kelvin"]))
    return tuple(roots), tuple(per_mass), tuple(per_kelvin)
