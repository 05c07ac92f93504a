"""Reads what any data logger wrote: a text table with times, volts and amperes in it.

Columns are named by the person, or guessed from their heads and shown. Point and comma decimals,
commas, semicolons and tabs between the columns, and times as seconds or as dates are understood;
one line that is none is refused with its number.
"""

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from tankside.base.errors import BadInput
from tankside.runs.series import Series

_HEADS = {
    "time": r"time|seconds|date",
    "voltage": r"volt|\bU\b|_mv$|_v$",
    "current": r"current|\bamp|\bI\b|_ma$|_a$",
}
"""What the heads of the columns look like."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Heads of the columns with the time, the voltage [V] and the current [A]; what one unit of
    each is worth (0.001 for millivolts)."""

    time: str
    voltage: str
    current: str
    voltage_factor: float = 1.0
    current_factor: float = 1.0

    @classmethod
    def named(cls, time: str, voltage: str, current: str) -> "Columns":
        """By their heads; those that speak of millivolts or milliamperes are taken so."""
        return cls(
            time=time,
            voltage=voltage,
            current=current,
            voltage_factor=_factor(voltage, "mv"),
            current_factor=_factor(current, "ma"),
        )


def columns_of(content: bytes, *, where: str) -> Columns:
    """A guess of the columns from their heads; BadInput where one cannot be told."""
    head = _table(content, where)[0]
    found = {}
    for name, pattern in _HEADS.items():
        fitting = [cell for cell in head if re.search(pattern, cell, re.IGNORECASE)]
        if len(fitting) != 1:
            what = "no column" if not fitting else f"more than one ({', '.join(fitting)})"
            raise BadInput(
                "{what} for the {name} among {names}; name it",
                what=what,
                name=name,
                names=", ".join(map(repr, head)),
                where=where,
            )
        found[name] = fitting[0]
    return Columns.named(**found)


def heads_of(content: bytes, *, where: str) -> tuple[str, ...]:
    """The heads of its columns; BadInput where it is no table."""
    return tuple(_table(content, where)[0])


def read_log(content: bytes, columns: Columns, *, where: str) -> Series:
    """The samples of a logger's file. Times without a zone are taken as universal time."""
    head, *rows = _table(content, where)
    places = []
    for name in (columns.time, columns.voltage, columns.current):
        if name not in head:
            raise BadInput(
                "there is no column {name!r} among {head}",
                name=name,
                head=", ".join(head),
                where=where,
            )
        places.append(head.index(name))
    samples = np.array(
        [_sample(row, places, f"{where}, line {number}") for number, row in enumerate(rows, 2)]
    ).reshape(-1, 3)
    try:
        return Series.of(
            samples[:, 0],
            samples[:, 1] * columns.voltage_factor,
            samples[:, 2] * columns.current_factor,
        )
    except BadInput as error:
        raise BadInput(error.message, where=where) from error


def _factor(head: str, thousandth: str) -> float:
    return 1e-3 if thousandth in head.lower() else 1.0


def _table(content: bytes, where: str) -> list[list[str]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) < 2:
        raise BadInput("a log needs a line of heads and a line of values", where=where)
    delimiter = max(("\t", ";", ","), key=lambda sign: lines[0].count(sign))
    if delimiter not in lines[0]:
        raise BadInput("no columns can be told apart in the first line", where=where)
    rows = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=delimiter))
    return [[cell.strip() for cell in row] for row in rows]


def _sample(row: Sequence[str], places: Sequence[int], where: str) -> tuple[float, float, float]:
    if max(places) >= len(row):
        raise BadInput("only {row} columns are here", row=len(row), where=where)
    time, voltage, current = (row[place] for place in places)
    return _moment(time, where), _number(voltage, where), _number(current, where)


def _moment(text: str, where: str) -> float:
    try:
        return _number(text, where)
    except BadInput:
        pass
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise BadInput(
            "{text!r} is no time; seconds or dates such as 2026-03-01 18:30:05 are read",
            text=text,
            where=where,
        ) from error
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()


def _number(text: str, where: str) -> float:
    try:
        return float(text.replace(",", ".") if "." not in text else text)
    except ValueError as error:
        raise BadInput("{text!r} is not a number", text=text, where=where) from error
