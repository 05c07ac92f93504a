"""Brightener and its like: ampere-hours propose, a test panel decides, and never the clock.

Nobody at a bench measures an additive. The ledger knows how much went in and how much charge has
passed, and so can say how much may be missing, within a factor of two or three. Too much is worse
than too little: it cannot be taken out but with carbon. So a proposal is halved, and it becomes a
dose only with the panel that was plated before it.
"""

from dataclasses import dataclass
from enum import StrEnum

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.bath_estimate import BathEstimate

_PROPOSE_AT = 0.8
"""Share of the usual content below which a panel is worth its copper: our guess."""

_FIRST_SHARE = 0.5
"""Share of what is missing that is given before the next panel: our guess."""


class Panel(StrEnum):
    """What a test panel, plated in a sample of the bath, looks like."""

    BRIGHT = "bright where it should be"
    DULL = "dull at the low current end"
    OVERDOSED = "brittle, pitted or banded"


@dataclass(frozen=True, slots=True, kw_only=True)
class AdditiveProposal:
    """What the ampere-hours propose.

    held        additive in the bath, nine in ten [kg m⁻³]
    charge      passed since the last addition or carbon treatment [C]
    missing     product up to the usual content [kg]; zero where none is
    panel_due   True where a panel should be plated
    sentence    all of it in words
    """

    held: Interval
    charge: float
    missing: float
    panel_due: bool
    sentence: str


def additive_proposal(
    estimate: BathEstimate, ledger: ev.Ledger, *, usual: float
) -> AdditiveProposal:
    """What may be missing against the `usual` content [kg of product per m³] of the supplier."""
    if not usual > 0.0:
        raise BadInput(
            "the usual content of an additive is above zero, not {usual}",
            usual=Quantity(usual, "kg/m^3", 6),
        )
    held = estimate.interval("additive")
    charge = _charge_since(ev.ordered(ledger))
    missing = max(usual - held.best, 0.0) * estimate.best("volume")
    due = held.best < _PROPOSE_AT * usual and charge > 0.0
    passed = said(
        "{charge} have passed since the additive last went in or carbon took it out; of its usual "
        "{usual}, {left} may be left",
        charge=Quantity(charge, "Ah"),
        usual=Quantity(usual, "g/L"),
        left=_left(held),
    )
    if due:
        told = said(
            "{passed}; plate a test panel, and let it decide whether any is added.", passed=passed
        )
    else:
        told = said("{passed}; add none, unless a test panel is dull.", passed=passed)
    return AdditiveProposal(held=held, charge=charge, missing=missing, panel_due=due, sentence=told)


def _left(held: Interval) -> str:
    low, high = Quantity(held.low, "g/L", digits=2), Quantity(held.high, "g/L", digits=2)
    if str(low) == str(high):
        return said("hardly any") if held.high <= 0.0 else said("about {left}", left=low)
    return said("between {low} and {high}", low=low, high=high)


def additive_dose(proposal: AdditiveProposal, panel: Panel) -> float:
    """What to add now [kg of product], by the panel; then plate another.

    Half of what is missing where the panel is dull, nothing where it is bright or shows too much.
    """
    return _FIRST_SHARE * proposal.missing if panel is Panel.DULL else 0.0


def _charge_since(events: ev.Ledger) -> float:
    additives = {e.product.name for e in events if isinstance(e, ev.Bottle) and e.additive}
    charge = 0.0
    for event in events:
        if isinstance(event, ev.AmpereHours):
            charge += event.charge
        elif isinstance(event, ev.Carbon | ev.MakeUp) or (
            isinstance(event, ev.Addition) and event.product in additives
        ):
            charge = 0.0
    return charge
