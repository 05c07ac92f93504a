"""The brightener of a bath: ampere-hours propose, the panel that was plated decides."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.estimate_form import Read
from tankside.app.bath.shelf_file import additive_of
from tankside.app.bath.tables import many_tables
from tankside.base.errors import BadInput
from tankside.bath.dosing.additive import (
    AdditiveProposal,
    Panel,
    additive_dose,
    additive_proposal,
)

PANELS = {"bright": Panel.BRIGHT, "dull": Panel.DULL, "overdosed": Panel.OVERDOSED}
"""What a test panel may be typed to look like."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AdditiveAdvice:
    """What is said of the additive: the proposal, and what the panel makes of it [kg], None where
    no panel was plated."""

    product: str
    proposal: AdditiveProposal
    dose: float | None
    density: float | None


def additive_advice(
    tables: Mapping[str, Any], read: Read, *, panel: str, where: str
) -> AdditiveAdvice | None:
    """The proposal for the first additive of a shelf's file, and by a panel ("" for none) its dose;
    None where the file has no additive."""
    held = many_tables(tables, "additive", where=where)
    if not held:
        if panel:
            raise BadInput("no [[additive]] stands in the shelf's file, with its usual dose",
                           where="--panel")  # fmt: skip
        return None
    one = additive_of(held[0])
    density = one.product.density.best if one.product.density else None
    usual = one.dose * (density if density is not None else 1.0)
    proposal = additive_proposal(read.estimate, read.held, usual=usual)
    dose = None
    if panel:
        if panel not in PANELS:
            raise BadInput(
                "a panel is {panels}, not {panel!r}",
                panels=", ".join(PANELS),
                panel=panel,
                where="--panel",
            )
        dose = additive_dose(proposal, PANELS[panel])
    return AdditiveAdvice(product=one.product.name, proposal=proposal, dose=dose, density=density)
