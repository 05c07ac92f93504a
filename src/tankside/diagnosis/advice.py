"""What to do against the suspected causes: on a beaker first, and on the tank once a check agrees.

A remedy whose second step leans on a check that has not said yes is offered with that check before
it and its second step withheld, unless a number of the bath shows the same. Every remedy passes
the gates once more before it goes out.
"""

from dataclasses import dataclass

from tankside.base.messages import said
from tankside.diagnosis.atlas import Atlas, Remedy
from tankside.diagnosis.diagnosis import Diagnosis
from tankside.diagnosis.evidence import Case, Said
from tankside.diagnosis.gates import refuse_harm
from tankside.diagnosis.readings import odds_factor, rules_for

WORTH_FROM = 0.15
"""Chance of being to blame below which a cause gets no advice [-]."""

SHOWN_FROM = 5.0
"""Factor on a cause's odds from which a number of the bath stands for its check [-]: our guess."""

CAUTIONS = (
    said(
        "Goggles, gloves and an apron before you handle bath or acid; acid always into "
        "water, slowly."
    ),
    said("Switch the supply off before you touch wires, clips or anodes."),
    said(
        "Never pour bath, rinse or beaker down a drain: copper poisons water life. "
        "Keep it labelled, and ask your local authority or a licensed waste firm."
    ),
    said("Local codes, and the people licensed under them, decide what is allowed where you work."),
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
    case = diagnosis.case
    confirmed = {one.finding for one in case.told if one.said is Said.YES}
    return tuple(
        _advice(remedy, atlas, confirmed, shown=shown_by_number(suspect.cause, case, atlas))
        for suspect in diagnosis.suspects
        if suspect.to_blame.best >= WORTH_FROM
        for remedy in atlas.remedies_for(suspect.cause)
    )


def shown_by_number(cause: str, case: Case, atlas: Atlas) -> bool:
    """True where a number of the bath lies clearly beyond the end of its window for this cause."""
    return any(
        rule.cause == cause
        and rule.middle is None
        and odds_factor(rule, item.value, item.window) >= SHOWN_FROM
        for item in case.measured
        for rule in rules_for(atlas, item)
    )


def _advice(remedy: Remedy, atlas: Atlas, confirmed: set[str], *, shown: bool) -> Advice:
    refuse_harm(remedy, atlas.checks)
    still_open = tuple(name for name in remedy.needs if name not in confirmed and not shown)
    return Advice(
        cause=remedy.cause,
        remedy=remedy.id,
        first=remedy.first,
        then="" if still_open else remedy.then,
        checks_first=still_open,
        side_effect=remedy.side_effect,
    )
