"""The prop workshop's shelf, tools and vessel, as the tests of the make-up use them."""

from typing import Any

from tankside.base.intervals import Interval
from tankside.bath.composition import Composition
from tankside.bath.makeup import (
    MakeUpRequest,
    Measures,
    OldBath,
    Stocked,
    Target,
    Tool,
    Wanted,
    acid_sulfate_target,
    cylinder,
)
from tankside.substances.products import Content, Form, Product

CONVENTIONAL = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0, chloride=0.06)
HIGH_THROW = Composition(copper_sulfate_pentahydrate=70.0, sulfuric_acid=200.0, chloride=0.07)


def product(
    name: str,
    form: Form,
    contents: dict[str, tuple[float, float, float]],
    *,
    density: tuple[float, float, float] | None = None,
    chloride: tuple[float, float, float] = (0.0, 0.0, 0.0),
    price: float | None = None,
    currency: str = "EUR",
) -> Product:
    """A product in packages of a kilogram."""
    return Product(
        name=name,
        form=form,
        contents=tuple(
            Content(substance=substance, mass_fraction=Interval(*fraction))
            for substance, fraction in contents.items()
        ),
        density=None if density is None else Interval(*density),
        chloride=Interval(*chloride),
        package=1.0,
        price=price,
        currency=currency if price is not None else "",
    )


SALT = product(
    "blue crystals",
    Form.SOLID,
    {"copper sulfate pentahydrate": (0.98, 0.99, 1.0)},
    chloride=(0.0, 5e-6, 2e-5),
    price=8.0,
)
BATTERY_ACID = product(
    "fresh battery acid",
    Form.LIQUID,
    {"sulfuric acid": (0.34, 0.35, 0.36)},
    density=(1252.0, 1260.9, 1270.0),
    price=3.0,
)
STRONG_ACID = product(
    "acid 96 %",
    Form.LIQUID,
    {"sulfuric acid": (0.95, 0.96, 0.97)},
    density=(1834.0, 1836.0, 1838.0),
    price=12.0,
)
MURIATIC = product(
    "muriatic acid",
    Form.LIQUID,
    {"hydrochloric acid": (0.30, 0.31, 0.32)},
    density=(1148.0, 1153.6, 1159.0),
    price=4.0,
)
PLAIN_SALT = product("plain salt", Form.SOLID, {"sodium chloride": (0.99, 0.995, 1.0)}, price=2.0)
OXIDE = product("black oxide", Form.SOLID, {"copper oxide": (0.97, 0.98, 0.99)}, price=25.0)
CARBONATE = product(
    "green carbonate", Form.SOLID, {"basic copper carbonate": (0.94, 0.96, 0.98)}, price=15.0
)
WATER = product(
    "distilled water",
    Form.LIQUID,
    {"water": (1.0, 1.0, 1.0)},
    density=(998.0, 998.2, 998.4),
    price=0.5,
)
TAP = product(
    "tap water",
    Form.LIQUID,
    {"water": (1.0, 1.0, 1.0)},
    density=(998.0, 998.2, 998.4),
    chloride=(2e-5, 4e-5, 8e-5),
)
HARD_TAP = product(
    "hard tap water",
    Form.LIQUID,
    {"water": (1.0, 1.0, 1.0)},
    density=(998.0, 998.2, 998.4),
    chloride=(2e-4, 2.5e-4, 3e-4),
)

KITCHEN_SCALE = Tool(name="kitchen scale", measures=Measures.MASS, resolution=1e-3, capacity=5.0)
FINE_SCALE = Tool(name="fine scale", measures=Measures.MASS, resolution=1e-5, capacity=0.2)
SYRINGE = Tool(name="syringe", measures=Measures.VOLUME, resolution=2e-7, capacity=1e-5)
JUG = Tool(name="jug", measures=Measures.VOLUME, resolution=2e-5, capacity=1e-3)
TOOLS = (KITCHEN_SCALE, FINE_SCALE, SYRINGE, JUG)
KITCHEN = (KITCHEN_SCALE, SYRINGE, JUG)

SHELF = (SALT, BATTERY_ACID, MURIATIC, WATER)
BUCKET = cylinder("polypropylene", diameter=0.28, height=0.30)


def exactly(quantity: str, value: float) -> Wanted:
    """One quantity at one value [kg m⁻³]."""
    return Wanted(quantity=quantity, value=Interval.exact(value))


def old_bath(salt: float, acid: float, chloride: float, litres: float = 8.0) -> OldBath:
    """A bath that is known to a few per cent."""
    return OldBath(
        volume=Interval.about(litres * 1e-3, 0.01),
        holds=(
            Wanted(quantity="copper sulfate pentahydrate", value=Interval.about(salt, 0.02)),
            Wanted(quantity="sulfuric acid", value=Interval.about(acid, 0.05)),
            Wanted(quantity="chloride", value=Interval.about(chloride, 0.15)),
        ),
    )


def request(
    *products: Product | Stocked,
    target: Target | None = None,
    litres: float = 10.0,
    **further: Any,
) -> MakeUpRequest:
    """A make-up of the conventional bath from these products, or from the plain shelf."""
    return MakeUpRequest(
        volume=litres * 1e-3,
        target=target or acid_sulfate_target(CONVENTIONAL),
        shelf=tuple(
            one if isinstance(one, Stocked) else Stocked(product=one) for one in (products or SHELF)
        ),
        **({"tools": TOOLS, "vessel": BUCKET} | further),
    )
