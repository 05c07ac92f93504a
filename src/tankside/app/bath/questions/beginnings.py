"""What stands in a bath's forms before anybody types: what its ledger knows, in the reader's units,
and the names that are offered while typing.
"""

from tankside.app.bath.estimate_form import LedgerAsked, Read, read_ledger
from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.questions.field import Question
from tankside.app.bath.week_of_a_ledger import week_of_a_ledger
from tankside.base.intervals import Interval
from tankside.base.units import Kind, UnitSystem, in_unit, rounded, told
from tankside.safety.rules import Kind as Thing
from tankside.safety.rules import rules
from tankside.substances.products import grades
from tankside.substances.records import substances

_OF_PLANS = {
    "plan-copper": "copper",
    "plan-acid": "sulfuric_acid",
    "plan-chloride": "chloride",
    "copper": "copper",
    "acid": "sulfuric_acid",
    "chloride": "chloride",
}
"""What each titration finds, as the estimate calls it."""


def beginning(
    question: Question, asked: LedgerAsked, name: str, units: UnitSystem
) -> dict[str, str]:
    """Answers to begin with; `name` is the bath's."""
    read = read_ledger(asked)
    found = {key: one.usual for key, one in question.by_key.items() if one.usual}
    if question.name in _OF_PLANS:
        found["expected"] = _about(read, _OF_PLANS[question.name], units)
    if question.name == "acid":
        found["copper"] = _with_spread(read.estimate.interval("copper"), units)
    if question.name == "rinse":
        found["copper"] = _about(read, "copper", units)
        found["acid"] = _about(read, "sulfuric_acid", units)
    if question.name == "forecast":
        found |= week_of_a_ledger(read.held, units)
    if question.name == "retire":
        found["name"] = name
    return found


def names_listed(shelf: KeptShelf) -> dict[str, tuple[str, ...]]:
    """Names that are offered while typing, by the list that a field names."""
    things = {
        f"{kind.value.replace(' ', '_')}s": tuple(
            name for rule in rules() if rule.kind is kind for name in rule.names
        )
        for kind in Thing
    }
    waters = [one.name for one in grades() if one.contents[0].substance == "water"]
    own = [
        stock.product.name
        for stock in shelf.bench().stocks
        if all(one.substance == "water" for one in stock.product.contents)
    ]
    return {
        **things,
        "substances": tuple(sorted(one.name for one in substances())),
        "waters": tuple(dict.fromkeys((*own, *waters))),
    }


def _about(read: Read, name: str, units: UnitSystem) -> str:
    value = read.estimate.best(name)
    return told(value, Kind.MASS_CONCENTRATION, units) if value > 0.0 else ""


def _with_spread(value: Interval, units: UnitSystem) -> str:
    """ "50.9 ± 0.8 g/L", in one unit."""
    unit = "oz/us_gallon" if units is UnitSystem.US else "g/L"
    half = max(value.high - value.best, value.best - value.low)
    best = told(value.best, Kind.MASS_CONCENTRATION, units)
    number, _, sign = best.partition(" ")
    if not half > 0.0 or sign not in ("g/L", "oz/US gal"):
        return best
    return f"{number} ± {rounded(in_unit(half, unit), 2)} {sign}"
