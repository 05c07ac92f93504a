"""The judgements that a make-up leans on, each with its interval and kind of evidence.

They stand in data/allowances.toml, one table each.
"""

import tomllib
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.errors import UnknownName
from tankside.base.intervals import Interval
from tankside.base.provenance import Evidence, Sourced

ROOM = "tankside.bath.makeup"


def allowance(name: str) -> Sourced:
    """The judgement of this name; UnknownName offers close ones."""
    held = allowances()
    if name not in held:
        raise UnknownName("allowance", name, held)
    return held[name]


@cache
def allowances() -> dict[str, Sourced]:
    """All of them, by name."""
    return {name: _sourced(row) for name, row in toml_rows("allowances.toml").items()}


@cache
def toml_rows(file: str) -> dict[str, Any]:
    """The tables of data/`file`."""
    text = resources.files(ROOM).joinpath("data", file).read_text("utf-8")
    return tomllib.loads(text)


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
