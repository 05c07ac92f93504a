"""The numbers from the world that the bath's laws need, each with its provenance.

They stand in data/parameters.toml, one table each; a law asks for one by name.
"""

import tomllib
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.errors import UnknownName
from tankside.base.intervals import Interval
from tankside.base.provenance import Evidence, Sourced


def parameter(name: str) -> Sourced:
    """The number of this name with its interval and provenance; UnknownName offers close ones."""
    held = parameters()
    if name not in held:
        raise UnknownName("parameter", name, held)
    return held[name]


def keys(*names: str) -> tuple[str, ...]:
    """The source keys behind these parameters, those without one left out."""
    return tuple(dict.fromkeys(key for name in names if (key := parameter(name).source)))


@cache
def parameters() -> dict[str, Sourced]:
    """All parameters by name."""
    text = resources.files("tankside.bath").joinpath("data/parameters.toml").read_text("utf-8")
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
