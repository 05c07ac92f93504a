"""What a density says about copper and acid: a line of pairs, never a pair.

Both weigh the bath down, so one number cannot part them; every (copper sulfate, acid) pair on the
line has the measured density. With a titration of one of the two the other follows, with the
doubts of reading, titration and density law carried through (density.py: 1.39 kg m⁻³ for mixtures
that were measured, one standard deviation).
"""

from collections.abc import Callable
from dataclasses import dataclass

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import BadInput, Impossible, OutsideValidity
from tankside.base.intervals import NINE_IN_TEN
from tankside.base.messages import Quantity
from tankside.bath.analysis.finding import Finding, finding
from tankside.bath.analysis.propagation import Measured, propagated
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.density import RELATIVE_ERROR, density
from tankside.substances import molar_mass

MOST_ACID = 400.0
"""Acid up to which the line is drawn [kg m⁻³]: well beyond any copper bath."""

MOST_SALT = 320.0
"""Copper sulfate pentahydrate up to which the line is drawn [kg m⁻³]: near saturation at 20 °C."""

_STEPS = 33


@dataclass(frozen=True, slots=True, kw_only=True)
class DensityLine:
    """Pairs that have one density.

    copper_sulfate_pentahydrate   [kg m⁻³], shape (n,), rising
    sulfuric_acid                 [kg m⁻³], shape (n,), falling
    half_width                    of the acid at any copper sulfate, nine times in ten [kg m⁻³]
    """

    copper_sulfate_pentahydrate: Floats
    sulfuric_acid: Floats
    half_width: float


def density_line(measured: Finding) -> DensityLine:
    """The pairs that fit a density finding; Impossible where none does."""
    _check(measured)
    temperature = _temperature(measured)
    target = measured.value.best
    least, most = _density(0.0, 0.0, temperature), _density(MOST_SALT, 0.0, temperature)
    if target < least:
        raise Impossible(
            "{target} is lighter than water at this temperature ({least:.1f}); check the reading "
            "and the temperature",
            target=Quantity(target, "kg/m^3", decimals=1),
            least=least,
        )
    heaviest = MOST_SALT if target >= most else _salt_for(target, 0.0, temperature)
    salts = [heaviest * step / (_STEPS - 1) for step in range(_STEPS)]
    pairs = []
    for salt in salts:
        try:
            pairs.append((salt, max(_acid_for(target, salt, temperature), 0.0)))
        except (Impossible, OutsideValidity):
            continue
    if not pairs:
        raise Impossible(
            "no bath within the density law's range weighs {target}",
            target=Quantity(target, "kg/m^3", decimals=0),
        )
    slope = _acid_slope(pairs[len(pairs) // 2], temperature)
    half = NINE_IN_TEN * _density_std(measured) / slope
    return DensityLine(
        copper_sulfate_pentahydrate=frozen_floats([salt for salt, _ in pairs]),
        sulfuric_acid=frozen_floats([acid for _, acid in pairs]),
        half_width=half,
    )


def acid_from(measured: Finding, copper: Finding) -> Finding:
    """Sulfuric acid [kg m⁻³] from a density and a copper finding."""
    _check(measured, copper, "copper")
    temperature = _temperature(measured)
    inputs = _inputs(measured) | {"copper": Measured(value=copper.value.best, std=copper.std)}
    outcome = propagated(
        lambda density, law, copper: _acid_for(
            density * law, copper * _salt_per_copper(), temperature
        ),
        inputs,
    )
    return finding(
        "sulfuric_acid",
        outcome,
        method=f"density together with {copper.method}",
        notes=_notes(copper),
        sources=tuple(sorted({"laliberte2004", "laliberte2009", *copper.sources})),
        temperature=temperature,
    )


def copper_from(measured: Finding, acid: Finding) -> Finding:
    """Copper [kg m⁻³] from a density and an acid finding."""
    _check(measured, acid, "sulfuric_acid")
    temperature = _temperature(measured)
    inputs = _inputs(measured) | {"acid": Measured(value=acid.value.best, std=acid.std)}
    outcome = propagated(
        lambda density, law, acid: _salt_for(density * law, acid, temperature) / _salt_per_copper(),
        inputs,
    )
    return finding(
        "copper",
        outcome,
        method=f"density together with {acid.method}",
        notes=_notes(acid),
        sources=tuple(sorted({"laliberte2004", "laliberte2009", *acid.sources})),
        temperature=temperature,
    )


def _inputs(measured: Finding) -> dict[str, Measured]:
    law = Measured(value=1.0, std=RELATIVE_ERROR / NINE_IN_TEN)
    return {"density": Measured(value=measured.value.best, std=measured.std), "law": law}


def _notes(other: Finding) -> tuple[str, ...]:
    return (
        "Anything else dissolved (sodium, iron, additives) is counted as well; not independent of "
        f"the {other.quantity.replace('_', ' ')} that it was worked out with.",
    )


def _density_std(measured: Finding) -> float:
    law = measured.value.best * RELATIVE_ERROR / NINE_IN_TEN
    return float((measured.std**2 + law**2) ** 0.5)


def _acid_for(target: float, salt: float, temperature: float) -> float:
    return _solved(lambda acid: _density(salt, acid, temperature) - target, MOST_ACID, "acid")


def _salt_for(target: float, acid: float, temperature: float) -> float:
    return _solved(
        lambda salt: _density(salt, acid, temperature) - target, MOST_SALT, "copper sulfate"
    )


def _solved(excess: Callable[[float], float], most: float, what: str) -> float:
    """The amount from zero to `most` at which `excess` is zero; a little below zero is carried on
    along the slope at zero, so that a deviation can be propagated past an empty bath."""
    at_zero = excess(0.0)
    if at_zero > 0.0:
        slope = excess(1.0) - at_zero
        short = at_zero / slope
        if short > 25.0:
            raise Impossible(
                "the bath is lighter than its other part alone by {short} of {what}; the density "
                "and the titration contradict each other",
                short=Quantity(short, "g/L", decimals=0),
                what=what,
            )
        return -short
    top = _top(excess, most)
    if excess(top) < 0.0:
        raise Impossible(
            "even {top} of {what} do not make a bath this dense",
            top=Quantity(top, "g/L", decimals=0),
            what=what,
        )
    from scipy.optimize import brentq  # a server's start need not wait for it

    return float(brentq(excess, 0.0, top, xtol=1e-9))


def _top(excess: Callable[[float], float], most: float) -> float:
    """The largest amount that the density law answers for, found by halving the way up."""
    low, high = 0.0, most
    try:
        excess(high)
    except OutsideValidity:
        for _ in range(40):
            middle = (low + high) / 2.0
            try:
                excess(middle)
                low = middle
            except OutsideValidity:
                high = middle
        return low
    return high


def _density(salt: float, acid: float, temperature: float) -> float:
    bath = Composition(copper_sulfate_pentahydrate=max(salt, 0.0), sulfuric_acid=max(acid, 0.0))
    return density(mass_fractions(bath, temperature), temperature)


def _acid_slope(pair: tuple[float, float], temperature: float) -> float:
    salt, acid = pair
    return _density(salt, acid + 1.0, temperature) - _density(salt, acid, temperature)


def _salt_per_copper() -> float:
    return molar_mass("CuSO4·5H2O") / molar_mass("Cu")


def _temperature(measured: Finding) -> float:
    if measured.temperature is None:
        raise BadInput("a density is worth nothing without the temperature it was read at")
    return measured.temperature


def _check(measured: Finding, other: Finding | None = None, quantity: str = "") -> None:
    if measured.quantity != "density":
        raise BadInput("a density is needed here, not {quantity}", quantity=measured.quantity)
    if other is not None and other.quantity != quantity:
        raise BadInput(
            "a finding of {quantity} is needed here, not of {other}",
            quantity=quantity,
            other=other.quantity,
        )
