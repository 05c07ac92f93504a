"""Where a number comes from, and how sure it is.

A `Sourced` is a number from the world with everything needed to judge it: interval, unit, the
conditions it holds for, the key of its source, the place in that source, and the kind of evidence.
A `Source` is one entry of `data/sources.toml`. A number that has no published source says so by its
kind; it never borrows a key.
"""

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources

from tankside.base.errors import MissingData
from tankside.base.intervals import Interval


class Evidence(StrEnum):
    """How a value came to be, from strongest to weakest."""

    EXACT = "exact"
    REVIEWED = "critically reviewed"
    MEASURED = "measured"
    DERIVED = "derived"
    ESTIMATED = "estimated"
    SUPPLIER = "supplier sheet"
    PRACTICE = "common practice, no source"
    MEMORY = "from memory"
    GUESS = "our guess"


NEEDS_NO_SOURCE = frozenset({Evidence.EXACT, Evidence.DERIVED, Evidence.PRACTICE, Evidence.GUESS})
"""Kinds of evidence for which an empty source key is honest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One published work: who, when, what it is called and where it stands."""

    key: str
    authors: str
    year: int
    title: str
    place: str
    doi: str = ""

    def cited(self) -> str:
        """The work in one line, as a sheet prints it."""
        doi = f", doi {self.doi}" if self.doi else ""
        return f"{self.authors} ({self.year}): {self.title}. {self.place}{doi}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sourced:
    """A number from the world.

    name       what it is, in the field's words
    value      best guess with the ends it is believed to lie between, in `unit`
    unit       SI unit as text, "1" for none
    evidence   how it came to be
    source     key in data/sources.toml, "" where none exists
    locator    page, table or equation in that source
    valid      the conditions it holds for, in words
    note       anything a reader must know before leaning on it
    """

    name: str
    value: Interval
    unit: str
    evidence: Evidence
    source: str = ""
    locator: str = ""
    valid: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if self.source:
            source(self.source)
        elif self.evidence not in NEEDS_NO_SOURCE:
            raise MissingData(
                "{name}: evidence '{evidence}' needs a source",
                name=self.name,
                evidence=self.evidence,
            )

    @property
    def best(self) -> float:
        """The best guess, in `unit`."""
        return self.value.best


def source(key: str) -> Source:
    """The published work with this key; MissingData where there is none."""
    works = sources()
    if key not in works:
        raise MissingData("no source {key!r} in base/data/sources.toml", key=key)
    return works[key]


@cache
def sources() -> dict[str, Source]:
    """All published works that the project leans on, by key."""
    text = resources.files("tankside.base").joinpath("data/sources.toml").read_text("utf-8")
    return {key: Source(key=key, **row) for key, row in tomllib.loads(text).items()}
