"""What the core says to a person: a sentence in English and metric units that keeps its parts.

A `Said` is text, and everything that takes text takes it: terminals, JSON, logs, tests. Beside the
text it keeps the words it was made from, with names in braces where values go, and the values as
numbers with their unit. Who knows the reader puts them together anew (`spoken`): the words in the
reader's language, quantities in the reader's units, numbers with the reader's mark. The core knows
no reader; the catalogue of languages gathers the words wherever `said`, `said_of` or an error
stands.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from tankside.base.units import (
    COUNTERPARTS,
    UnitSystem,
    comma_marked,
    in_unit,
    retold,
    rounded,
    sign,
)
from tankside.base.wording import Amount, Said, Words, held_as_written, term

PLACE = ", "


@dataclass(frozen=True, slots=True)
class Quantity(Amount):
    """A quantity in a sentence.

    value     in SI [of the unit's kind]; or several, such as a place or the sides of a box
    unit      the metric unit in which the sentence has it; "" for a bare number
    digits    significant ones; or `decimals`, where those are fixed
    bare      without its unit, which follows later in the sentence
    between   what stands between several; those of a place stand in brackets
    """

    value: float | tuple[float, ...]
    unit: str = ""
    digits: int = 3
    decimals: int | None = None
    bare: bool = False
    between: str = PLACE

    @property
    def number(self) -> float:
        """In its metric unit; of several, the first."""
        value = self.value[0] if isinstance(self.value, tuple) else self.value
        return in_unit(value, self.unit) if self.unit else value

    def __str__(self) -> str:
        """In metric units."""
        return amount(self, ENGLISH)


@dataclass(frozen=True, slots=True)
class Sign(Amount):
    """The unit of numbers that stand apart from it in the sentence."""

    unit: str

    def __str__(self) -> str:
        """The metric one."""
        return sign(self.unit)


Value = Quantity | Sign | int | str | tuple[Quantity | str, ...]
"""What a sentence holds: a quantity; a unit alone; a count; a sentence or name of the core; text
that stands as it is (a name that a person gave, a number that was rounded already: such a number is
told like those in the words); or a list of such, which is joined by "and"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """How somebody reads: units, decimal mark, and the words of their language by the English
    ones; `many` chooses between one and many by the count, `language` is the catalogue's code."""

    units: UnitSystem = UnitSystem.METRIC
    comma: bool = False
    translate: Callable[[str], str] = str
    many: Callable[[str, str, int], str] = lambda one, more, count: one if count == 1 else more
    language: str = "en"


ENGLISH = Reader()


def said(words: str, /, **values: Value) -> str:
    """A sentence from English words, with {names} where the values go."""
    held = _held(values)
    return Said(_filled(words, held, ENGLISH), words, held)


def said_of(one: str, many: str, /, *, count: int, **values: Value) -> str:
    """A sentence about a count, with its words for one and for many; `{count}` is the count."""
    held = _held({"count": count, **values})
    return Said(_filled((one, many), held, ENGLISH), (one, many), held)


_AND = term("and")
"""Before the last of a list."""


def capital(sentence: str) -> str:
    """The sentence with a capital first, for those that begin with a value."""
    begun = sentence[:1].upper() + sentence[1:]
    return Said(begun, sentence.words, sentence.values) if isinstance(sentence, Said) else begun


def _held(values: Mapping[str, Value]) -> dict[str, Value]:
    """Counts as whole numbers of Python, whatever library they come from."""
    return {
        name: value if isinstance(value, Quantity | Sign | str | tuple) else int(value)
        for name, value in values.items()
    }


def spoken(text: str, reader: Reader) -> str:
    """A sentence of the core for a reader. Text without parts is looked up as it stands."""
    if not text:
        return ""
    words, values = (text.words, text.values) if isinstance(text, Said) else (text, {})
    return _filled(words, values, reader)


def _filled(words: Words, values: Mapping[str, Value], reader: Reader) -> str:
    english = words if isinstance(words, str) else words[values["count"] != 1]
    if isinstance(words, str):
        found = reader.translate(words)
    else:
        count = values["count"]
        found = reader.many(*words, count if isinstance(count, int) else 0)
    if not values:
        return retold(found, reader.units, comma=reader.comma)
    try:
        return _put_in(found, values, reader)
    except (KeyError, ValueError, IndexError):  # a translation with a name that is not there
        return _put_in(english, values, reader)


def _put_in(words: str, values: Mapping[str, Value], reader: Reader) -> str:
    """Words with the values in them. What was told already is put in last, so that no number is
    told again."""
    ready = {
        name: _told(value, reader)
        for name, value in values.items()
        if isinstance(value, Quantity | Sign | int | tuple | Said)
    }
    first = {
        name: f"\ue000{name}\ue001" if name in ready else value for name, value in values.items()
    }
    prose = retold(words.format_map(held_as_written(first)), reader.units, comma=reader.comma)
    return _HELD.sub(lambda found: ready[found[1]], prose)


_HELD = re.compile("\ue000(.*?)\ue001")


def _told(value: Value, reader: Reader) -> str:
    if isinstance(value, Quantity):
        return amount(value, reader)
    if isinstance(value, Sign):
        return sign(_unit_of(value.unit, reader))
    if isinstance(value, int):
        return _marked(f"{value:,}", reader)
    if isinstance(value, str):
        return spoken(value, reader) if isinstance(value, Said) else value
    first, last = [_told(one, reader) for one in value[:-1]], _told(value[-1], reader)
    return f"{', '.join(first)} {reader.translate(_AND)} {last}" if first else last


def amount(given: Quantity, reader: Reader) -> str:
    """A quantity as the reader has it."""
    us, unit = reader.units is UnitSystem.US, _unit_of(given.unit, reader)
    values = given.value if isinstance(given.value, tuple) else (given.value,)
    place = given.between == PLACE
    between = "; " if place and reader.comma else given.between
    numbers = between.join(_number(one, unit, given, us) for one in values)
    if place and len(values) > 1:
        numbers = f"({numbers})"
    shown = numbers if given.bare or not unit else f"{numbers} {sign(unit)}"
    return _marked(shown, reader)


def _unit_of(metric: str, reader: Reader) -> str:
    return COUNTERPARTS.get(metric, metric) if reader.units is UnitSystem.US else metric


def _number(value: float, unit: str, given: Quantity, us: bool) -> str:
    number = in_unit(value, unit) if unit else value
    if given.decimals is None or (us and unit != given.unit):
        return rounded(number, given.digits)
    return f"{number:.{given.decimals}f}"


def _marked(text: str, reader: Reader) -> str:
    return comma_marked(text) if reader.comma else text
