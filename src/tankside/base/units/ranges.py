"""Numbers with a spread, as labels and instruments give them: "30-33 %", "96 ± 1 %", "98 % min".

Only the number's part is understood here; the caller knows the unit that follows.
"""

import re
from dataclasses import dataclass

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units.reading import NUMBER, SIGN, number

_UNSIGNED = NUMBER.removeprefix(SIGN)
_WHOLE = rf"({NUMBER})(?![eE][+-]?\d)"
_PLUS_MINUS = re.compile(
    rf"^{_WHOLE}\s*(?P<unit>[^\d±+]*?)\s*(?:±|\+/-|\+-)\s*({_UNSIGNED})\s*(.*)$"
)
_RANGE = re.compile(rf"^{_WHOLE}\s*(?P<unit>[^\d\s-]*)\s*(?:-|–|—|\bto\b)\s*({_UNSIGNED})\s*(.*)$")
_AT_LEAST = re.compile(rf"^(?:>=|≥|>|min\.?|minimum|at least)\s*({NUMBER})\s*(.*)$", re.IGNORECASE)
_AT_MOST = re.compile(rf"^(?:<=|≤|<|max\.?|maximum|at most)\s*({NUMBER})\s*(.*)$", re.IGNORECASE)
_LEAST_AFTER = re.compile(
    rf"^({NUMBER})\s*\+?\s*(.*?)\s*\(?(?:\bmin\.?|\bminimum|\+)\)?$", re.IGNORECASE
)
_MOST_AFTER = re.compile(rf"^({NUMBER})\s*(.*?)\s*\(?\b(?:max\.?|maximum)\)?$", re.IGNORECASE)
_MINUTES = re.compile(rf"^({NUMBER})\s*(min)$")
_PLUS_BEFORE = re.compile(rf"^({NUMBER})\s*\+\s*(%.*)$")
_PLAIN = re.compile(rf"^(?:about|approx\.?|ca\.?|~)?\s*({NUMBER})\s*(.*)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A number with its spread, in the unit that followed it.

    value    low, best and high; where no spread was written, half a unit of the last digit
    unit     the text behind the number
    stated   True where the person gave the spread, False where it is only the last digit's
    least    True for ">= 99": `high` is then the same as `low` and the caller knows the most
    most     True for "<= 5": `low` is then zero
    """

    value: Interval
    unit: str
    stated: bool
    least: bool = False
    most: bool = False


def spread(text: str, *, where: str) -> Spread:
    """A number or a range with what follows it; BadInput where no number is found."""
    written = text.strip()
    for pattern, reader in (
        (_PLUS_MINUS, _give_or_take),
        (_RANGE, _from_to),
        (_AT_LEAST, _one_sided),
        (_AT_MOST, _one_sided),
        (_MINUTES, _plain),
        (_LEAST_AFTER, _one_sided),
        (_PLUS_BEFORE, _one_sided),
        (_MOST_AFTER, _one_sided),
        (_PLAIN, _plain),
    ):
        if match := pattern.match(written):
            return reader(match, text, where)
    raise BadInput("{text!r} does not begin with a number", text=text, where=where)


def last_digit(written: str) -> float:
    """Half a unit of the last digit of a number as written: 0.05 for "31.4"."""
    mantissa, _, exponent = written.lower().partition("e")
    decimals = len(mantissa.replace(",", ".").partition(".")[2])
    return float(0.5 * 10.0 ** (int(exponent or 0) - decimals))


def _give_or_take(match: re.Match[str], text: str, where: str) -> Spread:
    best = number(match.group(1), text, where=where)
    half = number(match.group(3), text, where=where)
    unit = match.group(4) or match.group("unit")
    return Spread(value=Interval(best - half, best, best + half), unit=unit.strip(), stated=True)


def _from_to(match: re.Match[str], text: str, where: str) -> Spread:
    low = number(match.group(1), text, where=where)
    high = number(match.group(3), text, where=where)
    if low > high:
        raise BadInput(
            "{text!r} runs backwards: write the lower number first", text=text, where=where
        )
    unit = match.group(4) or match.group("unit")
    return Spread(value=Interval(low, 0.5 * (low + high), high), unit=unit.strip(), stated=True)


def _one_sided(match: re.Match[str], text: str, where: str) -> Spread:
    limit = number(match.group(1), text, where=where)
    least = match.re in (_AT_LEAST, _LEAST_AFTER, _PLUS_BEFORE)
    if limit < 0.0 and not least:
        raise BadInput("{text!r} is at most less than nothing", text=text, where=where)
    value = Interval.exact(limit) if least else Interval(0.0, 0.5 * limit, limit)
    return Spread(
        value=value, unit=match.group(2).strip(), stated=True, least=least, most=not least
    )


def _plain(match: re.Match[str], text: str, where: str) -> Spread:
    best = number(match.group(1), text, where=where)
    half = min(last_digit(match.group(1)), abs(best)) if best else 0.0
    return Spread(
        value=Interval(best - half, best, best + half), unit=match.group(2).strip(), stated=False
    )
