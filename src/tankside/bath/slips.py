"""Guards against the thousandfold slip: milligrams written as grams, or the other way round."""

from tankside.base.errors import BadInput
from tankside.bath.composition import Composition

MOST_CHLORIDE_KG_PER_M3 = 1.0
"""Published acid copper windows end at 0.12 g/L of chloride (Metal Finishing Guidebook, acid copper
tables); above about 1 g/L copper(I) chloride clogs the anodes (common practice, no source)."""

LEAST_SOLUTE_KG_PER_M3 = 0.5
"""A bath with less salt or acid than this was meant in grams, not milligrams: our guess."""


def refuse_thousandfold(composition: Composition) -> None:
    """BadInput where a concentration looks a thousand times too large or too small."""
    chloride = composition.chloride
    if chloride > MOST_CHLORIDE_KG_PER_M3:
        raise BadInput(
            f"{chloride:.3g} g/L of chloride is far above the 0.12 g/L of any published bath; "
            f"did you mean {chloride:.3g} mg/L?",
            where="[bath] chloride",
        )
    for name in ("copper_sulfate_pentahydrate", "sulfuric_acid"):
        value = getattr(composition, name)
        if 0.0 < value < LEAST_SOLUTE_KG_PER_M3:
            raise BadInput(
                f"{1e3 * value:.3g} mg/L is too little for a bath; did you mean "
                f"{1e3 * value:.3g} g/L?",
                where=f"[bath] {name}",
            )
