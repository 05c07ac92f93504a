"""What stands on the shelf: products as they are sold, each a mixture of known substances.

A product is solid or liquid; its contents are substances of the records with the mass fraction that
its grade or its label promises, as an interval. What the contents leave of its mass is water, and
water of crystallisation belongs to the substance. Common grades, with where their strengths come
from, are rows of data/grades.csv; a person's own product is read in labels.py.
"""

from dataclasses import dataclass
from enum import StrEnum

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval

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
                f"the contents of {self.name!r} add up to at least {100 * least:.4g} % of its mass"
            )

    def mass_fraction(self, substance: str) -> Interval:
        """Kilograms of a substance per kilogram of product [-]; nothing where it is not listed."""
        for content in self.contents:
            if content.substance == substance:
                return content.mass_fraction
        return NOTHING

    @property
    def cost_per_kg(self) -> float | None:
        """Price of a kilogram in `currency`, None where package or price is not given."""
        if self.package is None or self.price is None:
            return None
        return self.price / self.package
