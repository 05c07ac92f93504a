"""What is known of each substance on the shelf, looked up by any of its usual names.

A record is a row of data/substances.csv; its molar mass is computed from its formula, never stored,
except for polymers, which are sold by it. What comes along with a substance stands in
data/impurities.csv, what it is mistaken for in data/mix_ups.csv. To add a substance, add rows;
nothing here changes.
"""

from dataclasses import dataclass
from functools import cache

from tankside.base.errors import MissingData, UnknownName
from tankside.base.tables import Provenance, provenance, table
from tankside.substances.molar_mass import molar_mass

_ROOM = "tankside.substances"


@dataclass(frozen=True, slots=True, kw_only=True)
class MixUp:
    """Another substance that this one is mistaken for, and what comes of it.

    taken_for     the name of the substance that was meant
    ratio         what the same grams bring, of what was meant [-]; None where it is another thing
    consequence   one sentence
    """

    taken_for: str
    ratio: float | None
    consequence: str
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Substance:
    """One substance.

    name           its own name
    formula        "" where it is no single compound
    cas            CAS registry number, "" where it has none
    also           further names
    form           how the pure substance is met at 20 °C: "solid", "liquid" or "gas"
    equivalents    per mole, as an acid, a base or a titrant [-]; None where it depends
    impurities     sentences on what comes along with it
    mix_ups        what it is mistaken for
    nominal_mass   of a polymer, the molar mass it is sold by [kg mol⁻¹]
    """

    name: str
    formula: str
    cas: str
    also: tuple[str, ...]
    form: str
    provenance: Provenance
    equivalents: int | None = None
    impurities: tuple[str, ...] = ()
    mix_ups: tuple[MixUp, ...] = ()
    nominal_mass: float | None = None

    @property
    def molar_mass(self) -> float:
        """[kg mol⁻¹], from the formula and the standard atomic weights; MissingData without one."""
        if self.nominal_mass is not None:
            return self.nominal_mass
        if not self.formula:
            raise MissingData("{name} is no single compound and has no molar mass", name=self.name)
        return molar_mass(self.formula)


def substance(name: str, *, where: str = "") -> Substance:
    """The record that goes by this name, other name, formula or CAS number; UnknownName if none."""
    found = _by_any_name().get(plain_name(name))
    if found is None:
        known = {name for record in substances() for name in (record.name, *record.also)}
        raise UnknownName("substance", name, known, where=where)
    return found


@cache
def substances() -> tuple[Substance, ...]:
    """All records, in the order of the table."""
    return tuple(_record(row) for row in table(_ROOM, "substances.csv"))


def _record(row: dict[str, str]) -> Substance:
    nominal = row["molar_mass_g_mol"]
    return Substance(
        name=row["name"],
        formula=row["formula"],
        cas=row["cas"],
        also=tuple(name for name in row["also"].split(";") if name),
        form=row["form"],
        provenance=provenance(row, where=f"substances.csv, {row['name']}"),
        equivalents=int(row["equivalents"]) if row["equivalents"] else None,
        impurities=tuple(note["sentence"] for note in _rows("impurities.csv", row["name"])),
        mix_ups=tuple(_mix_up(note) for note in _rows("mix_ups.csv", row["name"])),
        nominal_mass=float(nominal) * 1e-3 if nominal else None,
    )


def _mix_up(row: dict[str, str]) -> MixUp:
    return MixUp(
        taken_for=row["taken_for"],
        ratio=float(row["ratio"]) if row["ratio"] else None,
        consequence=row["consequence"],
        provenance=provenance(row, where="mix_ups.csv"),
    )


def _rows(file: str, name: str) -> list[dict[str, str]]:
    return [row for row in table(_ROOM, file) if row["substance"] == name]


def plain_name(name: str) -> str:
    """A name without the differences that people do not mean: case, spaces, British spelling."""
    words = name.strip().lower().replace("_", " ").replace("·", ".")
    return " ".join(words.split()).replace("sulphate", "sulfate").replace("sulphuric", "sulfuric")


@cache
def _by_any_name() -> dict[str, Substance]:
    """Polymers share one CAS number, which therefore names none of them."""
    return {
        plain_name(name): record
        for record in substances()
        for name in (
            record.name,
            record.formula,
            "" if record.nominal_mass else record.cas,
            *record.also,
        )
        if name
    }
