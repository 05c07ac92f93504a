"""A run's events as lines of text, one JSON object each, in the order in which they happened.

Lines are only added. A line that was torn by a power cut at the very end of the file is told, left
out, and written over by the next; a bad line anywhere else is refused with its number, as it means
that somebody changed the file.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from typing import Any

from tankside.base.errors import BadInput
from tankside.base.message_parts import packed, unpacked
from tankside.base.wording import Said, either, in_a_row
from tankside.runs.events import EVENTS, NAMES, Event

_UNITS = {
    "at": "at_s",
    "since": "since_s",
    "current": "current_A",
    "voltage": "voltage_V",
    "voltage_limit": "voltage_limit_V",
    "temperature": "temperature_K",
    "level_drop": "level_drop_m",
}
"""Fields with a unit, under the name that carries it."""

_PARTS = "said"
"""Parts of the sentences among the texts, so that they can be told in other words or units."""

_COUNTS = {"number"}
_TEXTS = {"by", "reason", "alarm", "words", "answer", "text"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Journal:
    """The events read, how many bytes of the file they take, and the torn tail, if any."""

    events: tuple[Event, ...]
    whole_bytes: int
    torn: bytes = b""


def encoded(event: Event) -> bytes:
    """One event as a line, with its end of line."""
    row: dict[str, Any] = {"event": NAMES[type(event)]}
    for one in fields(event):
        value = getattr(event, one.name)
        if value is not None:
            row[_UNITS.get(one.name, one.name)] = value
    parts = {name: packed(text) for name, text in row.items() if isinstance(text, Said)}
    if parts:
        row[_PARTS] = parts
    return (json.dumps(row, ensure_ascii=False) + "\n").encode()


def decoded(content: bytes, *, where: str = "journal") -> Journal:
    """The events of a journal's bytes; BadInput, placed by line, where a whole line is none."""
    *lines, tail = content.split(b"\n")
    events = [_event(line, f"{where}, line {number}") for number, line in enumerate(lines, 1)]
    return Journal(events=tuple(events), whole_bytes=len(content) - len(tail), torn=tail)


def rewritten(events: Iterable[Event]) -> bytes:
    """A whole journal."""
    return b"".join(map(encoded, events))


def _event(line: bytes, where: str) -> Event:
    try:
        row = json.loads(line)
    except ValueError as error:
        raise BadInput("this line is no event: it is not JSON", where=where) from error
    parts = row.pop(_PARTS, {}) if isinstance(row, dict) else {}
    name = row.pop("event", None) if isinstance(row, dict) else None
    if name not in EVENTS:
        raise BadInput(
            "{name!r} is no event; known are {events}. The file may come from a newer version",
            name=name,
            events=in_a_row(EVENTS),
            where=where,
        )
    kind = EVENTS[name]
    known = {_UNITS.get(one.name, one.name): one.name for one in fields(kind)}
    unknown = sorted(set(row) - set(known))
    if unknown:
        raise BadInput("{name!r} has no {unknown}", name=name, unknown=either(unknown), where=where)
    values = {known[key]: _value(known[key], value, name, where) for key, value in row.items()}
    values |= _told_apart(values, parts, name, where)
    try:
        return kind(**values)
    except TypeError as error:
        missing = sorted(
            key for key, field_name in known.items()
            if field_name not in values and _required(kind, field_name)
        )  # fmt: skip
        raise BadInput(
            "{name!r} lacks {missing}", name=name, missing=in_a_row(missing), where=where
        ) from error
    except BadInput as error:
        raise BadInput(error.message, where=where) from error


def _told_apart(
    values: Mapping[str, Any], parts: object, event: str, where: str
) -> dict[str, Said]:
    """The texts of an event that were kept with their parts."""
    try:
        return {name: unpacked(values[name], one) for name, one in dict(parts).items()}  # type: ignore[call-overload]
    except (KeyError, TypeError, ValueError, IndexError) as error:
        raise BadInput(
            "{event!r} has damaged parts of its words", event=event, where=where
        ) from error


def _required(kind: type[Event], name: str) -> bool:
    from dataclasses import MISSING

    return next(one for one in fields(kind) if one.name == name).default is MISSING


def _value(name: str, value: object, event: str, where: str) -> Any:
    if name in _TEXTS:
        if isinstance(value, str):
            return value
    elif name in _COUNTS:
        if isinstance(value, int) and not isinstance(value, bool) and value >= 0:
            return value
    elif isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    raise BadInput(
        "{event!r} has {value!r} as its {units}",
        event=event,
        value=value,
        units=_UNITS.get(name, name),
        where=where,
    )
