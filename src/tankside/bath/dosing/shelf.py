"""What can be put into a bath, and with what it is measured."""

from dataclasses import dataclass
from math import isfinite

from tankside.base.errors import BadInput
from tankside.base.messages import Quantity
from tankside.bath import water
from tankside.substances.products import Form, Product

_LABEL_TEMPERATURE_K = 293.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A scale or a vessel: what it can tell apart, and its least and largest useful portion.

    by_volume    True for a syringe or jug: amounts in m³; False for a scale: in kg
    """

    name: str
    resolution: float
    least: float
    largest: float
    by_volume: bool = False

    def __post_init__(self) -> None:
        if not (isfinite(self.largest) and 0.0 < self.resolution <= self.least <= self.largest):
            raise BadInput(
                "a measure tells apart less than its least portion, and that is less than its "
                "largest; {name!r} has {resolution:g}, {least:g}, {largest:g}",
                name=self.name,
                resolution=self.resolution,
                least=self.least,
                largest=self.largest,
            )


SCALE = Measure(name="kitchen scale", resolution=1e-3, least=5e-3, largest=5.0)
"""To a gram, from five grams to five kilograms."""

FINE_SCALE = Measure(name="pocket scale", resolution=1e-5, least=2e-4, largest=0.2)
"""To ten milligrams, up to 200 g."""

SYRINGE = Measure(name="10 mL syringe", resolution=2e-7, least=1e-6, largest=1e-5, by_volume=True)
"""To a fifth of a millilitre."""

JUG = Measure(name="measuring jug", resolution=1e-5, least=5e-5, largest=1e-3, by_volume=True)
"""To ten millilitres, up to a litre at a time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A product that is at hand.

    measure   with what it is measured; filled up to twenty times
    stock     how much there is [kg], None where it does not matter
    """

    product: Product
    measure: Measure
    stock: float | None = None

    def __post_init__(self) -> None:
        if self.measure.by_volume and self.product.form is Form.SOLID:
            raise BadInput(
                "{product!r} is solid and is weighed, not measured by volume",
                product=self.product.name,
            )
        if self.stock is not None and not self.stock >= 0.0:
            raise BadInput(
                "there cannot be {stock} of {product!r}",
                stock=Quantity(self.stock, "kg", 6),
                product=self.product.name,
            )

    @property
    def density(self) -> float:
        """Of a liquid [kg m⁻³], water's where it is not known."""
        if self.product.density is not None:
            return self.product.density.best
        return water.density(_LABEL_TEMPERATURE_K)

    @property
    def step(self) -> float:
        """The finest difference of a portion [kg]."""
        return self.measure.resolution * self._mass

    @property
    def least(self) -> float:
        """The least portion [kg]."""
        return self.measure.least * self._mass

    @property
    def largest(self) -> float:
        """What the measure holds at once [kg]."""
        return self.measure.largest * self._mass

    @property
    def _mass(self) -> float:
        return self.density if self.measure.by_volume else 1.0


WITHDRAWAL = JUG
"""With what bath is taken out."""
