"""Text with a unit to an SI number, with a sentence for each way to get it wrong.

The kinds are kinds.py's, the spellings of the trade spellings.py's, the everyday units
factors.py's; all other unit arithmetic is pint's.
"""

import re
from functools import cache
from math import isfinite
from typing import Any

from tankside.base.errors import BadInput
from tankside.base.units.factors import from_everyday, is_everyday
from tankside.base.units.kinds import Kind
from tankside.base.units.spellings import definitions, spelled
from tankside.base.wording import quoting, term

SIGN = r"[+\-\u2212]?"
"""A sign as it is typed, or as it is printed and copied from there."""

NUMBER = SIGN + r"(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?"
"""A number as people write it: point or comma marks the decimals."""

_NUMBER_THEN_UNIT = re.compile(rf"^\s*({NUMBER})\s*(.*?)\s*$")
_LARGEST = 1e60
_THOUSANDS = re.compile(rf"^{SIGN}[1-9]\d{{0,2}},\d{{3}}$")
_BARE_DEGREE = re.compile(r"^[CF]$")
_SHARE = re.compile(r"\bpp[mb]\b|%|\bpercent\b", re.IGNORECASE)


def quantity(text: object, kind: Kind, *, where: str) -> float:
    """The SI value of text such as "75 g/L" (`where` names the key for the error's sentence).

    Point and comma both mark decimals. BadInput where the text is no quantity, has no unit, has one
    of another kind, is not finite, has a unit that differs from country to country, or a comma that
    may as well mark thousands.
    """
    if isinstance(text, bool) or not isinstance(text, str):
        raise BadInput(
            "expected {kind} with its unit, in quotes as '{example}', not {text!r}",
            kind=term(kind.words),
            example=kind.example,
            text=text,
            where=where,
        )
    match = _NUMBER_THEN_UNIT.match(text)
    if match is None:
        raise BadInput(
            "{text!r} is not {kind}; write for example '{example}'",
            text=text,
            kind=term(kind.words),
            example=kind.example,
            where=where,
        )
    value = number(match.group(1), text, where=where)
    unit = match.group(2)
    if not unit:
        raise BadInput(
            "{text!r} has no unit; write for example '{example}'",
            text=text,
            example=kind.example,
            where=where,
        )
    return converted(value, unit, kind, text, where=where)


def number(written: str, text: str, *, where: str) -> float:
    """The number written; BadInput where its comma may mark thousands, or it is beyond all size."""
    if _THOUSANDS.match(written):
        raise BadInput(
            "the comma in {text!r} may mark decimals or thousands; write {decimal!r} or {plain!r}",
            text=text,
            decimal=text.replace(",", "."),
            plain=text.replace(",", ""),
            where=where,
        )
    value = float(written.replace(",", ".").replace("\u2212", "-"))
    if not abs(value) < _LARGEST:
        raise BadInput(
            "{text!r} is not a finite number of any size met here", text=text, where=where
        )
    return value


def converted(value: float, unit: str, kind: Kind, text: str, *, where: str) -> float:
    """`value` in `unit` as SI of a kind; `text` is what the person typed, for the sentence."""
    known = spelled(unit, text, where=where)
    result = from_everyday(value, known, kind)
    if result is None and is_everyday(known):
        raise _of_another_kind(unit, kind, text, where)
    if result is None:
        result = _by_library(value, known, unit, kind, text, where)
    if not isfinite(result):
        raise BadInput("{text!r} is not a finite number", text=text, where=where)
    return result


def _by_library(value: float, known: str, unit: str, kind: Kind, text: str, where: str) -> float:
    registry = _registry()
    try:
        parsed = registry.parse_units(known)
        return float(registry.Quantity(value, parsed).to(kind.si_unit).magnitude)
    except Exception as error:  # pint raises many kinds, from tokenizer errors to its own
        raise _of_another_kind(unit, kind, text, where) from error


def _of_another_kind(unit: str, kind: Kind, text: str, where: str) -> BadInput:
    advice = quoting("write for example '{example}'", example=kind.example)
    if kind is Kind.TEMPERATURE and _BARE_DEGREE.match(unit):
        advice = quoting("write 'deg{unit}' for degrees", unit=unit)
    elif kind in (Kind.MASS_CONCENTRATION, Kind.DENSITY) and _SHARE.search(unit):
        advice = quoting(
            "a share may be by mass or by volume; write for example '{example}'",
            example=kind.example,
        )
    elif kind is Kind.VOLUME and re.fullmatch(r"oz\.?|ounces?", unit, re.IGNORECASE):
        advice = term(
            "an ounce is a mass; for volume write 'us_fluid_ounce' or 'imperial_fluid_ounce'"
        )
    return BadInput(
        "{text!r} is not {kind}; {advice}",
        text=text,
        kind=term(kind.words),
        advice=advice,
        where=where,
    )


@cache
def _registry() -> Any:
    import pint

    registry: Any = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    for name, meaning in definitions().items():
        if name not in registry:
            registry.define(f"{name} = {meaning}")
    return registry
