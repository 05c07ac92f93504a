"""What stands on the shelf: products as they are sold, each a mixture of known substances.

A product is solid or liquid; its contents are substances of the records with the mass fraction that
its grade or its label promises, as an interval. What the contents leave of its mass is water, and
water of crystallisation belongs to the substance. Common grades, with where their strengths come
from, are rows of data/grades.csv; a person's own product is read in labels.py.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.tables import table
from tankside.substances.records import plain_name, substance
from tankside.substances.strengths import has_densities, solution_density, strongest

NOTHING = Interval.exact(0.0)
"""None of it, for certain."""


class Form(StrEnum):
    """How a product is measured out: solids are weighed, liquids are weighed or measured."""

    SOLID = "solid"
    LIQUID = "liquid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """One substance in a product.

    substance       its own name in the records
    mass_fraction   kilograms of it per kilogram of product [-]
    """

    substance: str
    mass_fraction: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """One bottle, bag or can.

    name       what the person calls it
    form       solid or liquid
    contents   its substances; the rest of its mass is water
    density    of a liquid at 20 °C [kg m⁻³]; None for solids, and where it is not known
    chloride   kilograms of chloride per kilogram, as impurity beyond the contents [-]
    package    mass of product in one package [kg], None where not given
    price      of one package, in `currency`
    notes      what a person must know of it: impurities, what it is mistaken for
    """

    name: str
    form: Form
    contents: tuple[Content, ...]
    density: Interval | None = None
    chloride: Interval = NOTHING
    package: float | None = None
    price: float | None = None
    currency: str = ""
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        least = sum(content.mass_fraction.low for content in self.contents)
        if least > 1.0 + 1e-9:
            raise BadInput(
                "the contents of {name!r} add up to at least {least:.4g} % of its mass",
                name=self.name,
                least=100 * least,
            )

    def mass_fraction(self, name: str) -> Interval:
        """Kilograms of a substance per kilogram of product [-]; nothing where it is not listed.

        Takes any of the substance's names; UnknownName where it is none, so that a slip of the pen
        is not read as "none of it".
        """
        wanted = substance(name).name
        for content in self.contents:
            if content.substance == wanted:
                return content.mass_fraction
        return NOTHING

    @property
    def cost_per_kg(self) -> float | None:
        """Price of a kilogram in `currency`, None where package or price is not given."""
        if self.package is None or self.price is None:
            return None
        return self.price / self.package


def grade(name: str, *, where: str = "") -> Product:
    """The common grade that goes by this name; UnknownName offers close ones."""
    found = _by_any_name().get(plain_name(name))
    if found is None:
        known = {name for row in _rows() for name in (row["name"], *_also(row))}
        raise UnknownName("product", name, known, where=where)
    return found


@cache
def grades() -> tuple[Product, ...]:
    """All common grades, in the order of data/grades.csv."""
    return tuple(_grade(row) for row in _rows())


def liquid_density(name: str, mass_fraction: Interval) -> Interval | None:
    """Density at 20 °C [kg m⁻³] of a solution whose strength is an interval; None without a table.

    The interval spans all strengths between the ends, and the table's own error; what lies beyond
    the table's strongest is taken to weigh as much as that.
    """
    if name == "water":
        return solution_density("sodium chloride", 0.0)
    if not has_densities(name) or mass_fraction.best > strongest(name):
        return None
    ends = mass_fraction.low, min(mass_fraction.high, strongest(name))
    steps = [ends[0] + (ends[1] - ends[0]) * step / 20 for step in range(21)]
    spans = [solution_density(name, fraction) for fraction in steps]
    return Interval(
        min(span.low for span in spans),
        solution_density(name, mass_fraction.best).best,
        max(span.high for span in spans),
    )


def known_notes(name: str) -> tuple[str, ...]:
    """What anyone must know of a substance on the shelf: impurities, then what it is taken for."""
    record = substance(name)
    confused = (f"Easily mistaken for {mix.taken_for}. {mix.consequence}" for mix in record.mix_ups)
    return (*record.impurities, *confused)


def _grade(row: dict[str, str]) -> Product:
    main = Content(substance=row["substance"], mass_fraction=_interval(row, "mass_fraction", 1.0))
    others = tuple(_content(text) for text in row["others"].split(";") if text)
    liquid = row["form"] == Form.LIQUID
    return Product(
        name=row["name"],
        form=Form(row["form"]),
        contents=(main, *others),
        density=liquid_density(main.substance, main.mass_fraction) if liquid else None,
        chloride=_interval(row, "chloride", 1e-6) if row["chloride_mg_kg"] else NOTHING,
        notes=tuple(note for note in (row["note"], *known_notes(main.substance)) if note),
    )


def _interval(row: dict[str, str], column: str, factor: float) -> Interval:
    unit = "_mg_kg" if column == "chloride" else ""
    low, best, high = (
        float(row[name]) * factor
        for name in (f"{column}_low{unit}", f"{column}{unit}", f"{column}_high{unit}")
    )
    return Interval(low, best, high)


def _content(text: str) -> Content:
    name, low, best, high = text.split(":")
    return Content(
        substance=substance(name).name,
        mass_fraction=Interval(float(low), float(best), float(high)),
    )


def _rows() -> tuple[dict[str, str], ...]:
    return table("tankside.substances", "grades.csv")


def _also(row: dict[str, str]) -> list[str]:
    return [name for name in row["also"].split(";") if name]


@cache
def _by_any_name() -> dict[str, Product]:
    return {
        plain_name(name): product
        for row, product in zip(_rows(), grades(), strict=True)
        for name in (row["name"], *_also(row))
    }
