"""What was put into a weak-acid bath, and what that comes to in moles and kilograms.

Citrate and acetate baths hold copper as sulfate, as acetate, or dissolved from metal with acid and
peroxide (the peroxide is spent: water is all it leaves). Amounts are per volume of finished bath.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from math import isfinite

from tankside.base.errors import BadInput
from tankside.base.tables import table
from tankside.bath import water
from tankside.substances import molar_mass


@dataclass(frozen=True, slots=True, kw_only=True)
class WeakAcidRecipe:
    """Mass concentrations [kg m⁻³], which are the same numbers as g/L.

    copper_sulfate_pentahydrate   as weighed
    copper_acetate_monohydrate    as weighed
    dissolved_copper              metal taken up by acid with peroxide
    acetic_acid                   pure, with what the dissolved copper has since bound
    citric_acid                   anhydrous, with what the copper has bound
    sodium_citrate_dihydrate      trisodium salt as weighed
    sodium_sulfate                anhydrous
    sodium_hydroxide              to raise the pH
    sulfuric_acid                 pure; a little only, see ionic_conductivity.py
    chloride                      Cl⁻, with sodium
    """

    copper_sulfate_pentahydrate: float = 0.0
    copper_acetate_monohydrate: float = 0.0
    dissolved_copper: float = 0.0
    acetic_acid: float = 0.0
    citric_acid: float = 0.0
    sodium_citrate_dihydrate: float = 0.0
    sodium_sulfate: float = 0.0
    sodium_hydroxide: float = 0.0
    sulfuric_acid: float = 0.0
    chloride: float = 0.0

    def __post_init__(self) -> None:
        for one in fields(self):
            value = getattr(self, one.name)
            if not (isfinite(value) and value >= 0.0):
                raise BadInput(
                    "{name} cannot be {value} g/L in a bath; give a number from zero upwards",
                    name=one.name.replace("_", " "),
                    value=value,
                    where=one.name,
                )

    @property
    def moles(self) -> dict[str, float]:
        """Copper, sulfate, acetate, citrate, sodium and chloride [mol m⁻³]."""
        totals = dict.fromkeys(
            ("copper", "sulfate", "acetate", "citrate", "sodium", "chloride"), 0.0
        )
        for name, (formula, counts) in INGREDIENTS.items():
            amount = getattr(self, name) / molar_mass(formula)
            for component, count in counts.items():
                totals[component] += count * amount
        return totals

    @property
    def copper_molarity(self) -> float:
        """All copper, free and bound [mol m⁻³]."""
        return self.moles["copper"]


INGREDIENTS: dict[str, tuple[str, Mapping[str, int]]] = {
    "copper_sulfate_pentahydrate": ("CuSO4·5H2O", {"copper": 1, "sulfate": 1}),
    "copper_acetate_monohydrate": ("Cu(C2H3O2)2·H2O", {"copper": 1, "acetate": 2}),
    "dissolved_copper": ("Cu", {"copper": 1}),
    "acetic_acid": ("C2H4O2", {"acetate": 1}),
    "citric_acid": ("C6H8O7", {"citrate": 1}),
    "sodium_citrate_dihydrate": ("Na3C6H5O7·2H2O", {"citrate": 1, "sodium": 3}),
    "sodium_sulfate": ("Na2SO4", {"sulfate": 1, "sodium": 2}),
    "sodium_hydroxide": ("NaOH", {"sodium": 1}),
    "sulfuric_acid": ("H2SO4", {"sulfate": 1}),
    "chloride": ("Cl", {"chloride": 1, "sodium": 1}),
}
"""Formula as weighed, and the components it becomes; hydrogen is what balances the charge."""

DRY_FORMULA = {
    "copper": "Cu",
    "sulfate": "SO4",
    "acetate": "C2H4O2",
    "citrate": "C6H8O7",
    "sodium": "Na",
    "chloride": "Cl",
}
"""What a mole of each component weighs in the bath; a hydrogen more or less is let pass."""


def density(recipe: WeakAcidRecipe, temperature: float) -> float:
    """Density [kg m⁻³]: water less the room that the components take, plus what they weigh."""
    return water.density(temperature) * (1.0 - room_taken(recipe.moles)) + dry_mass(recipe)


def room_taken(moles: Mapping[str, float]) -> float:
    """Volume [m³] that these moles of components add to their water."""
    return sum(amount * _volumes()[name][0] for name, amount in moles.items())


def dry_mass(recipe: WeakAcidRecipe) -> float:
    """All that is not water [kg m⁻³]."""
    return sum(amount * molar_mass(DRY_FORMULA[name]) for name, amount in recipe.moles.items())


def water_held(recipe: WeakAcidRecipe, temperature: float) -> float:
    """Water in the bath, crystal water included [kg m⁻³]; BadInput where there is no room."""
    held = density(recipe, temperature) - dry_mass(recipe)
    if held < 600.0:
        raise BadInput(
            "a litre of this bath would hold only {held:.0f} g of water; check the amounts",
            held=held,
        )
    return held


def molalities(recipe: WeakAcidRecipe, temperature: float) -> dict[str, float]:
    """Each component by mass of water [mol kg⁻¹]."""
    held = water_held(recipe, temperature)
    return {name: amount / held for name, amount in recipe.moles.items()}


def thickening(recipe: WeakAcidRecipe, temperature: float) -> float:
    """ln of the bath's viscosity over water's [-]."""
    held = molalities(recipe, temperature)
    return sum(molality * _volumes()[name][1] for name, molality in held.items())


@cache
def _volumes() -> dict[str, tuple[float, float]]:
    """Molar volume [m³ mol⁻¹] and viscosity slope [kg mol⁻¹] of each component."""
    return {
        row["component"]: (
            float(row["molar_volume_cm3_mol"]) * 1e-6,
            float(row["viscosity_slope_kg_mol"]),
        )
        for row in table("tankside.bath", "weak_acid_liquid.csv")
    }
