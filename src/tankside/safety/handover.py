"""Handing over a retired bath: what to tell the local authority or a licensed waste firm.

The numbers come from bath/retirement.py; these are the words around them. The tool computes and
does not license: who may treat, carry or take such waste is decided where you live.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.provenance import source
from tankside.base.units import rounded
from tankside.bath.retirement import Holding


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A published limit for copper in discharged water, as background only: mass concentration
    [kg m⁻³], what it binds, and the source's key."""

    words: str
    value: float
    source: str
    locator: str


def hand_over(bath: Holding, *, name: str, neutralised: bool, containers: int) -> tuple[str, ...]:
    """Sentences for whoever takes the waste: what it is, how much, and who decides."""
    if containers < 1:
        raise BadInput("waste stands in at least one container")
    state = "neutralised, with its copper as sludge" if neutralised else "acid, as it was used"
    can = "container" if containers == 1 else "containers"
    what = (
        f"{name}: {_range(bath.volume, 1e3)} L of copper plating solution, {state}, in "
        f"{containers} closed {can}."
    )
    copper = (
        f"It holds {_range(bath.held_copper, 1e3)} g of copper, which is very toxic to water life."
    )
    acid = (
        f"Before neutralising it held {_range(bath.held_acid, 1e3)} g of sulfuric acid."
        if neutralised
        else f"It holds {_range(bath.held_acid, 1e3)} g of sulfuric acid, and burns skin and eyes."
    )
    complexed = (
        ("It holds citrate, ammonia or EDTA, which keep copper dissolved at any pH.",)
        if bath.complexed
        else ()
    )
    return (what, copper, acid, *complexed, *standing())


@cache
def standing() -> tuple[str, ...]:
    """What is said at every hand-over."""
    return tuple(_held()["standing"])


@cache
def background_limits() -> tuple[Limit, ...]:
    """Published limits for copper, to be shown with `background_sentence` or not at all."""
    return tuple(
        Limit(
            words=row["words"],
            value=float(row["mg_L"]) * 1e-3,
            source=source(row["source"]).key,
            locator=row["locator"],
        )
        for row in _held()["limit"]
    )


def background_sentence() -> str:
    """The sentence that goes with every published limit."""
    return str(_held()["background"])


def _range(value: Interval, factor: float) -> str:
    low, high = (rounded(end * factor) for end in (value.low, value.high))
    return low if low == high else f"{low} to {high}"


@cache
def _held() -> dict[str, Any]:
    text = resources.files("tankside.safety").joinpath("data/handover.toml").read_text("utf-8")
    return tomllib.loads(text)
