"""How much copper a salt holds, and what a label's copper content says about which salt it is.

Copper sulfate is sold by its copper: 25 % is the blue pentahydrate, 39 % the anhydrous salt. A
copper content that the named substance cannot have is refused, with the substance that would have
it.
"""

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.wording import either, quoting
from tankside.substances.label_strength import percent_by_mass
from tankside.substances.molar_mass import atoms_in, molar_mass
from tankside.substances.records import Substance, substances

_PURE_ENOUGH = (0.85, 1.01)
_ROUNDING = 0.01


def copper_share(record: Substance) -> float:
    """Kilograms of copper per kilogram of a pure substance [-]."""
    if not record.formula:
        return 0.0
    return atoms_in(record.formula).get("Cu", 0) * molar_mass("Cu") / record.molar_mass


def strength_from_copper(
    text: str, record: Substance, strength: Interval | None, *, where: str
) -> Interval:
    """Mass fraction [-] of a copper substance by the copper that its label states.

    Where the label states a strength as well, the two must agree; BadInput gives both otherwise.
    """
    copper = percent_by_mass(text, what="copper", where=where)
    share = copper_share(record)
    if share == 0.0:
        raise BadInput(
            "{record} holds no copper, and the label says {text!r}",
            record=record.name,
            text=text,
            where=where,
        )
    found = copper.scaled(1.0 / share)
    too_much = found.low > 1.0 + _ROUNDING
    if too_much or (strength is not None and not _overlap(found, strength)):
        raise BadInput(_contradiction(text, record, share, copper, strength), where=where)
    if strength is None:
        return Interval(min(found.low, 1.0), min(found.best, 1.0), min(found.high, 1.0))
    return strength


def _overlap(one: Interval, other: Interval) -> bool:
    return one.low <= other.high + _ROUNDING and other.low <= one.high + _ROUNDING


def _contradiction(
    text: str, record: Substance, share: float, copper: Interval, strength: Interval | None
) -> str:
    stated = 1.0 if strength is None else strength.best
    others = [
        quoting(
            "{name} of {copper:.3g} %",
            name=other.name,
            copper=100 * copper.best / copper_share(other),
        )
        for other in substances()
        if other.name != record.name
        and copper_share(other) > 0.0
        and _PURE_ENOUGH[0] <= copper.best / copper_share(other) <= _PURE_ENOUGH[1]
    ]
    meaning = (
        quoting("; {text} would be {others}", text=text, others=either(others)) if others else ""
    )
    return quoting(
        "the label contradicts itself: {record} of {stated:.3g} % holds {share:.3g} % "
        "copper, not {text}{meaning}",
        record=record.name,
        stated=100 * stated,
        share=100 * share * stated,
        text=text,
        meaning=meaning,
    )
