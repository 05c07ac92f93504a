"""What is known of each substance on the shelf, looked up by any of its usual names.

A record is a row of data/substances.csv; its molar mass is computed from its formula, never stored.
Hazard statements are those of the GHS for the mass fraction at which the substance is met. To add a
substance, add rows; nothing here changes.
"""

from dataclasses import dataclass
from functools import cache
from math import isfinite

from tankside.base.errors import BadInput, UnknownName
from tankside.base.tables import Provenance, provenance, table
from tankside.substances.molar_mass import molar_mass

_ROOM = "tankside.substances"


@dataclass(frozen=True, slots=True, kw_only=True)
class Substance:
    """One substance: its own name, formula, CAS number, further names, and where that stands."""

    name: str
    formula: str
    cas: str
    also: tuple[str, ...]
    provenance: Provenance

    @property
    def molar_mass(self) -> float:
        """[kg mol⁻¹], from the formula and the standard atomic weights."""
        return molar_mass(self.formula)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazards:
    """Signal word ("danger", "warning" or none) and GHS statements of a substance in water."""

    signal_word: str
    codes: tuple[str, ...]
    sentences: tuple[str, ...]


def substance(name: str, *, where: str = "") -> Substance:
    """The record that goes by this name, other name, formula or CAS number; UnknownName if none."""
    found = _by_any_name().get(_plain(name))
    if found is None:
        raise UnknownName("substance", name, [record.name for record in substances()], where=where)
    return found


def hazards(name: str, mass_fraction: float = 1.0) -> Hazards:
    """GHS signal word and statements of a substance at a mass fraction in water from 0 to 1.

    Where no row of data/hazards.csv reaches so low, or the substance has none, the answer is empty:
    no classification is held, which is not a promise that it is harmless.
    """
    if not (isfinite(mass_fraction) and 0.0 <= mass_fraction <= 1.0):
        raise BadInput(f"a mass fraction lies between 0 and 1, not {mass_fraction}")
    record = substance(name)
    held = [
        row
        for row in table(_ROOM, "hazards.csv")
        if row["substance"] == record.name and float(row["from_mass_fraction"]) <= mass_fraction
    ]
    if not held:
        return Hazards(signal_word="", codes=(), sentences=())
    strongest = max(held, key=lambda row: float(row["from_mass_fraction"]))
    codes = tuple(strongest["statements"].split(";"))
    return Hazards(
        signal_word=strongest["signal_word"],
        codes=codes,
        sentences=tuple(_statements()[code] for code in codes),
    )


@cache
def substances() -> tuple[Substance, ...]:
    """All records, in the order of the table."""
    return tuple(
        Substance(
            name=row["name"],
            formula=row["formula"],
            cas=row["cas"],
            also=tuple(name for name in row["also"].split(";") if name),
            provenance=provenance(row, where=f"substances.csv, {row['name']}"),
        )
        for row in table(_ROOM, "substances.csv")
    )


def _plain(name: str) -> str:
    words = name.strip().lower().replace("_", " ").replace("·", ".")
    return " ".join(words.split()).replace("sulphate", "sulfate").replace("sulphuric", "sulfuric")


@cache
def _by_any_name() -> dict[str, Substance]:
    return {
        _plain(name): record
        for record in substances()
        for name in (record.name, record.formula, record.cas, *record.also)
    }


@cache
def _statements() -> dict[str, str]:
    return {row["code"]: row["statement"] for row in table(_ROOM, "statements.csv")}
