"""The numbers from the world that the analyses need, by name, each with its provenance."""

import tomllib
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.errors import UnknownName
from tankside.base.intervals import Interval
from tankside.base.provenance import Evidence, Sourced


def number(name: str) -> Sourced:
    """The number of this name; UnknownName offers close ones."""
    held = numbers()
    if name not in held:
        raise UnknownName("number", name, held)
    return held[name]


def deviation(name: str) -> float:
    """One standard deviation of a number whose ends hold nine times in ten, in its unit."""
    value = number(name).value
    return value.deviation


@cache
def numbers() -> dict[str, Sourced]:
    """All numbers of data/parameters.toml, by name."""
    text = (
        resources.files("tankside.bath.analysis")
        .joinpath("data/parameters.toml")
        .read_text("utf-8")
    )
    return {name: _sourced(row) for name, row in tomllib.loads(text).items()}


def _sourced(row: dict[str, Any]) -> Sourced:
    return Sourced(
        name=row["name"],
        value=Interval(float(row["low"]), float(row["best"]), float(row["high"])),
        unit=row["unit"],
        evidence=Evidence(row["evidence"]),
        source=row.get("source", ""),
        locator=row.get("locator", ""),
        valid=row.get("valid", ""),
        note=row.get("note", ""),
    )
