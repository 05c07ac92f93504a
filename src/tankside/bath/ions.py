"""What a substance becomes in a bath, counted in moles of ions, water and gas.

Copper oxide in acid is copper, water and two hydrogen ions less; so counted, mixing and reacting
are sums, and their order cannot matter. The counts are rows of data/dissolving.csv, exact by
stoichiometry. `hydrogen ion` is what a titration with base finds: it counts the hydrogen of weak
acids too. Carbon dioxide leaves as gas. `electron` counts what a metal gives and peroxide takes.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from tankside.base.errors import UnknownName
from tankside.base.tables import table
from tankside.substances import molar_mass, substance

_ROOM = "tankside.bath"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ion:
    """One thing that is counted.

    molar_mass     [kg mol⁻¹]
    charge         in elementary charges
    molar_volume   what a mole adds to water at infinite dilution and 25 °C [m³ mol⁻¹]
    """

    name: str
    molar_mass: float
    charge: int
    molar_volume: float


@cache
def ions() -> dict[str, Ion]:
    """All that is counted, by name."""
    return {
        row["name"]: Ion(
            name=row["name"],
            molar_mass=molar_mass(row["formula"]) if row["formula"] else 0.0,
            charge=int(row["charge"]),
            molar_volume=float(row["molar_volume_cm3_mol"]) * 1e-6,
        )
        for row in table(_ROOM, "ions.csv")
    }


@cache
def dissolving() -> dict[str, dict[str, float]]:
    """Moles of each ion that a mole of a substance becomes, by the substance's name."""
    return {
        row["substance"]: {
            ion: float(row[ion]) for ion in ions() if ion in row and float(row[ion]) != 0.0
        }
        for row in table(_ROOM, "dissolving.csv")
    }


def dissolves(name: str) -> bool:
    """True where the bath's chemistry knows what this substance becomes."""
    return name in dissolving() or name in ions()


@cache
def ions_per_kilogram(name: str) -> Mapping[str, float]:
    """Moles of each ion that a kilogram of a substance, or of an ion, becomes [mol kg⁻¹].

    UnknownName, with close names, where it is neither.
    """
    if name in ions():
        return MappingProxyType({name: 1.0 / ions()[name].molar_mass})
    if name not in dissolving():
        raise UnknownName("dissolved substance", name, [*dissolving(), *ions()])
    each = 1.0 / substance(name).molar_mass
    return MappingProxyType({ion: moles * each for ion, moles in dissolving()[name].items()})


def ions_of(masses: Mapping[str, float]) -> dict[str, float]:
    """Moles of each ion that these masses [kg, by name] become; unknown matter is left out."""
    total = dict.fromkeys(ions(), 0.0)
    for name, mass in masses.items():
        if dissolves(name):
            for ion, moles in ions_per_kilogram(name).items():
                total[ion] += mass * moles
    return total
