"""Numbers as the reader likes them: the filters that every page writes quantities with.

A value goes into a template in SI, and comes out in the reader's units with the reader's decimal
mark: `{{ 1.2e-4|told("length") }}` is "120 µm", or "4.72 mil". A page that types a unit into its
own text cannot do that, so none does where a filter can.
"""

import re
from collections.abc import Mapping, Sequence
from contextvars import ContextVar
from typing import Protocol, SupportsFloat

from tankside.app.work.languages import translations
from tankside.app.work.plan_fields import FIELDS
from tankside.app.work.preferences import Mark, Preferences
from tankside.base import units
from tankside.base.units import Kind, UnitSystem

READER: ContextVar[Preferences] = ContextVar("reader", default=Preferences())  # noqa: B039  # frozen
"""Whose page is being made."""


class _Ends(Protocol):
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...


def kind_of(name: str) -> Kind:
    """A kind by its name in small letters, such as "current_density"."""
    return Kind[name.upper()]


def told(value: float, kind: str, digits: int = 3) -> str:
    """A value [SI] of a kind by name, with its unit."""
    return marked(units.told(value, kind_of(kind), READER.get().units, digits))


def between(ends: _Ends, kind: str, digits: int = 2) -> str:
    """An interval [SI] as "0.9 to 1.2 V", or "850 mV to 1.2 V"; one value where both ends read the
    same."""
    low, high = told(ends.low, kind, digits), told(ends.high, kind, digits)
    if ends.low == 0.0:
        low = f"0 {high.partition(' ')[2]}"
    return low if low == high else _span(bare_before(low, high), high)


def _span(low: str, high: str) -> str:
    return translations(READER.get().language).gettext("{low} to {high}").format(low=low, high=high)


def sides(lengths: Sequence[float]) -> str:
    """The sides of a box [m], all in the unit of the longest: "10.7 × 11.4 × 9.57 mm"."""
    unit = units.unit_told(max(lengths), Kind.LENGTH, READER.get().units)
    numbers = (units.rounded(units.in_unit(one, unit)) for one in lengths)
    return marked(f"{' × '.join(numbers)} {units.sign(unit)}")


def bare_before(low: str, high: str) -> str:
    """The lower end of a range without its unit, where the upper one names the same."""
    number, _, unit = low.partition(" ")
    return number if unit and unit == high.partition(" ")[2] else low


def rounded(number: float, digits: int = 3) -> str:
    """A number without a unit."""
    return marked(units.rounded(number, digits))


def figure(number: float, most: int = 3) -> str:
    """A number of a display: three digits, and no more decimals than `most`."""
    return rounded(round(number, most))


def metered(value: float, unit: str) -> str:
    """A value [SI] as a meter shows it: in one named unit, to a thousandth."""
    return f"{figure(units.in_unit(value, unit))} {units.sign(unit)}"


def shown(value: float, unit: str, digits: int = 3) -> str:
    """A value [SI] in one named unit, whatever the reader likes: what a supply's display says."""
    return marked(units.shown(value, unit, digits))


def warmer(rise: _Ends) -> str:
    """Differences of temperature [K] as a range; 1 K is 1.8 degrees Fahrenheit."""
    us = READER.get().units is UnitSystem.US
    factor, sign = (1.8, "°F") if us else (1.0, "K")
    low, high = (rounded(factor * end, 2) for end in (rise.low, rise.high))
    return f"{_span(low, high)} {sign}"


def ruled(metres: float, finer: int = 0) -> str:
    """A length [m] as on a ruler: millimetres to a tenth, or inches to a hundredth; with so many
    more digits for what a calliper measures."""
    if READER.get().units is units.UnitSystem.US:
        return marked(f"{units.in_unit(metres, 'in'):.{2 + finer}f} in")
    figure = f"{units.in_unit(metres, 'mm'):.{1 + finer}f}"
    return marked(figure.rstrip("0").rstrip(".") + " mm")


def money(amount: SupportsFloat) -> str:
    """A sum of money to the cent, without its currency."""
    return marked(f"{float(amount):.2f}")


_AS_THOUSANDS = re.compile(r"(?<![\d.,])([1-9]\d{0,2}),(\d{3})(?!\d)")


def for_a_field(text: str) -> str:
    """The same for an answer that a form begins with, its unit as it is written: a comma that would
    read as thousands there is a point. Its minus stays the hyphen that keyboards have."""
    return units.signed(_AS_THOUSANDS.sub(r"\1.\2", _with_comma(text)))


_OF_A_BENCH = re.compile(r"\d\s*(?:mL|mg|g)$")


def example(text: str, *, of_a_bench: bool = False) -> str:
    """What a form shows as an example or begins with, written in metric units, as the reader would
    type it. Burettes, pipettes and small balances read millilitres and grams everywhere: with
    `of_a_bench` those stay."""
    text = units.signed(text)
    if not (of_a_bench and _OF_A_BENCH.search(text)):
        text = units.retold(text, READER.get().units)
    return for_a_field(text)


def begun(answers: Mapping[str, str]) -> dict[str, str]:
    """The plan form's answers that nobody typed yet, by key, as the reader would type them."""
    return {
        key: text if FIELDS[key].choices else example(text)
        for key, text in answers.items()
        if key in FIELDS
    }


def marked(text: str) -> str:
    """With the reader's decimal mark, and a minus sign that is one; for text that holds one number
    and its unit."""
    return _with_comma(minus(text))


def _with_comma(text: str) -> str:
    return text.replace(".", ",") if READER.get().mark is Mark.COMMA else text


_HYPHEN = re.compile(r"(?:(?<=[\s(])|^)-(?=[\d.])")


def minus(text: str) -> str:
    """Text whose negative numbers have a minus sign in place of the hyphen; ranges, dates, names
    and what stands between quotation marks stay."""
    return _HYPHEN.sub("\N{MINUS SIGN}", text)
