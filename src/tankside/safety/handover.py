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
from tankside.base.messages import Quantity, said, said_of
from tankside.base.provenance import source
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
    state = said("acid, as it was used")
    if neutralised:
        state = said("neutralised, with its copper as sludge")
    what = said_of(
        "{name}: {volume} of copper plating solution, {state}, in {count} closed container.",
        "{name}: {volume} of copper plating solution, {state}, in {count} closed containers.",
        count=containers,
        name=name,
        volume=_range(bath.volume, "L"),
        state=state,
    )
    copper = said(
        "It holds {mass} of copper, which is very toxic to water life.",
        mass=_range(bath.held_copper, "g"),
    )
    mass = _range(bath.held_acid, "g")
    if neutralised:
        acid = said("Before neutralising it held {mass} of sulfuric acid.", mass=mass)
    else:
        acid = said("It holds {mass} of sulfuric acid, and burns skin and eyes.", mass=mass)
    complexed = (
        (said("It holds citrate, ammonia or EDTA, which keep copper dissolved at any pH."),)
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


def _range(value: Interval, unit: str) -> str | Quantity:
    low, high = Quantity(value.low, unit, bare=True), Quantity(value.high, unit)
    if str(Quantity(value.low, unit)) == str(high):
        return high
    return said("{low} to {high}", low=low, high=high)


@cache
def _held() -> dict[str, Any]:
    text = resources.files("tankside.safety").joinpath("data/handover.toml").read_text("utf-8")
    return tomllib.loads(text)
