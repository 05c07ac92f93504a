"""What a kind of supply understands: a short declaration, read from a data file.

A declaration says which identity it fits, how each of the few things a run needs is set and asked,
how finely, and the most it can give. A person adds one for their own supply as a TOML file of the
same shape as data/supplies.toml; nothing here changes.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.errors import BadInput


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A quantity that can be set: `set` with {value} in it, `ask`, the finest step, the most."""

    set: str
    ask: str
    resolution: float
    most: float

    def __post_init__(self) -> None:
        if "{value}" not in self.set:
            raise BadInput("{set!r} has no place for {{value}}", set=self.set)
        if not (self.resolution > 0.0 and self.most > 0.0):
            raise BadInput("resolution and most must be above zero")


@dataclass(frozen=True, slots=True, kw_only=True)
class Declaration:
    """A kind of supply.

    identity          regular expression that its answer to *IDN? fits
    current, voltage  what it holds [A], and does not pass [V]
    measured_current, measured_voltage  questions for what flows [A], [V]
    output            sets the output, {value} is ON or OFF;  output_ask asks it
    errors            asks the error queue, "" where there is none
    start             sent once, at the beginning
    settle            how long after a setting its question is true [s]
    """

    name: str
    words: str
    identity: str
    current: Level
    voltage: Level
    measured_current: str
    measured_voltage: str
    output: str
    output_ask: str
    errors: str = ""
    start: tuple[str, ...] = ()
    settle: float = 0.05

    def fits(self, identity: str) -> bool:
        """True where this declaration is meant for a supply of that identity."""
        return re.search(self.identity, identity, re.IGNORECASE) is not None


def declarations(own: str = "", *, where: str = "supplies.toml") -> tuple[Declaration, ...]:
    """All declarations: a person's `own` (TOML text) before the ones held, generic ones last."""
    return (*(_read(own, where) if own else ()), *_held())


def declaration_for(identity: str, known: tuple[Declaration, ...]) -> Declaration:
    """The first declaration that fits; BadInput where none does."""
    for one in known:
        if one.fits(identity):
            return one
    raise BadInput(
        "no declaration fits the supply that calls itself {identity!r}; add one with the commands "
        "of its manual",
        identity=identity,
    )


@cache
def _held() -> tuple[Declaration, ...]:
    text = resources.files("tankside.hardware").joinpath("data/supplies.toml").read_text("utf-8")
    return _read(text, "supplies.toml")


def _read(text: str, where: str) -> tuple[Declaration, ...]:
    try:
        rows = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput("this is not TOML: {error}", error=error, where=where) from error
    return tuple(_declaration(name, row, f"{where}, [{name}]") for name, row in rows.items())


def _declaration(name: str, row: Mapping[str, Any], where: str) -> Declaration:
    try:
        re.compile(row["identity"])
        values = dict(row) | {
            "current": Level(**row["current"]),
            "voltage": Level(**row["voltage"]),
            "start": tuple(row.get("start", ())),
        }
        return Declaration(name=name, **values)
    except KeyError as error:
        raise BadInput("{args} is missing", args=error.args[0], where=where) from error
    except TypeError as error:
        unknown = str(error).rpartition("() ")[2]
        raise BadInput(
            "a key is missing or not known: {unknown}", unknown=unknown, where=where
        ) from error
    except (BadInput, re.error) as error:
        raise BadInput(str(error), where=where) from error
