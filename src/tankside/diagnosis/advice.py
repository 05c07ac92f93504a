"""What to do against the suspected causes: on a beaker first, and on the tank once a check agrees.

A remedy whose second step leans on a check that has not said yes is offered with that check before
it and its second step withheld. Every remedy passes the gates once more before it goes out.
"""

from dataclasses import dataclass

from tankside.diagnosis.atlas import Atlas, Remedy
from tankside.diagnosis.diagnosis import Diagnosis
from tankside.diagnosis.evidence import Said
from tankside.diagnosis.gates import refuse_harm

WORTH_FROM = 0.15
"""Chance of being to blame below which a cause gets no advice [-]."""

CAUTIONS = (
    "Goggles, gloves and an apron before you handle bath or acid; acid always into water, slowly.",
    "Switch the supply off before you touch wires, clips or anodes.",
    "Never pour bath, rinse or beaker down a drain: copper poisons water life. Keep it labelled, "
    "and ask your local authority or a licensed waste firm.",
    "Local codes, and the people licensed under them, decide what is allowed where you work.",
)
"""Said before any advice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One remedy: what to try first; the step on the tank, "" while `checks_first` are open (ids of
    checks); the side effect; and the cause it is against."""

    cause: str
    remedy: str
    first: str
    then: str
    checks_first: tuple[str, ...]
    side_effect: str


def advice_for(diagnosis: Diagnosis, atlas: Atlas) -> tuple[Advice, ...]:
    """Remedies against every cause that is likely enough, the likeliest first."""
    confirmed = {one.finding for one in diagnosis.case.told if one.said is Said.YES}
    return tuple(
        _advice(remedy, atlas, confirmed)
        for suspect in diagnosis.suspects
        if suspect.to_blame.best >= WORTH_FROM
        for remedy in atlas.remedies_for(suspect.cause)
    )


def _advice(remedy: Remedy, atlas: Atlas, confirmed: set[str]) -> Advice:
    refuse_harm(remedy, atlas.checks)
    still_open = tuple(name for name in remedy.needs if name not in confirmed)
    return Advice(
        cause=remedy.cause,
        remedy=remedy.id,
        first=remedy.first,
        then="" if still_open else remedy.then,
        checks_first=still_open,
        side_effect=remedy.side_effect,
    )
