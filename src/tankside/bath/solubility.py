"""How much copper sulfate stays dissolved beside how much sulfuric acid, cold or warm.

The solid is the pentahydrate (chalcanthite): its ion product a(Cu) a(SO4) a(water)^5 is that of
the saturated solution in water alone, read at each temperature from the handbook's table, and is
met in acid by Pitzer's activities (speciation/pitzer.py), HSO4⁻ included. Acid brings sulfate (a
common ion) and takes water, so it drives copper out. The pair Cu²⁺/HSO4⁻ has one parameter fitted
to two remembered points at 25 °C; a third, at twice the acid, is met within 5 %. Off 25 °C only
the ion product, the slope of Debye and Hückel and the acid's second constant move, so the
interval widens there; four remembered points at 0 °C, not used in the fit, lie 4 to 8 % above.

Range: 0 to 55 °C, 0 to 350 kg m⁻³ of acid; beyond it OutsideValidity.
"""

from functools import cache, lru_cache
from math import exp, log, log10

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import NotConverged, OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.base.tables import table
from tankside.bath.composition import Composition
from tankside.bath.density import density
from tankside.bath.estimate import Estimate
from tankside.bath.interpolation import between
from tankside.bath.speciation.pitzer import activities
from tankside.substances import substance

TEMPERATURE_RANGE_DEGC = (0.0, 55.0)
"""Where the table of the salt in water and the law of density hold together."""

HIGHEST_ACID = 350.0
"""Sulfuric acid in the saturated solution [kg m⁻³]; no plating bath holds more."""

ERROR_IN_WATER = 0.03
"""Relative half-width in water [-]: from the handbook's digits and its readings; our judgement.
An older compilation (Lange) lies 4 % lower at 0 and 10 % lower at 20 °C, in a form that looks like
a slip of conversion; it is not followed."""

ERROR_IN_ACID = 0.12
"""Relative half-width in 100 kg m⁻³ of acid or more, at 25 °C [-]: our judgement."""

ERROR_PER_KELVIN = 0.002
"""Added in that acid for each kelvin off 25 °C [K⁻¹], and in proportion below; our judgement."""

_STRONG = 100.0
_SALT, _ACID = "copper sulfate", "sulfuric acid"
_TRACE = 1e-6
_LOWEST_DENSITY_DEGC = 10.0
_TOLERANCE = 1e-10
_MOST_ROUNDS = 60


def copper_sulfate_solubility(sulfuric_acid: float, temperature: float) -> Estimate:
    """Copper sulfate pentahydrate in the saturated solution [kg m⁻³], with its interval.

    `sulfuric_acid` in the saturated solution [kg m⁻³], `temperature` in K. Falls with acid, rises
    with temperature. OutsideValidity beyond the range of the module.
    """
    best = saturated(sulfuric_acid, temperature)
    value = Interval.about(best, relative_error(sulfuric_acid, temperature))
    return Estimate(
        value=value,
        assumptions=(
            said(
                "Of copper sulfate pentahydrate {value_low} to {value_high} stay dissolved "
                "beside {sulfuric_acid} of sulfuric acid at {temperature}: from the table in "
                "water and a model of the acid that was fitted to remembered points at 25 °C.",
                value_low=Quantity(value.low, "g/L", decimals=0, bare=True),
                value_high=Quantity(value.high, "g/L", decimals=0),
                sulfuric_acid=Quantity(sulfuric_acid, "g/L"),
                temperature=Quantity(temperature, "degC"),
            ),
        ),
        sources=("crc2010", "foote1915", "harvie1984", "may2011"),
    )


def relative_error(sulfuric_acid: float, temperature: float) -> float:
    """Relative half-width of the interval [-]."""
    share = min(sulfuric_acid / _STRONG, 1.0)
    off = abs(temperature - ZERO_CELSIUS_K - 25.0)
    return ERROR_IN_WATER + share * (ERROR_IN_ACID - ERROR_IN_WATER + ERROR_PER_KELVIN * off)


def still_dissolved(composition: Composition, coldest: float) -> Estimate:
    """Share of what would stay dissolved that a bath holds on its coldest night [-].

    Below one nothing crystallises at `coldest` [K]; the acid's concentration is the bath's.
    """
    limit = copper_sulfate_solubility(composition.sulfuric_acid, coldest)
    held = composition.copper_sulfate_pentahydrate
    return Estimate(
        value=limit.value.mapped(lambda most: held / most),
        assumptions=limit.assumptions,
        sources=limit.sources,
    )


def coldest_safe(composition: Composition) -> float | None:
    """Temperature [K] down to which nothing crystallises even at the low end of the interval.

    The freezing point of water where it holds all the way down; None where the bath is too strong
    at 55 °C.
    """
    low, high = (t + ZERO_CELSIUS_K for t in TEMPERATURE_RANGE_DEGC)
    held, acid = composition.copper_sulfate_pentahydrate, composition.sulfuric_acid

    def spare(temperature: float) -> float:
        return copper_sulfate_solubility(acid, temperature).value.low - held

    if spare(low) >= 0.0:
        return low
    if spare(high) < 0.0:
        return None
    while high - low > 0.01:
        middle = (low + high) / 2.0
        low, high = (low, middle) if spare(middle) >= 0.0 else (middle, high)
    return high


@lru_cache(maxsize=4096)
def saturated(sulfuric_acid: float, temperature: float) -> float:
    """The best guess alone: pentahydrate in the saturated solution [kg m⁻³]."""
    t = temperature - ZERO_CELSIUS_K
    low, high = TEMPERATURE_RANGE_DEGC
    if not low <= t <= high or not 0.0 <= sulfuric_acid <= HIGHEST_ACID:
        raise OutsideValidity(
            "the solubility of copper sulfate is known from {low:g} to {high:g} °C and up to "
            "{highest_acid} of sulfuric acid, not at {t:.4g} °C with {sulfuric_acid}",
            low=low,
            high=high,
            highest_acid=Quantity(HIGHEST_ACID, "g/L", 6),
            t=t,
            sulfuric_acid=Quantity(sulfuric_acid, "g/L", 4),
        )
    copper = _saturated_in_water(t)
    product = chalcanthite_constant(temperature)
    acid = 0.0
    change = float("inf")
    for _ in range(_MOST_ROUNDS):
        held = _concentrations(copper, acid, temperature)
        if change < _TOLERANCE:
            return held[_SALT] * _hydrated()
        wanted = acid * sulfuric_acid / held[_ACID] if acid else _first(sulfuric_acid)
        next_copper = _crystallised(copper, wanted, temperature, product)
        change = abs(wanted - acid) / (wanted + 1.0) + abs(next_copper - copper) / copper
        copper, acid = next_copper, wanted
    raise NotConverged(
        "the saturated composition was not found", residual=change, iterations=_MOST_ROUNDS
    )


def chalcanthite_constant(temperature: float) -> float:
    """ln of a(Cu) a(SO4) a(water)^5 in water saturated with the pentahydrate [-]."""
    return _log_product(_saturated_in_water(temperature - ZERO_CELSIUS_K), _TRACE, temperature)


def _first(sulfuric_acid: float) -> float:
    """A first guess of the acid's molality [mol kg⁻¹] from its concentration."""
    return sulfuric_acid / substance(_ACID).molar_mass / 950.0


def _crystallised(copper: float, acid: float, temperature: float, product: float) -> float:
    """Molality of copper [mol kg⁻¹] whose ion product is `product`, by a secant on logarithms."""
    before, at = log(copper * 1.02), log(copper)
    excess_before = _log_product(exp(before), acid, temperature) - product
    excess = float("inf")
    for _ in range(_MOST_ROUNDS):
        excess = _log_product(exp(at), acid, temperature) - product
        if abs(excess) < 1e-12 or at == before:
            return exp(at)
        step = -excess * (at - before) / (excess - excess_before)
        before, excess_before = at, excess
        at += min(max(step, -0.7), 0.7)
    raise NotConverged(
        "the saturated copper was not found", residual=abs(excess), iterations=_MOST_ROUNDS
    )


def _log_product(copper: float, acid: float, temperature: float) -> float:
    """ln of a(Cu) a(SO4) a(water)^5 at molalities of the salt and the acid [mol kg⁻¹]."""
    acid = max(acid, _TRACE)
    ions = _split(copper, acid, temperature)
    held = activities(ions, temperature)
    gamma = held.log_gamma
    return log(ions["Cu"] * ions["SO4"]) + gamma["Cu"] + gamma["SO4"] + 5.0 * held.log_water


def _split(copper: float, acid: float, temperature: float) -> dict[str, float]:
    """Molalities of the four ions: the second dissociation is met by the free hydrogen ion."""
    constant = _second_constant(temperature)

    def ions(hydrogen: float) -> dict[str, float]:
        bound = 2.0 * acid - hydrogen
        return {"H": hydrogen, "Cu": copper, "HSO4": bound, "SO4": copper + acid - bound}

    def excess(hydrogen: float) -> float:
        here = ions(hydrogen)
        gamma = activities(here, temperature).log_gamma
        ratio = log(hydrogen * here["SO4"] / here["HSO4"])
        return ratio + gamma["H"] + gamma["SO4"] - gamma["HSO4"] - constant

    lowest, highest = max(acid - copper, 0.0), 2.0 * acid
    margin = 1e-9 * acid
    from scipy.optimize import brentq  # a server's start need not wait for it

    return ions(float(brentq(excess, lowest + margin, highest - margin, xtol=1e-14, rtol=1e-12)))


def _second_constant(temperature: float) -> float:
    """ln K of HSO4⁻ = H⁺ + SO4²⁻ [mol kg⁻¹]: the closed form of PHREEQC's data files."""
    association = (
        -56.889 + 0.006473 * temperature + 2307.9 / temperature + 19.8858 * log10(temperature)
    )
    return -association * log(10.0)


def _saturated_in_water(celsius: float) -> float:
    """Molality of copper sulfate in its saturated solution in water [mol kg⁻¹]."""
    nodes, fractions = _water_table()
    what = "the solubility of copper sulfate in water"
    share = between(nodes, fractions, celsius, what=what, unit="°C")
    return share / (1.0 - share) / substance(_SALT).molar_mass


def _concentrations(copper: float, acid: float, temperature: float) -> dict[str, float]:
    """kg m⁻³ of anhydrous salt and acid at these molalities; below 10 °C with 10 °C's density."""
    masses = {
        _SALT: copper * substance(_SALT).molar_mass,
        _ACID: acid * substance(_ACID).molar_mass,
    }
    total = 1.0 + sum(masses.values())
    fractions = {name: mass / total for name, mass in masses.items()}
    heaviest = density(fractions, max(temperature, _LOWEST_DENSITY_DEGC + ZERO_CELSIUS_K))
    return {name: share * heaviest for name, share in fractions.items()}


def _hydrated() -> float:
    return substance("copper sulfate pentahydrate").molar_mass / substance(_SALT).molar_mass


@cache
def _water_table() -> tuple[tuple[float, ...], tuple[float, ...]]:
    rows = table("tankside.bath", "copper_sulfate_solubility.csv")
    return (
        tuple(float(row["temperature_degC"]) for row in rows),
        tuple(float(row["mass_fraction"]) for row in rows),
    )
