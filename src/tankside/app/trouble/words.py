"""What a page needs to tell a diagnosis in the reader's units: evidence as words or as numbers."""

from collections.abc import Iterator
from dataclasses import dataclass

from tankside.app.diagnose import DiagnoseReply
from tankside.base.intervals import Interval
from tankside.base.units import Kind
from tankside.diagnosis.evidence import Measured, Told
from tankside.diagnosis.numbers_in_words import BATH, RUN, Shown, shown_as
from tankside.diagnosis.record import told_item

_KINDS = {"A/dm^2": Kind.CURRENT_DENSITY, "A/m^2": Kind.CURRENT_DENSITY}


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """A number as evidence: words, value [SI], its kind in small letters ("" for a bare ratio,
    "Ah/L" for a charge by volume), and where it comes from."""

    words: str
    value: Interval
    kind: str
    origin: str


def number_of(item: Told | Measured, reply: DiagnoseReply) -> str | Number:
    """One piece of evidence: a number, or words."""
    if not isinstance(item, Measured):
        return told_item(item, reply.atlas)
    shown = shown_as(item.quantity)
    value, kind = item.value, _kind(shown)
    if shown.unit == "Ah/L":
        value = value.scaled(1 / 3.6e6)
    return Number(words=shown.words, value=value, kind=kind, origin=item.origin)


def said_of(reply: DiagnoseReply) -> Iterator[str | Number]:
    """All evidence of a case."""
    case = reply.diagnosis.case
    yield from (number_of(item, reply) for item in case.told)
    yield from (number_of(item, reply) for item in case.measured)


def numbers_asked() -> list[tuple[str, str, str]]:
    """Numbers that a person may have measured: name, words, and an example of how to type it."""
    return [(name, one.words, _example(one)) for name, one in {**BATH, **RUN}.items()]


def _kind(shown: Shown) -> str:
    if shown.unit == "Ah/L":
        return "Ah/L"
    kind = shown.kind or _KINDS.get(shown.unit)
    return "" if kind is None else kind.name.lower()


_EXAMPLES = {
    "degC": "24 °C", "um": "80 µm", "mm": "5 mm", "min": "3 min", "h": "12 h",
    "mg/L": "40-70 mg/L", "g/L": "180 g/L", "Ah/L": "8 Ah/L",
}  # fmt: skip


def _example(shown: Shown) -> str:
    return _EXAMPLES.get(shown.unit, "1.2")
