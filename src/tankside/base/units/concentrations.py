"""What is dissolved in a bath, as people write it: g/L, mg/L, ppm, oz/gal, mol/L.

In a bath, ppm is read as milligrams per litre: that is how chloride windows of copper baths are
printed, and in a bath of 1.15 g/mL it differs from milligrams per kilogram by as much. A percent is
refused, because it is written for grams per 100 g and for grams per 100 mL alike.
"""

import re

from tankside.base.errors import BadInput
from tankside.base.units.kinds import Kind
from tankside.base.units.reading import quantity

PPM_CONVENTION = "ppm of the bath is read as mg/L"
"""Said wherever a person's ppm was taken."""

_PPM = re.compile(r"\bppm\b\.?\s*$", re.IGNORECASE)
_PERCENT = re.compile(r"(?:%|\bpercent\b)", re.IGNORECASE)
_AMOUNT = re.compile(r"(?:\b[mµμu]?mol\b|\bm?M\s*$)")


def bath_concentration(text: object, *, where: str, molar_mass: float | None = None) -> float:
    """Kilograms of a substance per cubic metre of bath [kg m⁻³].

    Takes what `quantity` takes for mass concentrations, "ppm" as mg/L, and amounts ("0.8 mol/L",
    "0.8 M") where the substance's `molar_mass` [kg mol⁻¹] is given. BadInput otherwise.
    """
    if not isinstance(text, str):
        return quantity(text, Kind.MASS_CONCENTRATION, where=where)
    if _PPM.search(text):
        return quantity(_PPM.sub("mg/L", text), Kind.MASS_CONCENTRATION, where=where)
    if _PERCENT.search(text):
        raise BadInput(
            "{text!r} may mean grams per 100 g or grams per 100 mL of bath; write for example "
            "'{example}'",
            text=text,
            example=Kind.MASS_CONCENTRATION.example,
            where=where,
        )
    if _AMOUNT.search(text):
        if molar_mass is None:
            raise BadInput(
                "{text!r} counts moles, and it is not said of which substance; write for example "
                "'{example}'",
                text=text,
                example=Kind.MASS_CONCENTRATION.example,
                where=where,
            )
        return molar_mass * quantity(text, Kind.AMOUNT_CONCENTRATION, where=where)
    return quantity(text, Kind.MASS_CONCENTRATION, where=where)
