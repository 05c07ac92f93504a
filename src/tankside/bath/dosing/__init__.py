"""What to put into a bath, or take out of it, so that it is inside its window."""

from tankside.bath.dosing.additive import (
    AdditiveProposal,
    Panel,
    additive_dose,
    additive_proposal,
)
from tankside.bath.dosing.dosing import Advice, Option, advised
from tankside.bath.dosing.outcome import Action, Add, Withdraw
from tankside.bath.dosing.shelf import FINE_SCALE, JUG, SCALE, SYRINGE, Item, Measure

__all__ = [
    "FINE_SCALE",
    "JUG",
    "SCALE",
    "SYRINGE",
    "Action",
    "Add",
    "AdditiveProposal",
    "Advice",
    "Item",
    "Measure",
    "Option",
    "Panel",
    "Withdraw",
    "additive_dose",
    "additive_proposal",
    "advised",
]
