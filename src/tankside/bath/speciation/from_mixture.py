"""From masses in a vessel to the recipe that the equilibrium understands.

Whatever a mixture was made of (oxide or carbonate in acid, metal with peroxide, salts), its ions
are the same sums; they are told as copper taken up by acid, with the acids and the soda that
balance it.
"""

from tankside.base.errors import BadInput
from tankside.bath.ions import ions_of
from tankside.bath.mixture import Mixture, reacted, volume
from tankside.bath.speciation.recipe import INGREDIENTS, WeakAcidRecipe
from tankside.substances import molar_mass

_TOLD_AS = {
    "copper ion": "dissolved_copper",
    "sulfate": "sulfuric_acid",
    "acetate": "acetic_acid",
    "citrate": "citric_acid",
    "sodium ion": "sodium_hydroxide",
    "chloride": "chloride",
}
"""Which ingredient carries each ion; hydrogen is what balances the charge, whoever brought it."""


def recipe_of(mixture: Mixture, temperature: float) -> WeakAcidRecipe:
    """The recipe [kg m⁻³] with the ions of a mixture at `temperature` [K], once it has reacted.

    Chloride counts as salt: where less sodium than chloride is there, hydrochloric acid was added,
    and as much acid is left out, a few millimoles a litre at a bath's chloride. BadInput where
    copper metal lies in it that no peroxide dissolves; OutsideValidity as of mixture.volume.
    """
    moles = ions_of(mixture.masses)
    if moles["electron"] > 1e-6 * moles["copper ion"]:
        raise BadInput(
            "copper metal does not dissolve in a weak acid by itself; add dilute peroxide for it, "
            "two parts of copper by mass to one of pure peroxide, or leave the metal out"
        )
    moles["sodium ion"] = max(moles["sodium ion"] - moles["chloride"], 0.0)
    room = volume(reacted(mixture), temperature)
    return WeakAcidRecipe(
        **{
            name: max(moles[ion], 0.0) * molar_mass(INGREDIENTS[name][0]) / room
            for ion, name in _TOLD_AS.items()
        }
    )
