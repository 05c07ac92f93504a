"""Numbers as a person reads them on a sheet: plain digits, units of the trade, no exponents.

Makers of sheets name an everyday metric unit; who reads in US units gets its counterpart, also in
what the computation says in whole sentences (cautions, warnings, remarks).
"""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from functools import wraps
from math import floor, isfinite, log10
from typing import TypeVar

from tankside.app.ports import SheetRequest
from tankside.base import units
from tankside.base.intervals import Interval
from tankside.base.messages import ENGLISH, Reader
from tankside.base.messages import spoken as spoken_to
from tankside.base.units import COUNTERPARTS, Kind, UnitSystem, in_unit, retold
from tankside.base.units import sign as sign_of
from tankside.base.wording import Said

THIN = "\u2009"
MINUS = "\u2212"


def plain(value: float, digits: int = 3) -> str:
    """`value` with about `digits` significant digits, never in exponent form, no idle zeros
    before the point: 0.0042, 1.39, 72.7, 1240."""
    if not isfinite(value):
        return _endless(value)
    if value == 0:
        return "0"
    decimals = digits - 1 - floor(log10(abs(value)))
    rounded = round(value, decimals)
    if rounded and floor(log10(abs(rounded))) > floor(log10(abs(value))):
        decimals -= 1
    return marked(f"{rounded:.{max(decimals, 0)}f}".replace("-", MINUS))


def _endless(value: float) -> str:
    if value != value:
        return worded("none")
    unlimited = worded("unlimited")
    return unlimited if value > 0 else MINUS + unlimited


def rounded(value: float) -> str:
    """A round number such as a tick's, without idle zeros: 50, 2.5."""
    return marked(f"{value:.6g}".replace("-", MINUS))


_Content = TypeVar("_Content")
_Made = TypeVar("_Made")


@contextmanager
def written_for(reader: Reader) -> Iterator[None]:
    """Sheets that are made within are for this reader."""
    token = _READER.set(reader)
    try:
        yield
    finally:
        _READER.reset(token)


def for_its_reader(
    make: Callable[[_Content, SheetRequest], _Made],
) -> Callable[[_Content, SheetRequest], _Made]:
    """Of a maker of a sheet, or of its words: what it makes is for the reader of its request."""

    @wraps(make)
    def made(content: _Content, how: SheetRequest) -> _Made:
        with written_for(how.reader):
            return make(content, how)

    return made


def reader_units() -> UnitSystem:
    """The units that sheets are made in just now."""
    return _READER.get().units


def reader_s(unit: str) -> str:
    """The reader's unit where a metric one is named: "um", or "mil"."""
    return COUNTERPARTS.get(unit, unit) if reader_units() is UnitSystem.US else unit


def figure(value: float, unit: str) -> float:
    """A value [SI] as a number in the reader's unit."""
    return in_unit(value, reader_s(unit))


def sign(unit: str) -> str:
    """The reader's unit as it is written behind a number: µm, A/dm²."""
    return sign_of(reader_s(unit))


def spoken(text: str) -> str:
    """A sentence or name of the computation, as the reader has it."""
    return spoken_to(text, _READER.get())


def laboratory(text: str) -> str:
    """The same of what is done with burettes and pipettes: in millilitres and grams everywhere."""
    return spoken_to(text, replace(_READER.get(), units=UnitSystem.METRIC))


def noted(text: str) -> str:
    """A text of a journal: what the program said, as the reader has it; what a person wrote, as it
    stands."""
    if isinstance(text, Said):
        return spoken(text)
    return _READER.get().translate(text) if text else ""


def worded(words: str, /, **values: object) -> str:
    """Words of the sheet's own in the reader's language, with {names} where values go; the values
    stand as they are given, told already. The catalogue gathers the words where this stands."""
    try:
        return phrase(words).format(**values)
    except (KeyError, ValueError, IndexError):  # a translation with a name that is not there
        return words.format(**values)


def phrase(words: str) -> str:
    """Words in the reader's language and units, {names} left as they are."""
    reader = _READER.get()
    return retold(reader.translate(words), reader.units, comma=reader.comma)


def worded_of(one: str, many: str, /, *, count: int, **values: object) -> str:
    """The same about a count, which is a value by that name."""
    chosen = _READER.get().many(one, many, count)
    try:
        return chosen.format(count=count, **values)
    except (KeyError, ValueError, IndexError):
        return (one if count == 1 else many).format(count=count, **values)


def listed(names: Iterable[str]) -> str:
    """Several as one text: "a, b"."""
    return ("; " if _READER.get().comma else ", ").join(names)


def marked(number: str) -> str:
    """A number, with its unit or without, with the reader's decimal mark."""
    return number.replace(".", ",") if _READER.get().comma else number


def measured(value: float, unit: str, digits: int = 3) -> str:
    """A value [SI] in a unit of the outputs, with its sign: 120 µm, 1.86 A/dm²."""
    return f"{plain(figure(value, unit), digits)} {sign(unit)}"


def amount(value: float, kind: Kind, digits: int = 3) -> str:
    """A value [SI] of a kind in that of the reader's units which suits its size."""
    return marked(units.told(value, kind, reader_units(), digits))


def reading(value: float, unit: str, digits: int = 3) -> str:
    """A value [SI] in one named unit, whatever the reader's: that of a tool or a meter."""
    return marked(units.shown(value, unit, digits))


def bare(value: float, unit: str, digits: int = 3) -> str:
    """The same without the unit."""
    return reading(value, unit, digits).split()[0]


def span(low: str, high: str) -> str:
    """From one to the other, both told already."""
    return low if low == high else worded("{low} to {high}", low=low, high=high)


def by_digits(value: float, unit: str, digits: int = 3) -> str:
    """A value [SI] in the reader's unit, its idle zeros left out: 120 µm, 1.5 g."""
    return reading(value, reader_s(unit), digits)


def money(sum: float, currency: str = "") -> str:
    """A sum to the cent."""
    return f"{marked(f'{sum:.2f}')} {currency}".rstrip()


def between(interval: Interval, unit: str, digits: int = 2) -> str:
    """The ends of an interval [SI]: "112 to 125 µm"; one number where both read the same."""
    low, high = (plain(figure(end, unit), digits) for end in (interval.low, interval.high))
    return f"{span(low, high)} {sign(unit)}"


def millimetres(length: float) -> str:
    """A length [m] as a drawing gives it: whole millimetres from 10 mm on; or inches, to a
    hundredth."""
    if reader_units() is UnitSystem.US:
        return marked(f"{in_unit(length, 'in'):.2f} in")
    value = in_unit(length, "mm")
    return f"{value:.0f} mm" if value >= 10 else marked(f"{value:.1f} mm")


def percent(share: float) -> str:
    """A share [-] as percent; what is there but small says so."""
    if share <= 0:
        return worded("none")
    if share < 0.001:
        return worded("under {number} %", number=marked("0.1"))
    return f"{plain(100 * share, 2)} %"


def clock(seconds: float) -> str:
    """A duration [s] as a person sets a timer: 5 h 24 min."""
    minutes = round(seconds / 60)
    hours, minutes = divmod(minutes, 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours} h {minutes:02d} min"


_READER: ContextVar[Reader] = ContextVar("reader", default=ENGLISH)  # frozen
