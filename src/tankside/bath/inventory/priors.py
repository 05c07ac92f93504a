"""What is believed of a shop before its ledger has taught better.

A belief is a row of data/inventory.toml with interval and provenance; evaporation's comes from the
formulas themselves. Each learned parameter is a standard normal number z inside the estimator:
best · exp(sd · z) for what cannot be negative ("log"), best + sd · z for the rest ("linear").
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from math import exp, log

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.provenance import Evidence, Sourced

NORMAL_90 = 1.6448536269514722
"""Standard deviations on each side that hold nine times in ten [-]."""

LEARNED = (
    "evaporation", "drag_out", "mismatch", "idle_dissolution", "additive_consumption",
    "carbon_left", "titre_copper", "titre_sulfuric_acid", "titre_chloride", "hydrometer",
    "conductivity_law",
)  # fmt: skip
"""The parameters that a ledger teaches, beside the strengths of its products."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Belief:
    """How one learned parameter follows from a standard normal number."""

    best: float
    spread: float
    logarithmic: bool

    def value(self, z: float) -> float:
        """The parameter at `z` standard deviations."""
        if self.logarithmic:
            return self.best * exp(self.spread * z)
        return self.best + self.spread * z

    def slope(self, z: float) -> float:
        """Its derivative by `z`."""
        return self.spread * (self.value(z) if self.logarithmic else 1.0)

    def interval(self, z: float, std: float) -> Interval:
        """Nine in ten of a normal number about `z`, as values of the parameter."""
        half = NORMAL_90 * std
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
            if _shape(name) == "log" and not value.low > 0.0:
                raise BadInput(f"{row.name} is above zero, not {value.low:g} {row.unit}")

    def interval(self, name: str) -> Interval:
        """The belief of this name as an interval."""
        return self.own.get(name, known_prior(name).value)

    def best(self, name: str) -> float:
        """Its best guess."""
        return self.interval(name).best

    def belief(self, name: str) -> Belief:
        """The belief of this name, as the estimator carries it."""
        return belief_of(self.interval(name), logarithmic=_shape(name) == "log")


def belief_of(interval: Interval, *, logarithmic: bool) -> Belief:
    """An interval that holds nine times in ten as a normal or log-normal belief."""
    if logarithmic:
        spread = log(interval.high / interval.low) / (2.0 * NORMAL_90)
    else:
        spread = (interval.high - interval.low) / (2.0 * NORMAL_90)
    return Belief(best=interval.best, spread=spread, logarithmic=logarithmic)


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


def _shape(name: str) -> str:
    return str(_rows()[name]["shape"])


@cache
def _rows() -> dict[str, dict[str, str]]:
    text = resources.files("tankside.bath.inventory").joinpath("data/inventory.toml")
    return tomllib.loads(text.read_text("utf-8"))
