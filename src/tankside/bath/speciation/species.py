"""The dissolved species of copper baths, as rows of data/species.csv, and how warmth moves them.

    log10 K(T) = log10 K(25 °C) - dH / (R ln 10) (1/T - 1/298.15 K)

with the enthalpy held constant; the table's notes say where none is known and zero stands.
"""

from dataclasses import dataclass
from functools import cache
from math import log

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.constants import GAS_CONSTANT_J_PER_MOL_K
from tankside.base.tables import table

COMPONENTS = ("hydrogen", "copper", "sulfate", "acetate", "citrate", "sodium", "chloride")
"""What is conserved; the species with the same name is the bare ion."""

BARE = {
    "hydrogen": "H+",
    "copper": "Cu+2",
    "sulfate": "SO4-2",
    "acetate": "Acetate-",
    "citrate": "Citrate-3",
    "sodium": "Na+",
    "chloride": "Cl-",
}
"""The free ion of each component."""

REFERENCE_K = 298.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Species:
    """One dissolved species.

    charge         in elementary charges
    counts         of each component it is made of
    log_k          log10 of its formation constant at 25 °C and zero ionic strength
    enthalpy       of formation from the components [J mol⁻¹]
    conductivity   limiting molar conductivity of the ion at 25 °C [S m² mol⁻¹], per mole of ion
    guessed        True where that conductivity is our guess from charge and size
    """

    name: str
    charge: int
    counts: dict[str, int]
    log_k: float
    enthalpy: float
    conductivity: float
    guessed: bool

    def log_constant(self, temperature: float) -> float:
        """ln of the formation constant at `temperature` [K] and zero ionic strength."""
        warming = 1.0 / temperature - 1.0 / REFERENCE_K
        return self.log_k * log(10.0) - self.enthalpy / GAS_CONSTANT_J_PER_MOL_K * warming

    def holds_only(self, components: frozenset[str]) -> bool:
        """True where the species is made of these components alone."""
        return all(component in components for component in self.counts)


@cache
def species() -> tuple[Species, ...]:
    """All species, in the table's order."""
    return tuple(_species(row) for row in table("tankside.bath", "species.csv"))


def among(components: frozenset[str]) -> tuple[Species, ...]:
    """The species that can form from these components."""
    return tuple(one for one in species() if one.holds_only(components))


def counts(held: tuple[Species, ...], components: tuple[str, ...]) -> Floats:
    """How many of each component each species holds (species, components)."""
    return np.array([[one.counts.get(name, 0) for name in components] for one in held], float)


def _species(row: dict[str, str]) -> Species:
    return Species(
        name=row["species"],
        charge=int(row["charge"]),
        counts={name: int(row[name]) for name in COMPONENTS if int(row[name])},
        log_k=float(row["log_k"]),
        enthalpy=float(row["enthalpy_kJ_mol"]) * 1e3,
        conductivity=float(row["conductivity_S_cm2_mol"]) * 1e-4,
        guessed=row["conductivity_evidence"] == "size",
    )
