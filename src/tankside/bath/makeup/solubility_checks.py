"""Whether the copper stays dissolved: when the bath is made, and on its coldest night.

A bath that cannot hold its copper sulfate at 20 °C beside its acid is refused before anything is
weighed; one that can then and not in the cold is made, with a warning that says at what temperature
crystals begin to be possible.
"""

from dataclasses import dataclass
from math import log

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.base.units import shown
from tankside.bath.composition import Composition
from tankside.bath.estimate import Estimate
from tankside.bath.makeup.plan import SolubilityCheck
from tankside.bath.makeup.request import MARK_TEMPERATURE, Target, quantities
from tankside.bath.solubility import copper_sulfate_solubility

_NEAR = 0.01

SALT = "copper sulfate pentahydrate"
ACID = "sulfuric acid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What dissolves at 20 °C beside an acid [kg m⁻³]."""

    sulfuric_acid: float
    dissolves: Estimate


def refuse_insoluble(target: Target) -> Limit | None:
    """What dissolves at 20 °C beside the acid of an acid sulfate target; None for other families.

    Impossible where the target holds more.
    """
    ions = {quantities()[one.quantity][0]: one for one in target.wanted}
    if "copper ion" not in ions or ions.keys() & {"citrate", "acetate"}:
        return None
    copper, acid = ions["copper ion"], ions.get("hydrogen ion")
    moles = copper.value.best / quantities()[copper.quantity][1]
    salt = moles * quantities()[SALT][1]
    strength = 0.0
    if acid is not None:
        strength = acid.value.best / quantities()[acid.quantity][1] * quantities()[ACID][1]
    found = copper_sulfate_solubility(strength, MARK_TEMPERATURE)
    limit = found.value
    if salt > limit.high:
        raise Impossible(
            "{salt} of copper sulfate pentahydrate do not dissolve beside {strength} of sulfuric "
            "acid: at 20 °C only {low} to {high} do; ask for less of one or the other",
            salt=Quantity(salt, "g/L"),
            strength=Quantity(strength, "g/L"),
            low=Quantity(limit.low, "g/L", decimals=0, bare=True),
            high=Quantity(limit.high, "g/L", decimals=0),
            where="target",
        )
    return Limit(sulfuric_acid=strength, dissolves=found)


def solubility_checks(
    composition: Composition, holds: Interval, coldest: float, known: Limit | None
) -> tuple[SolubilityCheck, ...]:
    """At 20 °C and at `coldest` [K], for a bath whose salt is known to an interval [kg m⁻³].

    `known` is what dissolves at 20 °C beside the acid that was asked for; it serves where the
    bath's own acid is within a hundredth of that.
    """
    acid = composition.sulfuric_acid
    near = known is not None and abs(known.sulfuric_acid - acid) <= _NEAR * max(acid, 1.0)
    made = (
        known.dissolves
        if known is not None and near
        else copper_sulfate_solubility(acid, MARK_TEMPERATURE)
    )
    cold = copper_sulfate_solubility(acid, coldest)
    return (
        _check(said("when it is made"), MARK_TEMPERATURE, made, holds),
        _check(said("on the coldest night"), coldest, cold, holds),
    )


def solubility_warnings(checks: tuple[SolubilityCheck, ...]) -> tuple[str, ...]:
    """A sentence for each check that is not surely passed."""
    sentences = []
    for check in checks:
        if check.sure:
            continue
        likely = "will" if check.margin.high < 0.0 else "may"
        begins = _surely_dissolved(*checks)
        warmer = (
            ""
            if begins is None
            else f"; kept above about {shown(begins, 'degC', 2)} it stays dissolved"
        )
        sentences.append(
            f"Copper sulfate {likely} crystallise {check.when}, at "
            f"{shown(check.temperature, 'degC', 3)}: of {check.holds.best:.0f} g/L, "
            f"{check.dissolves.low:.0f} to {check.dissolves.high:.0f} g/L stay dissolved{warmer}."
        )
    return tuple(sentences)


def _surely_dissolved(made: SolubilityCheck, cold: SolubilityCheck) -> float | None:
    """Temperature [K] above which even the low end of what dissolves exceeds what the bath holds.

    By the logarithm of solubility between the two temperatures, within half a kelvin; None where it
    lies beyond them.
    """
    need = made.holds.high
    if not cold.dissolves.low < need < made.dissolves.low:
        return None
    share = log(need / cold.dissolves.low) / log(made.dissolves.low / cold.dissolves.low)
    return cold.temperature + share * (made.temperature - cold.temperature)


def _check(when: str, temperature: float, limit: Estimate, holds: Interval) -> SolubilityCheck:
    dissolves = limit.value
    return SolubilityCheck(
        when=when,
        temperature=temperature,
        dissolves=dissolves,
        holds=holds,
        margin=Interval(
            dissolves.low / holds.high - 1.0,
            dissolves.best / holds.best - 1.0,
            dissolves.high / holds.low - 1.0,
        ),
        assumptions=limit.assumptions,
        sources=limit.sources,
    )
