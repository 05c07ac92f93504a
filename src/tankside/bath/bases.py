"""Bases that acid and copper are made harmless with, and the heat that each gives.

Equivalents and gas follow from the formulas in data/bases.toml, heats from enthalpies of formation
(data/formation_enthalpies.csv): of dissolving, of taking up protons, and for lime of the gypsum
that falls.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.errors import UnknownName
from tankside.base.intervals import Interval
from tankside.base.tables import table
from tankside.substances import molar_mass


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """A base: per mole its equivalents of hydroxide, per equivalent its carbon dioxide [mol].

    enthalpy_solid and enthalpy_dissolved are the heats per equivalent [J mol⁻¹] of taking up an
    acid's proton, from the solid and from its solution; negative where heat is given off.
    """

    name: str
    words: str
    formula: str
    equivalents: int
    carbon_dioxide: float
    calcium: bool
    enthalpy_solid: float
    enthalpy_dissolved: float
    caution: str

    def mass_for(self, equivalents: Interval) -> Interval:
        """Of the base [kg] for equivalents of acid [mol]."""
        return equivalents.scaled(molar_mass(self.formula) / self.equivalents)


def base(name: str) -> Base:
    """The base of this name; UnknownName offers close ones."""
    known = bases()
    if name not in known:
        raise UnknownName("base", name, known)
    return known[name]


@cache
def bases() -> dict[str, Base]:
    """All bases of data/bases.toml, by name."""
    text = resources.files("tankside.bath").joinpath("data/bases.toml").read_text("utf-8")
    return {name: _base(name, row) for name, row in tomllib.loads(text).items()}


def _base(name: str, row: dict[str, Any]) -> Base:
    formed = formation_enthalpies()
    gives: dict[str, float] = row["gives"]
    dissolving = sum(count * formed[species] for species, count in gives.items())
    if row["carbon_dioxide"]:
        protons = 2.0 - gives.get("H+", 0.0)
        reacting = formed["CO2(g)"] + formed["H2O(l)"] - formed["CO3--"]
    else:
        protons = float(row["equivalents"])
        reacting = protons * (formed["H2O(l)"] - formed["OH-"])
    if row["calcium"]:
        reacting += formed["CaSO4·2H2O(s)"] - formed["Ca++"] - formed["SO4--"]
        reacting -= 2.0 * formed["H2O(l)"]
    return Base(
        name=name,
        words=row["words"],
        formula=row["formula"],
        equivalents=row["equivalents"],
        carbon_dioxide=row["carbon_dioxide"],
        calcium=row["calcium"],
        enthalpy_solid=(dissolving + reacting) / protons,
        enthalpy_dissolved=reacting / protons,
        caution=row["caution"],
    )


@cache
def formation_enthalpies() -> dict[str, float]:
    """Enthalpies of formation [J mol⁻¹] by species."""
    rows = table("tankside.bath", "formation_enthalpies.csv")
    return {row["species"]: float(row["kJ_mol"]) * 1e3 for row in rows}
