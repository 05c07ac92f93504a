"""Glassware and scales, and how far each can be wrong.

A volume has two errors: that of the scale, the same at each use (a tolerance, taken as
rectangular), and that of reading, new each time. Tables: data/volumetric.csv, data/scales.csv.
"""

from dataclasses import dataclass
from functools import cache
from math import sqrt

from tankside.base.errors import BadInput, UnknownName
from tankside.base.messages import Quantity
from tankside.base.tables import table
from tankside.bath.analysis.propagation import Measured

_ROOM = "tankside.bath.analysis"
_M3_PER_ML = 1e-6
_KG_PER_G = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Volumetric:
    """A burette, pipette, syringe or flask.

    capacity        largest volume it measures at once [m³]
    tolerance       largest error of its scale [m³]
    reading_std     one standard deviation of reading it once [m³]
    """

    name: str
    kind: str
    words: str
    capacity: float
    tolerance: float
    reading_std: float
    source: str = ""

    @property
    def scale_std(self) -> float:
        """One standard deviation of its scale's error [m³]."""
        return self.tolerance / sqrt(3.0)

    def measured(self, volume: float | None = None) -> Measured:
        """A volume [m³] taken once with it, all of its capacity unless another is given."""
        taken = self.capacity if volume is None else volume
        if not 0.0 < taken <= self.capacity * (1.0 + 1e-9):
            raise BadInput(
                "a {words} measures up to {capacity} at once, not {taken}",
                words=self.words,
                capacity=Quantity(self.capacity, "mL", 6),
                taken=Quantity(taken, "mL", 6),
            )
        if self.kind in ("pipette", "flask") and abs(taken - self.capacity) > 1e-9 * taken:
            raise BadInput(
                "a {words} measures {capacity} and nothing else, not {taken}",
                words=self.words,
                capacity=Quantity(self.capacity, "mL", 6),
                taken=Quantity(taken, "mL", 6),
            )
        return Measured(value=taken, std=sqrt(self.scale_std**2 + self.reading_std**2))


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A balance: its last digit, its tolerance and its largest load, all in kg."""

    name: str
    words: str
    capacity: float
    resolution: float
    tolerance: float

    def weighed(self, mass: float) -> Measured:
        """A mass [kg] weighed on it, tare included."""
        if not 0.0 < mass <= self.capacity:
            raise BadInput(
                "a {words} weighs up to {capacity}, not {mass}",
                words=self.words,
                capacity=Quantity(self.capacity, "g", 6),
                mass=Quantity(mass, "g", 6),
            )
        digit = self.resolution / sqrt(12.0)
        return Measured(value=mass, std=sqrt(2.0 * digit**2 + self.tolerance**2 / 3.0))


def instrument(name: str) -> Volumetric:
    """The burette, pipette, syringe or flask of this name; UnknownName offers close ones."""
    known = instruments()
    if name not in known:
        raise UnknownName("instrument", name, known)
    return known[name]


def scale(name: str) -> Scale:
    """The scale of this name; UnknownName offers close ones."""
    known = scales()
    if name not in known:
        raise UnknownName("scale", name, known)
    return known[name]


@cache
def instruments() -> dict[str, Volumetric]:
    """Everything that measures volumes, by name."""
    return {
        row["name"]: Volumetric(
            name=row["name"],
            kind=row["kind"],
            words=row["words"],
            capacity=float(row["capacity_mL"]) * _M3_PER_ML,
            tolerance=float(row["tolerance_mL"]) * _M3_PER_ML,
            reading_std=float(row["reading_mL"]) * _M3_PER_ML,
            source=row["source"],
        )
        for row in table(_ROOM, "volumetric.csv")
    }


@cache
def scales() -> dict[str, Scale]:
    """Every scale, by name."""
    return {
        row["name"]: Scale(
            name=row["name"],
            words=row["words"],
            capacity=float(row["capacity_g"]) * _KG_PER_G,
            resolution=float(row["resolution_g"]) * _KG_PER_G,
            tolerance=float(row["tolerance_g"]) * _KG_PER_G,
        )
        for row in table(_ROOM, "scales.csv")
    }
