"""What is believed of a shop before its ledger has taught better.

A belief is a row of data/inventory.toml with interval and provenance; evaporation's comes from the
formulas themselves. Each learned parameter is a standard normal number z inside the estimator:
best · exp(sd · z) for what cannot be negative ("log"), (√best + sd · z)² for what may be nothing
("root"), best + sd · z for the rest ("linear").
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from importlib import resources
from math import exp, log, sqrt

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.base.provenance import Evidence, Sourced

LEARNED = (
    "evaporation", "unlogged_evaporation", "drag_out", "mismatch", "idle_dissolution",
    "additive_consumption", "carbon_left", "titre_copper", "titre_sulfuric_acid", "titre_chloride",
    "hydrometer", "conductivity_law",
)  # fmt: skip
"""The parameters that a ledger teaches, beside the strengths of its products."""


class Shape(StrEnum):
    """How a belief is spread: normal itself, or its logarithm or its root is."""

    LINEAR = "linear"
    LOG = "log"
    ROOT = "root"


@dataclass(frozen=True, slots=True, kw_only=True)
class Belief:
    """How one learned parameter follows from a standard normal number."""

    best: float
    spread: float
    shape: Shape

    def value(self, z: float) -> float:
        """The parameter at `z` standard deviations."""
        if self.shape is Shape.LOG:
            return self.best * exp(self.spread * z)
        if self.shape is Shape.ROOT:
            return max(sqrt(self.best) + self.spread * z, 0.0) ** 2
        return self.best + self.spread * z

    def slope(self, z: float) -> float:
        """Its derivative by `z`."""
        if self.shape is Shape.LOG:
            return self.spread * self.value(z)
        if self.shape is Shape.ROOT:
            return 2.0 * self.spread * sqrt(self.value(z))
        return self.spread

    def interval(self, z: float, std: float) -> Interval:
        """Nine in ten of a normal number about `z`, as values of the parameter."""
        half = NINE_IN_TEN * std
        return Interval(self.value(z - half), self.value(z), self.value(z + half))


@dataclass(frozen=True, slots=True, kw_only=True)
class Priors:
    """A bath's place and what is believed of its shop.

    temperature   that volumes and concentrations are meant at [K]
    own           intervals (nine in ten) that replace rows of data/inventory.toml, by name
    """

    temperature: float = 298.15
    own: Mapping[str, Interval] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for name, value in self.own.items():
            row = known_prior(name)
            if _rows()[name]["shape"] == Shape.LOG and not value.low > 0.0:
                raise BadInput(
                    "{name} is above zero, not {low:g} {unit}",
                    name=row.name,
                    low=value.low,
                    unit=row.unit,
                )

    def interval(self, name: str) -> Interval:
        """The belief of this name as an interval."""
        return self.own.get(name, known_prior(name).value)

    def best(self, name: str) -> float:
        """Its best guess."""
        return self.interval(name).best

    def belief(self, name: str) -> Belief:
        """The belief of this name, as the estimator carries it."""
        return belief_of(self.interval(name), Shape(_rows()[name]["shape"]))


def belief_of(interval: Interval, shape: Shape) -> Belief:
    """An interval that holds nine times in ten as a belief of this shape."""
    if shape is Shape.LOG:
        width = log(interval.high / interval.low)
    elif shape is Shape.ROOT:
        width = sqrt(interval.high) - sqrt(interval.low)
    else:
        width = interval.high - interval.low
    return Belief(best=interval.best, spread=width / (2.0 * NINE_IN_TEN), shape=shape)


def known_prior(name: str) -> Sourced:
    """The row of this name with its provenance; UnknownName offers close ones."""
    held = known_priors()
    if name not in held:
        raise UnknownName("belief about the shop", name, held)
    return held[name]


@cache
def known_priors() -> dict[str, Sourced]:
    """All rows of data/inventory.toml."""
    return {
        name: Sourced(
            name=row["name"],
            value=Interval(float(row["low"]), float(row["best"]), float(row["high"])),
            unit=row["unit"],
            evidence=Evidence(row["evidence"]),
            source=row.get("source", ""),
            locator=row.get("locator", ""),
            note=row.get("note", ""),
        )
        for name, row in _rows().items()
    }


@cache
def _rows() -> dict[str, dict[str, str]]:
    text = resources.files("tankside.bath.inventory").joinpath("data/inventory.toml")
    return tomllib.loads(text.read_text("utf-8"))
