"""Whether the copper stays dissolved: when the bath is made, and on its coldest night.

A bath that cannot hold its copper sulfate at 20 °C beside its acid is refused before anything is
weighed; one that can then and not in the cold is made, with a warning that says at what temperature
crystals begin to be possible.
"""

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.base.units import shown
from tankside.bath.composition import Composition
from tankside.bath.makeup.plan import SolubilityCheck
from tankside.bath.makeup.request import MARK_TEMPERATURE, Target, quantities
from tankside.bath.solubility import coldest_safe, copper_sulfate_solubility

SALT = "copper sulfate pentahydrate"
ACID = "sulfuric acid"


def refuse_insoluble(target: Target) -> None:
    """Impossible where an acid sulfate target holds more copper than dissolves at 20 °C."""
    ions = {quantities()[one.quantity][0]: one for one in target.wanted}
    if "copper ion" not in ions or ions.keys() & {"citrate", "acetate"}:
        return
    copper, acid = ions["copper ion"], ions.get("hydrogen ion")
    moles = copper.value.best / quantities()[copper.quantity][1]
    salt = moles * quantities()[SALT][1]
    strength = 0.0
    if acid is not None:
        strength = acid.value.best / quantities()[acid.quantity][1] * quantities()[ACID][1]
    limit = copper_sulfate_solubility(strength, MARK_TEMPERATURE).value
    if salt > limit.high:
        raise Impossible(
            f"{shown(salt, 'g/L')} of copper sulfate pentahydrate do not dissolve beside "
            f"{shown(strength, 'g/L')} of sulfuric acid: at 20 °C only {limit.low:.0f} to "
            f"{limit.high:.0f} g/L do; ask for less of one or the other",
            where="target",
        )


def solubility_checks(
    composition: Composition, holds: Interval, coldest: float
) -> tuple[SolubilityCheck, ...]:
    """At 20 °C and at `coldest` [K], for a bath whose salt is known to an interval [kg m⁻³]."""
    return tuple(
        _check(when, temperature, composition, holds)
        for when, temperature in (
            ("when it is made", MARK_TEMPERATURE),
            ("on the coldest night", coldest),
        )
    )


def solubility_warnings(
    checks: tuple[SolubilityCheck, ...], composition: Composition
) -> tuple[str, ...]:
    """A sentence for each check that is not surely passed."""
    sentences = []
    for check in checks:
        if check.sure:
            continue
        likely = "will" if check.margin.high < 0.0 else "may"
        begins = coldest_safe(composition)
        warmer = (
            "" if begins is None else f"; kept above {shown(begins, 'degC', 3)} it stays dissolved"
        )
        sentences.append(
            f"Copper sulfate {likely} crystallise {check.when}, at "
            f"{shown(check.temperature, 'degC', 3)}: of {check.holds.best:.0f} g/L, "
            f"{check.dissolves.low:.0f} to {check.dissolves.high:.0f} g/L stay dissolved{warmer}."
        )
    return tuple(sentences)


def _check(
    when: str, temperature: float, composition: Composition, holds: Interval
) -> SolubilityCheck:
    limit = copper_sulfate_solubility(composition.sulfuric_acid, temperature)
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
