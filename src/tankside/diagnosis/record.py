"""A diagnosis as a page of text: what was seen, what is likely and why, what to check, what to do.

Plain text of 88 columns, to print or to keep with the job. Cautions stand before the advice.
"""

import textwrap
from collections.abc import Iterable, Iterator

from tankside.base.messages import said
from tankside.base.units import in_unit
from tankside.base.wording import term
from tankside.diagnosis.advice import CAUTIONS, Advice
from tankside.diagnosis.atlas import Atlas, Check
from tankside.diagnosis.diagnosis import Contribution, Diagnosis, Suspect
from tankside.diagnosis.evidence import Measured, Said, Told
from tankside.diagnosis.next_check import Proposal
from tankside.diagnosis.numbers_in_words import told_number

WIDTH = 88

BASIS = said(
    "The chances rest on a table of the trade's experience, most of it judged, not "
    "counted: the range beside each says how much that matters. They rank what to "
    "look at first. The signed numbers are what each piece of evidence adds to the "
    "logarithm of the odds."
)


def record(
    diagnosis: Diagnosis,
    proposed: tuple[Proposal, ...],
    advised: tuple[Advice, ...],
    atlas: Atlas,
    *,
    panel: tuple[str, ...] = (),
) -> str:
    """The whole page; `panel` is what a test panel shows, in sentences."""
    lines = ["DIAGNOSIS", *_points([diagnosis.sentence])]
    lines += ["", "SEEN AND MEASURED", *_points(_evidence(diagnosis, atlas))]
    if panel:
        lines += ["", "THE TEST PANEL", *_points(panel)]
    lines += ["", "LIKELY CAUSES"]
    for suspect in diagnosis.suspects:
        lines += _suspect(suspect, atlas)
    if left := strange(diagnosis, atlas):
        lines += ["", "NOT EXPLAINED BY ANY CAUSE IN THE LIST", *_points(left)]
    lines += ["", "WHAT WOULD TELL MOST, BY THE MINUTE"]
    for proposal in proposed:
        lines += _points(_question(proposal, atlas))
    if advised:
        lines += ["", "BEFORE YOU DO ANYTHING", *_points(CAUTIONS), "", "WHAT TO DO"]
        for advice in advised:
            lines += _advised(advice, atlas)
    return "\n".join([*lines, "", *textwrap.wrap(BASIS, WIDTH)]) + "\n"


def question(finding: str, atlas: Atlas) -> str:
    """What to ask a person about one finding."""
    if finding in atlas.faults:
        fault = atlas.faults[finding]
        return said("Do you also see this: {name} ({look})?", name=fault.name, look=fault.look)
    check = atlas.checks[finding]
    return said("{do} Yes: {yes} No: {no}", do=check.do, yes=check.yes, no=check.no)


def told_item(item: Told | Measured, atlas: Atlas) -> str:
    """One piece of evidence in words."""
    if isinstance(item, Measured):
        return said("{number}, from {origin}", number=told_number(item), origin=term(item.origin))
    if item.finding in atlas.faults:
        seen = {
            Said.YES: said("seen"),
            Said.SLIGHT: said("slightly seen"),
            Said.NO: said("not seen"),
        }
        return said(
            "{seen}: {fault}",
            seen=seen.get(item.said, said("unsure")),
            fault=atlas.faults[item.finding].name,
        )
    check = atlas.checks[item.finding]
    answer = {
        Said.YES: check.yes,
        Said.SLIGHT: said("slightly: {yes}", yes=check.yes),
        Said.NO: check.no,
    }
    return said("{do} {answer}", do=check.do, answer=answer.get(item.said, said("Unsure.")))


def share(chance: float) -> str:
    """A chance in whole percent, never 0 or 100."""
    if chance < 0.01:
        return said("under 1 %")
    return said("over 99 %") if chance > 0.99 else f"{100 * chance:.0f} %"


def between(low: float, high: float) -> str:
    """The ends of a chance's range."""
    return said("{low} to {high}", low=share(low), high=share(high))


def contribution(one: Contribution, atlas: Atlas) -> str:
    """What a piece of evidence adds, and the evidence."""
    values = {"odds": f"{one.log_odds:+.1f}", "item": told_item(one.item, atlas)}
    if one.log_odds > 0.0:
        return said("for ({odds}): {item}", **values)
    return said("against ({odds}): {item}", **values)


def needed(check: Check) -> str:
    """A check that the tank has to wait for."""
    return said("{do} Needed: {yes}", do=check.do, yes=check.yes)


def strange(diagnosis: Diagnosis, atlas: Atlas) -> list[str]:
    """Faults that no cause explains, a sentence each."""
    return [
        said(
            "{fault}: {share} that no cause here brought it about",
            fault=atlas.faults[one.fault].name,
            share=share(one.share),
        )
        for one in diagnosis.unexplained
        if one.share >= 0.1
    ]


def _evidence(diagnosis: Diagnosis, atlas: Atlas) -> Iterator[str]:
    for one in diagnosis.case.told:
        yield told_item(one, atlas)
    for item in diagnosis.case.measured:
        yield told_item(item, atlas)


def _suspect(suspect: Suspect, atlas: Atlas) -> Iterator[str]:
    cause, blame = atlas.causes[suspect.cause], suspect.to_blame
    yield from _points([f"{share(blame.best)} ({between(blame.low, blame.high)}): {cause.name}"])
    for one in suspect.contributions[:4]:
        yield from textwrap.wrap(
            contribution(one, atlas),
            WIDTH,
            initial_indent=" " * 6,
            subsequent_indent=" " * 8,
        )


def _question(proposal: Proposal, atlas: Atlas) -> Iterator[str]:
    minutes = in_unit(proposal.effort, "min")
    yield (
        f"{minutes:.0f} min, {proposal.information:.2f} bit, yes {share(proposal.yes_chance)}: "
        f"{question(proposal.finding, atlas)}"
    )


def _advised(advice: Advice, atlas: Atlas) -> Iterator[str]:
    yield f"  Against: {atlas.causes[advice.cause].name}"
    yield from _points([f"First, on a beaker or coupon: {advice.first}"], indent="    - ")
    if advice.then:
        yield from _points([f"Then, on the tank: {advice.then}"], indent="    - ")
    for name in advice.checks_first:
        yield from _points(
            [f"The tank has to wait for this check: {needed(atlas.checks[name])}"],
            indent="    - ",
        )
    yield from _points([f"Side effect: {advice.side_effect}"], indent="    - ")


def _points(sentences: Iterable[str], indent: str = "  - ") -> list[str]:
    return [
        line
        for sentence in sentences
        for line in textwrap.wrap(
            sentence, WIDTH, initial_indent=indent, subsequent_indent=" " * len(indent)
        )
    ]
