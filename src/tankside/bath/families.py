"""The acid sulfate baths as the trade publishes them: windows of composition and of work.

A window is what handbooks print, not a limit of nature: a bath outside one is planned all the same,
with one sentence that says by how much it lies outside and whose window that is. Windows are data
(data/families.toml); a new bath of this kind is a new table there.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import UnknownName
from tankside.base.provenance import Evidence, source
from tankside.bath.composition import Composition

_SHOWN = {
    "copper_sulfate_pentahydrate": ("copper sulfate pentahydrate", 1.0, "g/L"),
    "sulfuric_acid": ("sulfuric acid", 1.0, "g/L"),
    "chloride": ("chloride", 1e3, "mg/L"),
    "temperature": ("the temperature", 1.0, "°C"),
    "current_density": ("the current density", 1e-2, "A/dm²"),
}


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
        if self.low <= value <= self.high:
            return ""
        words, factor, unit = _SHOWN[self.quantity]
        side = "below" if value < self.low else "above"
        book = source(self.source).title.partition(":")[0] if self.source else "common practice"
        where = f"{book}, {self.locator}" if self.locator else book
        return (
            f"{words[0].upper()}{words[1:]} at {value * factor:.3g} {unit} is {side} the "
            f"{self.low * factor:.3g} to {self.high * factor:.3g} {unit} that is usual for the "
            f"{family_words} ({where})."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """A published bath: its name, its words, its windows by quantity, what it takes for granted."""

    name: str
    words: str
    additives: str
    windows: dict[str, Window]

    def outside(self, composition: Composition, temperature: float) -> tuple[str, ...]:
        """One sentence for each quantity of a bath (`temperature` in K) outside its window."""
        values = {
            "copper_sulfate_pentahydrate": composition.copper_sulfate_pentahydrate,
            "sulfuric_acid": composition.sulfuric_acid,
            "chloride": composition.chloride,
            "temperature": temperature - ZERO_CELSIUS_K,
        }
        notes = (self.windows[name].note(value, self.words) for name, value in values.items())
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
    """The family that a bath (`temperature` in K) leaves in the fewest quantities, then by least.

    The first family of the file wins a draw.
    """

    def strangeness(one: Family) -> tuple[int, float]:
        return len(one.outside(composition, temperature)), _distance(one, composition)

    return min(families().values(), key=strangeness)


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
    return Family(name=name, words=row["words"], additives=row["additives"], windows=windows)


def _window(quantity: str, row: dict[str, Any], window: dict[str, Any]) -> Window:
    evidence = Evidence(window.get("evidence", row["evidence"]))
    practice = evidence is Evidence.PRACTICE
    return Window(
        quantity=quantity,
        low=float(window["low"]),
        high=float(window["high"]),
        evidence=evidence,
        source="" if practice else row["source"],
        locator="" if practice else window.get("locator", row["locator"]),
    )
