"""The ledger as text: one JSON object a line, UTF-8, only ever added to.

    {"ledger": 1, "event": "drag-out", "id": "a7", "at_s": 1764064800.0, "area_m2": 0.02,
     "parts": 1, "crc32": "5f0c9a11"}
`ledger` is the version of this form, `at_s` seconds since 1970-01-01 UTC, every quantity has its SI
unit in its name, `crc32` guards the line against later damage. A line that cannot be read gets one
sentence with its number. A last line without its end is what a kill leaves: it is told apart from
damage and handed back as `torn`, never dropped. Of a finding, all but its budget is kept.
"""

import json
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from typing import Any

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.analysis.finding import QUANTITIES, Finding
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.text_fields import FINDING_UNITS, named, value_of
from tankside.substances.products import Form

VERSION = 1
"""Of the form that is written; older ones are read."""

WORDS: dict[str, type[ev.Event]] = {
    "bottle": ev.Bottle,
    "make-up": ev.MakeUp,
    "take-over": ev.TakeOver,
    "addition": ev.Addition,
    "top-up": ev.TopUp,
    "evaporation": ev.Evaporation,
    "drag-out": ev.DragOut,
    "ampere-hours": ev.AmpereHours,
    "idle": ev.Idle,
    "analysis": ev.Analysis,
    "carbon": ev.Carbon,
    "withdrawal": ev.Withdrawal,
    "loss": ev.Loss,
    "retraction": ev.Retraction,
}
"""How each kind of event is called in the text."""

_WRITTEN = {kind: word for word, kind in WORDS.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Torn:
    """The end of a file that was cut off while it was written.

    line      number of the line, from 1
    offset    where it begins in the file, in bytes
    content   what is left of it
    """

    line: int
    offset: int
    content: bytes

    @property
    def sentence(self) -> str:
        """What happened and what to do."""
        return (
            f"line {self.line} of the ledger, the last one, was cut off while it was written "
            f"({len(self.content)} bytes are left); it is not counted: set it aside and enter that "
            "event again"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Decoded:
    """A ledger as it was read, in the order of its lines, and the torn end if there is one.

    unended   True where the last line is whole but its line end is missing
    """

    ledger: ev.Ledger
    torn: Torn | None = None
    unended: bool = False


def encoded(events: Iterable[ev.Event]) -> bytes:
    """Events as lines of text, each with its line end."""
    return b"".join(_line(event) for event in events)


def decoded(content: bytes, *, where: str = "ledger") -> Decoded:
    """The ledger in a file's content.

    BadInput with the number of the first line that is damaged; a torn end is no error.
    """
    *lines, last = content.split(b"\n")
    ledger = tuple(
        _event(line, f"{where}, line {number}")
        for number, line in enumerate(lines, start=1)
        if line.strip()
    )
    if not last:
        return Decoded(ledger=ledger)
    number = len(lines) + 1
    try:
        whole = json.loads(last.decode("utf-8"))
    except ValueError:  # neither UTF-8 nor JSON: cut off
        return Decoded(
            ledger=ledger,
            torn=Torn(line=number, offset=len(content) - len(last), content=last),
        )
    if not isinstance(whole, dict):  # such as a file that was cut off after "1"
        return Decoded(
            ledger=ledger, torn=Torn(line=number, offset=len(content) - len(last), content=last)
        )
    return Decoded(ledger=(*ledger, _event(last, f"{where}, line {number}")), unended=True)


def _line(event: ev.Event) -> bytes:
    row = {"ledger": VERSION, "event": _WRITTEN[type(event)], **_row(event)}
    return _dumped({**row, "crc32": _checksum(row)}) + b"\n"


def _dumped(row: Mapping[str, Any]) -> bytes:
    return json.dumps(row, ensure_ascii=False, allow_nan=False).encode("utf-8")


def _checksum(row: Mapping[str, Any]) -> str:
    return f"{zlib.crc32(_dumped(row)):08x}"


def _row(value: Any) -> dict[str, Any]:
    """A dataclass as a mapping with units in its names; what is None is left out."""
    if isinstance(value, Finding):
        return _finding_row(value)
    return {
        named(type(value), one.name): _written(given)
        for one in sorted(fields(value), key=lambda one: one.name != "id")
        if (given := getattr(value, one.name)) is not None
    }


def _written(value: Any) -> Any:
    if isinstance(value, Interval):
        return [value.low, value.best, value.high]
    if isinstance(value, tuple):
        return [_written(one) for one in value]
    if isinstance(value, Form):
        return value.value
    if isinstance(value, float | int | str):
        return value
    return _row(value)


def _finding_row(one: Finding) -> dict[str, Any]:
    unit = FINDING_UNITS[QUANTITIES[one.quantity]]
    row = {
        "quantity": one.quantity,
        f"value_{unit}": _written(one.value),
        f"std_{unit}": one.std,
        "method": one.method,
        "notes": list(one.notes),
        "sources": list(one.sources),
    }
    return row if one.temperature is None else {**row, "temperature_K": one.temperature}


def _event(line: bytes, where: str) -> ev.Event:
    try:
        row = json.loads(line.decode("utf-8"))
    except ValueError as error:
        raise BadInput(
            "this line is damaged and cannot be read; restore it from a backup, or delete it and "
            "enter the event again",
            where=where,
        ) from error
    if not isinstance(row, dict):
        raise BadInput("a line of the ledger is a JSON object in braces", where=where)
    _check_form(row, where)
    return _built(row, where)


def _check_form(row: dict[str, Any], where: str) -> None:
    """Version and checksum, both taken out of the row."""
    version = row.get("ledger")
    if version != VERSION:
        raise BadInput(
            "this line is of form {version!r}, and this program reads form {ours}; use "
            "the version of the program that wrote it, or a newer one",
            version=version,
            ours=VERSION,
            where=where,
        )
    stated = row.pop("crc32", None)
    if stated is not None and stated != _checksum(row):
        raise BadInput(
            "this line was changed after it was written (its checksum differs); restore it, or "
            "delete it and enter a retraction and the right event instead",
            where=where,
        )
    del row["ledger"]


def _built(row: dict[str, Any], where: str) -> ev.Event:
    word = row.pop("event", None)
    if word not in WORDS:
        raise UnknownName("kind of event", str(word), WORDS, where=where)
    return value_of(WORDS[word], row, where)  # type: ignore[no-any-return]
