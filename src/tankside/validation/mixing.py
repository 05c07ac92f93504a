"""Mixtures by mass and by volume, and what a product brings, against libraries and handbooks."""

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.intervals import Interval
from tankside.bath.composition import Composition
from tankside.bath.makeup import (
    MakeUpRequest,
    Measures,
    Stocked,
    Tool,
    acid_sulfate_target,
    cylinder,
)
from tankside.bath.makeup.balance import balanced
from tankside.bath.mixture import Mixture, gas, mixed, portion, reacted, volume
from tankside.substances import substance
from tankside.substances.products import Content, Form, Product
from tankside.substances.strengths import solution_density
from tankside.validation.cases import quantity

_US_GALLON_M3 = 3.785411784e-3


@quantity("volume of a mixture of masses")
def mixed_volume(
    crystals_kg: float,
    acid_kg: float,
    acid_strength: float,
    salt_kg: float,
    water_kg: float,
    temperature_degC: float,
) -> float:
    """Of crystals, acid of a strength, salt and water [L]."""
    held = mixed(
        portion(_product(Form.SOLID, "copper sulfate pentahydrate", 1.0), crystals_kg),
        portion(_product(Form.LIQUID, "sulfuric acid", acid_strength), acid_kg),
        portion(_product(Form.SOLID, "sodium chloride", 1.0), salt_kg),
        Mixture(masses={"water": water_kg}),
    )
    return volume(held, temperature_degC + ZERO_CELSIUS_K) * 1e3


@quantity("acid by volume for a bath")
def acid_volume(strength: float, acid_g_L: float, litres: float) -> float:
    """Of an acid of a strength for so much in the bath, by its density at 20 °C [mL]."""
    mass = acid_g_L * litres * 1e-3 / strength
    return mass / solution_density("sulfuric acid", strength).best * 1e6


@quantity("chloride by reagent hydrochloric acid")
def chloride_by_acid(strength: float, density: float, acid_mL: float, gallons: float) -> float:
    """In so many US gallons [mg/L]."""
    product = _product(Form.LIQUID, "hydrochloric acid", strength)
    held = portion(product, acid_mL * 1e-6 * density)
    return held.of("chloride") / (gallons * _US_GALLON_M3) * 1e3


@quantity("amount of a product in a make-up")
def make_up_amount(
    of: str,
    litres: float,
    copper_sulfate_pentahydrate_g_L: float,
    sulfuric_acid_g_L: float,
    chloride_mg_L: float,
) -> float:
    """From pure crystals, 35 % acid, 31.45 % hydrochloric acid and pure water [kg]."""
    shelf = {
        "crystals": _product(Form.SOLID, "copper sulfate pentahydrate", 1.0, "crystals"),
        "acid": _product(Form.LIQUID, "sulfuric acid", 0.35, "acid"),
        "muriatic": _product(Form.LIQUID, "hydrochloric acid", 0.3145, "muriatic"),
        "water": _product(Form.LIQUID, "water", 1.0, "water"),
    }
    found = balanced(
        MakeUpRequest(
            volume=litres * 1e-3,
            target=acid_sulfate_target(
                Composition(
                    copper_sulfate_pentahydrate=copper_sulfate_pentahydrate_g_L,
                    sulfuric_acid=sulfuric_acid_g_L,
                    chloride=chloride_mg_L * 1e-3,
                )
            ),
            shelf=tuple(Stocked(product=one) for one in shelf.values()),
            tools=(Tool(name="scale", measures=Measures.MASS, resolution=1e-3, capacity=5.0),),
            vessel=cylinder("polypropylene", diameter=0.4, height=0.5),
        )
    )
    return 0.0 if found is None else found.masses.get(of, 0.0)


@quantity("crystals that oxide stands for")
def oxide_for_crystals(name: str) -> float:
    """Pentahydrate in the bath for each gram of oxide or carbonate in acid [g/g]."""
    held = Mixture(masses={name: 1.0, "sulfuric acid": 5.0, "water": 20.0})
    copper = reacted(held).of("copper sulfate") / substance("copper sulfate").molar_mass
    return copper * substance("copper sulfate pentahydrate").molar_mass


@quantity("acid that oxide takes up")
def acid_for_oxide(name: str) -> float:
    """Sulfuric acid for each gram of oxide or carbonate [g/g]."""
    held = Mixture(masses={name: 1.0, "sulfuric acid": 5.0, "water": 20.0})
    return 5.0 - reacted(held).of("sulfuric acid")


@quantity("carbon dioxide from carbonate")
def carbon_dioxide(name: str) -> float:
    """For each gram of carbonate [g/g]."""
    return gas(Mixture(masses={name: 1.0}))


def _product(form: Form, name: str, strength: float, called: str = "product") -> Product:
    return Product(
        name=called,
        form=form,
        contents=(Content(substance=name, mass_fraction=Interval.exact(strength)),),
    )
