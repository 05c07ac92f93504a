"""The kinds of copper bath as they are published and practised: windows of composition and work.

A window is what handbooks print or benches do, not a limit of nature: a bath outside one is planned
all the same, with one sentence that says by how much it lies outside and whose window that is.
Families are data (data/families.toml), or a person's own (own_families.py).
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import UnknownName
from tankside.base.provenance import Evidence, source
from tankside.bath.composition import Composition

KINDS = ("acid sulfate", "citrate", "acetate")
"""The models that compute a bath's properties."""

OWN = "your own window"
"""The locator of a window that the person gave."""

SHOWN = {
    "copper_sulfate_pentahydrate": ("copper sulfate pentahydrate", 1.0, "g/L"),
    "sulfuric_acid": ("sulfuric acid", 1.0, "g/L"),
    "copper": ("copper", 1.0, "g/L"),
    "acetic_acid": ("acetic acid", 1.0, "g/L"),
    "citric_acid": ("citric acid", 1.0, "g/L"),
    "sodium_citrate_dihydrate": ("sodium citrate dihydrate", 1.0, "g/L"),
    "chloride": ("chloride", 1e3, "mg/L"),
    "pH": ("the pH", 1.0, ""),
    "temperature": ("the temperature", 1.0, "°C"),
    "current_density": ("the current density", 1e-2, "A/dm²"),
}
"""Quantities that windows may be given for: words, factor to the unit shown, that unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """What is usual for one quantity: `low` to `high` in the data file's unit, and who says so."""

    quantity: str
    low: float
    high: float
    evidence: Evidence
    source: str
    locator: str

    def note(self, value: float, family_words: str) -> str:
        """One sentence where `value` lies outside, else nothing."""
        side = self.side(value)
        if side == "inside":
            return ""
        words = SHOWN[self.quantity][0]
        return (
            f"{words[0].upper()}{words[1:]} at {self.shown(value)} is {side} the "
            f"{self.shown(self.low, unit=False)} to {self.shown(self.high)} that is usual for the "
            f"{family_words} ({self.whose})."
        )

    def side(self, value: float) -> str:
        """Where `value` lies: "below", "inside" or "above"."""
        if self.low <= value <= self.high:
            return "inside"
        return "below" if value < self.low else "above"

    def shown(self, value: float, *, unit: bool = True) -> str:
        """A value of this quantity as text in the unit that benches use."""
        _, factor, name = SHOWN[self.quantity]
        return f"{value * factor:.3g} {name}".strip() if unit else f"{value * factor:.3g}"

    @property
    def whose(self) -> str:
        """Whose window this is, in words."""
        if not self.source:
            return self.locator or {Evidence.GUESS: "our guess"}.get(
                self.evidence, "common practice"
            )
        book = source(self.source).title.partition(":")[0]
        return f"{book}, {self.locator}" if self.locator else book


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """A kind of bath.

    name        such as "high-throw"
    words       what it is, for a sentence
    windows     by quantity
    additives   what the windows take for granted
    kind        which model computes it, one of KINDS
    agitation   words of agitation that suit it
    good_at, bad_at   in words
    hazard      the level of danger, in words; the statements stand with the substances
    """

    name: str
    words: str
    additives: str
    windows: dict[str, Window]
    kind: str = "acid sulfate"
    agitation: tuple[str, ...] = ()
    good_at: tuple[str, ...] = ()
    bad_at: tuple[str, ...] = ()
    hazard: str = ""

    def outside(self, composition: Composition, temperature: float) -> tuple[str, ...]:
        """One sentence for each quantity of a bath (`temperature` in K) outside its window."""
        values = {
            "copper_sulfate_pentahydrate": composition.copper_sulfate_pentahydrate,
            "sulfuric_acid": composition.sulfuric_acid,
            "chloride": composition.chloride,
            "temperature": temperature - ZERO_CELSIUS_K,
        }
        return self.outside_of(values)

    def outside_of(self, values: Mapping[str, float]) -> tuple[str, ...]:
        """One sentence for each of these values [windows' units] outside its window."""
        notes = (
            self.windows[name].note(value, self.words)
            for name, value in values.items()
            if name in self.windows
        )
        return tuple(note for note in notes if note)

    def outside_current(self, current_density: float) -> str:
        """One sentence where a mean cathode current density [A m⁻²] is outside, else nothing."""
        return self.windows["current_density"].note(current_density, self.words)


def family(name: str) -> Family:
    """The family of this name; UnknownName offers close ones."""
    known = families()
    if name not in known:
        raise UnknownName("bath family", name, known)
    return known[name]


def nearest_family(composition: Composition, temperature: float) -> Family:
    """The acid sulfate family that a bath (`temperature` in K) leaves in the fewest quantities,
    then by least. The first family of the file wins a draw."""

    def strangeness(one: Family) -> tuple[int, float]:
        return len(one.outside(composition, temperature)), _distance(one, composition)

    return min(families_of("acid sulfate"), key=strangeness)


def families_of(kind: str) -> tuple[Family, ...]:
    """The published families of a kind, in the file's order."""
    return tuple(one for one in families().values() if one.kind == kind)


def _distance(one: Family, composition: Composition) -> float:
    total = 0.0
    for name in ("copper_sulfate_pentahydrate", "sulfuric_acid"):
        window, value = one.windows[name], getattr(composition, name)
        total += max((window.low - value) / window.low, (value - window.high) / window.high, 0.0)
    return total


@cache
def families() -> dict[str, Family]:
    """All families of the data file, by name, in its order."""
    text = resources.files("tankside.bath").joinpath("data/families.toml").read_text("utf-8")
    return {name: _family(name, row) for name, row in tomllib.loads(text).items()}


def _family(name: str, row: dict[str, Any]) -> Family:
    windows = {
        quantity: _window(quantity, row, window) for quantity, window in row["windows"].items()
    }
    return Family(
        name=name,
        words=row["words"],
        additives=row["additives"],
        windows=windows,
        kind=row["kind"],
        agitation=tuple(row["agitation"]),
        good_at=tuple(row["good_at"]),
        bad_at=tuple(row["bad_at"]),
        hazard=row["hazard"],
    )


def _window(quantity: str, row: dict[str, Any], window: dict[str, Any]) -> Window:
    evidence = Evidence(window.get("evidence", row["evidence"]))
    sourceless = evidence in (Evidence.PRACTICE, Evidence.GUESS)
    return Window(
        quantity=quantity,
        low=float(window["low"]),
        high=float(window["high"]),
        evidence=evidence,
        source="" if sourceless else row["source"],
        locator="" if sourceless else window.get("locator", row["locator"]),
    )
