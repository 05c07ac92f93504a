"""What a weak-acid bath's owner is told: windows left, pH, where the model ends, solids."""

from collections.abc import Iterator

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.messages import Quantity, said
from tankside.bath.families import families_of
from tankside.bath.speciation.equilibrium import TRUSTED_IONIC_STRENGTH, Speciation
from tankside.bath.speciation.recipe import WeakAcidRecipe
from tankside.bath.speciation.solids import solid_warnings
from tankside.bath.speciation.species import species
from tankside.substances import molar_mass

HYDROXYL_PH = 5.0
"""Above it copper takes citrate's hydroxyl, in complexes that are not held [-]: from memory of the
literature, between 4.5 and 6."""


def weak_acid_remarks(
    family: str, ingredients: WeakAcidRecipe, answer: Speciation, *, ph_error: float
) -> tuple[str, ...]:
    """Sentences on a solved bath; `ph_error` is the half-width of its pH [-]."""
    return (
        *_outside(family, ingredients, answer),
        *_sentences(family, answer, ph_error),
        *solid_warnings(answer, ingredients),
    )


def _sentences(family: str, answer: Speciation, ph_error: float) -> Iterator[str]:
    free = answer.molality["Cu+2"] / sum(
        one.counts.get("copper", 0) * answer.molality.get(one.name, 0.0) for one in species()
    )
    yield (
        said(
            "The bath's pH is computed as {ph}, give or take {ph_error}, and {free} % of "
            "its copper as free ions; the rest is bound, and is taken to let go fast "
            "enough to plate.",
            ph=f"{answer.pH:.2g}",
            ph_error=f"{ph_error:g}",
            free=Quantity(100 * free, digits=2),
        )
    )
    if answer.beyond_trust:
        yield (
            said(
                "Its ionic strength of {ionic_strength} mol/kg is beyond the "
                "{trusted_ionic_strength} mol/kg that the activity formula is trusted for; "
                "measure the pH and the conductivity.",
                ionic_strength=f"{answer.ionic_strength:.2g}",
                trusted_ionic_strength=f"{TRUSTED_IONIC_STRENGTH:g}",
            )
        )
    if family == "citrate" and answer.pH > HYDROXYL_PH:
        yield (
            said(
                "Above pH {hydroxyl_ph} copper binds citrate in complexes that are not held "
                "here; free copper is then less than computed.",
                hydroxyl_ph=f"{HYDROXYL_PH:g}",
            )
        )


def _outside(family: str, ingredients: WeakAcidRecipe, answer: Speciation) -> tuple[str, ...]:
    """Where the bath leaves the windows of the family's first published or practised bath."""
    values = {
        name: getattr(ingredients, name) for name in ("acetic_acid", "citric_acid", "chloride")
    }
    values["copper"] = ingredients.copper_molarity * molar_mass("Cu")
    values["copper_sulfate_pentahydrate"] = ingredients.copper_sulfate_pentahydrate
    values |= {"pH": answer.pH, "temperature": answer.temperature - ZERO_CELSIUS_K}
    return families_of(family)[0].outside_of(values)
