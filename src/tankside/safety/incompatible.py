"""What must not meet: pairs of substances, what comes of them, and which are refused."""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.errors import BadInput, SafetyRefusal
from tankside.substances import substance

STRONG_ENOUGH = 0.15
"""Mass fraction of sulfuric acid from which water must never be poured into it [-]: our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Two substances that react badly: what comes of it, the safe way, whether it is refused."""

    first: str
    second: str
    result: str
    way_out: str
    refuse: bool
    source: str

    @property
    def sentence(self) -> str:
        """The clash as a caution."""
        return f"{self.first} and {self.second} make {self.result}: {self.way_out}."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pair:
    first: frozenset[str]
    second: frozenset[str]
    result: str
    way_out: str
    refuse: bool
    source: str


def clashes(names: Iterable[str]) -> tuple[Clash, ...]:
    """Every pair among these substances, by any of their names, that must not meet."""
    held = list(dict.fromkeys(_own_name(name) for name in names))
    found = []
    for place, one in enumerate(held):
        for other in held[place + 1 :]:
            found.extend(_clash(one, other))
    return tuple(found)


def refuse_clashes(names: Iterable[str], *, where: str = "") -> None:
    """SafetyRefusal for the first pair that must never meet."""
    for clash in clashes(names):
        if clash.refuse:
            raise SafetyRefusal(
                "{first} with {second} makes {result}; {way_out}",
                first=clash.first,
                second=clash.second,
                result=clash.result,
                way_out=clash.way_out,
                where=where,
            )


def refuse_water_into_acid(into: str, adding: str, acid_fraction: float) -> None:
    """SafetyRefusal where water, or what is mostly water, is poured into strong sulfuric acid.

    `acid_fraction` is that of the liquid poured into [-].
    """
    if not 0.0 <= acid_fraction <= 1.0:
        raise BadInput(
            "a mass fraction lies between 0 and 1, not {acid_fraction}", acid_fraction=acid_fraction
        )
    if substance(into).name == "sulfuric acid" and substance(adding).name == "water":
        if acid_fraction >= STRONG_ENOUGH:
            raise SafetyRefusal(
                "water poured into sulfuric acid of {acid_fraction:.0f} % boils on its top and "
                "throws acid out; measure the water first and pour the acid into it, slowly",
                acid_fraction=100 * acid_fraction,
            )


def _clash(one: str, other: str) -> list[Clash]:
    found = []
    for pair in _pairs():
        for first, second in ((one, other), (other, one)):
            if first in pair.first and second in pair.second:
                found.append(
                    Clash(
                        first=first,
                        second=second,
                        result=pair.result,
                        way_out=pair.way_out,
                        refuse=pair.refuse,
                        source=pair.source,
                    )
                )
                break
    return found


def _own_name(name: str) -> str:
    """The name of a substance of the shelf, or of one that only this table knows."""
    plain = " ".join(name.lower().split())
    for own, others in _held()["names"].items():
        if plain in (own, *others):
            return str(own)
    return substance(name).name


@cache
def _held() -> dict[str, Any]:
    text = resources.files("tankside.safety").joinpath("data/incompatible.toml").read_text("utf-8")
    return tomllib.loads(text)


@cache
def _pairs() -> tuple[_Pair, ...]:
    held = _held()
    groups = {
        name: frozenset(_own_name(member) for member in members)
        for name, members in held["groups"].items()
    }
    return tuple(
        _Pair(
            first=groups[row["first"]],
            second=groups[row["second"]],
            result=row["result"],
            way_out=row["way_out"],
            refuse=row["refuse"],
            source=row["source"],
        )
        for row in held["pair"]
    )
