"""The numbers from the world that retiring a bath needs, by name, with their provenance."""

import tomllib
from functools import cache
from importlib import resources

from tankside.base.errors import UnknownName
from tankside.base.intervals import Interval
from tankside.base.provenance import Evidence, Sourced


def held_number(name: str) -> Sourced:
    """The number of this name; UnknownName offers close ones."""
    known = held_numbers()
    if name not in known:
        raise UnknownName("number of retirement", name, known)
    return known[name]


@cache
def held_numbers() -> dict[str, Sourced]:
    """All numbers of data/retirement.toml, by name."""
    text = resources.files("tankside.bath").joinpath("data/retirement.toml").read_text("utf-8")
    return {
        name: Sourced(
            name=row["name"],
            value=Interval(float(row["low"]), float(row["best"]), float(row["high"])),
            unit=row["unit"],
            evidence=Evidence(row["evidence"]),
            source=row.get("source", ""),
            locator=row.get("locator", ""),
            valid=row.get("valid", ""),
            note=row.get("note", ""),
        )
        for name, row in tomllib.loads(text).items()
    }
