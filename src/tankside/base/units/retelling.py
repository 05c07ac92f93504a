"""Prose that states quantities, told again in the reader's units and with the reader's mark.

Sentences that are computed carry their quantities as numbers (base/messages.py). This is for those
that were written with them: "keep it under 40 °C", "a row of 15 to 20 cm". Between quotation marks
stands what a person typed, which is theirs and stays.
"""

import re

from tankside.base.units.counterparts import COUNTERPARTS, comma_marked
from tankside.base.units.factors import FACTORS, TEMPERATURES, in_unit
from tankside.base.units.showing import UnitSystem, rounded, sign

_SPELLED = {sign(unit): unit for unit in COUNTERPARTS} | {"degC": "degC", "A/dm^2": "A/dm^2"}
_SIGN = "|".join(sorted(map(re.escape, _SPELLED), key=len, reverse=True))
_NUMBER = r"(?<![\w.,])[-\u2212]?\d+(?:,\d{3})*(?:\.\d+)?"
_JOINED = r"\s*(?:to|or|and|by|x|\u00d7|\u00b1|\u2013|,|-)\s*"
_QUANTITY = re.compile(
    rf"(?P<open>\()?(?P<numbers>{_NUMBER}(?:{_JOINED}{_NUMBER})*)(?P<close>\))?"
    rf"(?P<gap>[ \u00a0\u202f]?)(?P<sign>{_SIGN})(?![\w/\u00b2\u00b3^\u00b7]|\.\w)"
)
_QUOTED = re.compile(r"((?<!\w)'[^']*'(?!\w)|\"[^\"]*\"|\u201c[^\u201d]*\u201d)")
_EACH = re.compile(rf"(?P<spread>\u00b1\s*)?(?P<number>{_NUMBER})")
_FEWEST = 2
"""Digits that a number keeps at least when its unit changes."""


def retold(text: str, system: UnitSystem, *, comma: bool = False) -> str:
    """The text for a reader; as it is for one in metric units who marks decimals by a point."""
    if system is UnitSystem.METRIC and not comma:
        return text
    pieces = _QUOTED.split(text)
    pieces[::2] = [_prose(piece, system, comma) for piece in pieces[::2]]
    return "".join(pieces)


def _prose(text: str, system: UnitSystem, comma: bool) -> str:
    told = _QUANTITY.sub(_in_us_units, text) if system is UnitSystem.US else text
    return comma_marked(told) if comma else told


def _in_us_units(found: re.Match[str]) -> str:
    metric = _SPELLED[found["sign"]]
    wanted = COUNTERPARTS[metric]
    numbers = _EACH.sub(lambda one: _each(one, metric, wanted), found["numbers"])
    return f"{found['open'] or ''}{numbers}{found['close'] or ''}{found['gap']}{sign(wanted)}"


def _each(found: re.Match[str], metric: str, wanted: str) -> str:
    """One number; of a temperature, what follows "±" is a difference."""
    if found["spread"] and metric in TEMPERATURES:
        return found["spread"] + _changed(found["number"], "K", COUNTERPARTS["K"])
    return (found["spread"] or "") + _changed(found["number"], metric, wanted)


def _changed(written: str, metric: str, wanted: str) -> str:
    plain = written.replace("\u2212", "-").replace(",", "")
    value = in_unit(_si(float(plain), metric), wanted)
    if metric in TEMPERATURES:
        return f"{value:.{len(plain.partition('.')[2])}f}"
    digits = len(plain.lstrip("-0.").replace(".", ""))
    return rounded(value, max(_FEWEST, digits))


def _si(number: float, unit: str) -> float:
    if unit in TEMPERATURES:
        slope, offset = TEMPERATURES[unit]
        return (number - offset) / slope
    return number / FACTORS[unit]
