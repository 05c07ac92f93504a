"""Which solids a weak-acid bath is oversaturated with.

Saturation index: log10 of the ion product over the constant; above zero the solid may fall, slowly
and often blue-green. Hydroxide and the basic sulfates are computed. Copper acetate and copper
citrate have no constant here: for the acetate its solubility in water is held (from memory), of the
citrate only that it is sparingly soluble and creeps out of pure citrate baths over days.
"""

from dataclasses import dataclass
from functools import cache
from math import log

from tankside.base.constants import GAS_CONSTANT_J_PER_MOL_K
from tankside.base.messages import Quantity, said
from tankside.base.tables import table
from tankside.bath.parameters import parameter
from tankside.bath.speciation.equilibrium import Speciation
from tankside.bath.speciation.recipe import WeakAcidRecipe
from tankside.bath.speciation.species import REFERENCE_K
from tankside.substances import molar_mass


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """A solid by its dissolution in acid: counts of each ion, log10 K, enthalpy [J mol⁻¹]."""

    name: str
    formula: str
    copper: int
    sulfate: int
    hydrogen: int
    log_k: float
    enthalpy: float

    def saturation_index(self, answer: Speciation) -> float:
        """log10 of ion product over constant [-]; minus infinity where an ion is missing."""
        if self.sulfate and "SO4-2" not in answer.molality:
            return float("-inf")
        product = self.copper * log(answer.activity("Cu+2"))
        product -= self.hydrogen * log(answer.activity("H+"))
        if self.sulfate:
            product += self.sulfate * log(answer.activity("SO4-2"))
        warming = 1.0 / answer.temperature - 1.0 / REFERENCE_K
        constant = self.log_k * log(10.0) - self.enthalpy / GAS_CONSTANT_J_PER_MOL_K * warming
        return (product - constant) / log(10.0)


def falling(answer: Speciation) -> tuple[Solid, ...]:
    """The solids whose index is above zero, the worst first."""
    indices = {solid: solid.saturation_index(answer) for solid in solids()}
    return tuple(sorted((s for s in indices if indices[s] > 0.0), key=lambda s: -indices[s]))


def solid_warnings(answer: Speciation, recipe: WeakAcidRecipe) -> tuple[str, ...]:
    """A sentence for each solid that may fall."""
    found = [
        said(
            "This bath is oversaturated with {solid_name} ({formula}), which may cloud it; "
            "more acid keeps copper dissolved.",
            solid_name=solid.name,
            formula=solid.formula,
        )
        for solid in falling(answer)[:1]
    ]
    acetate = min(recipe.moles["copper"], recipe.moles["acetate"] / 2.0)
    held = acetate * molar_mass("Cu(C2H3O2)2·H2O")
    limit = parameter("copper_acetate_solubility").value
    if held > limit.low:
        found.append(
            said(
                "As copper acetate the bath would hold {held}, near or above the {limit} that "
                "dissolve in cool water; green crystals may grow.",
                held=Quantity(held, "g/L", decimals=0),
                limit=Quantity(limit.best, "g/L", decimals=0),
            )
        )
    if recipe.moles["citrate"] > 0.0:
        found.append(
            said(
                "Copper citrate is sparingly soluble and may settle over days as a blue-green "
                "powder; how much was not found published."
            )
        )
    return tuple(found)


@cache
def solids() -> tuple[Solid, ...]:
    """All solids of data/solids.csv."""
    return tuple(
        Solid(
            name=row["solid"],
            formula=row["formula"],
            copper=int(row["copper"]),
            sulfate=int(row["sulfate"]),
            hydrogen=int(row["hydrogen"]),
            log_k=float(row["log_k"]),
            enthalpy=float(row["enthalpy_kJ_mol"]) * 1e3,
        )
        for row in table("tankside.bath", "solids.csv")
    )
