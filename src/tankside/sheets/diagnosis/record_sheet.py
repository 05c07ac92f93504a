"""The record of a diagnosis as a PDF: what was seen, in pictures; likely causes with reasons; what
would tell them apart; cautions; remedies, on a beaker first; and the test panel, if any."""

from collections.abc import Sequence
from typing import Any

from tankside.base.units import in_unit
from tankside.diagnosis.advice import CAUTIONS, Advice
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.diagnosis import Diagnosis, Suspect
from tankside.diagnosis.evidence import complaints_of
from tankside.diagnosis.next_check import Proposal
from tankside.diagnosis.panel import Along, PanelReading
from tankside.diagnosis.record import BASIS, question, share, told_item
from tankside.sheets.diagnosis.picture_panel import panel_picture
from tankside.sheets.faults.picture import fault_picture
from tankside.sheets.provenance import made_by
from tankside.sheets.typeset import Paper, typeset

MOST_REASONS = 4


def diagnosis_record(
    diagnosis: Diagnosis,
    proposed: Sequence[Proposal],
    advised: Sequence[Advice],
    atlas: Atlas,
    *,
    panel: Any = None,
    title: str,
    prepared: str,
    paper: Paper = "a4",
) -> bytes:
    """The record; `panel` has a `reading`, a `curve` and `sentences` (app.diagnosis_port)."""
    seen = complaints_of(diagnosis.case, atlas)
    words = record_words(diagnosis, proposed, advised, atlas, title, prepared, paper)
    pictures = {f"{name}.svg": fault_picture(name, title=atlas.faults[name].look) for name in seen}
    if panel is not None:
        pictures["panel.svg"] = _panel_picture(panel.reading, panel.curve)
        words["panel"] = list(panel.sentences)
    return typeset("tankside.sheets.diagnosis", "record", words, pictures)


def record_words(
    diagnosis: Diagnosis,
    proposed: Sequence[Proposal],
    advised: Sequence[Advice],
    atlas: Atlas,
    title: str,
    prepared: str,
    paper: Paper,
) -> dict[str, Any]:
    """Every word and number of the record, by its place in the layout."""
    case = diagnosis.case
    seen = complaints_of(case, atlas)
    return {
        "paper": paper,
        "heading": f"What went wrong: {title}" if title else "What went wrong",
        "subheading": diagnosis.sentence,
        "made_by": f"{made_by()}, prepared {prepared}",
        "seen": [_seen(name, atlas) for name in seen],
        "also": [told_item(one, atlas) for one in case.told if one.finding not in seen]
        + [told_item(one, atlas) for one in case.measured],
        "panel": [],
        "causes": [_cause(one, atlas) for one in diagnosis.suspects],
        "strange": [
            f"{atlas.faults[one.fault].name}: {share(one.share)} that no cause here is behind it"
            for one in diagnosis.unexplained
            if one.share >= 0.1
        ],
        "checks": [_check(one, atlas) for one in proposed],
        "cautions": list(CAUTIONS),
        "advice": [_advice(one, atlas) for one in advised],
        "basis": BASIS,
    }


def _panel_picture(reading: PanelReading, curve: tuple[Along, ...]) -> str:
    return panel_picture(reading, curve)


def _seen(name: str, atlas: Atlas) -> dict[str, str]:
    fault = atlas.faults[name]
    return {"file": f"{name}.svg", "name": fault.name, "look": fault.look, "where": fault.where}


def _cause(suspect: Suspect, atlas: Atlas) -> dict[str, Any]:
    blame = suspect.to_blame
    reasons = [
        f"{'for' if one.log_odds > 0.0 else 'against'} ({one.log_odds:+.1f}): "
        f"{told_item(one.item, atlas)}"
        for one in suspect.contributions[:MOST_REASONS]
    ]
    return {
        "chance": share(blame.best),
        "range": f"{share(blame.low)} to {share(blame.high)}",
        "part": blame.best,
        "name": atlas.causes[suspect.cause].name,
        "reasons": reasons,
    }


def _check(proposal: Proposal, atlas: Atlas) -> list[str]:
    check = atlas.checks.get(proposal.finding)
    minutes = f"{in_unit(proposal.effort, 'min'):.0f} min"
    if check is None:
        return [minutes, question(proposal.finding, atlas), "", ""]
    return [minutes, check.do, check.yes, check.no]


def _advice(advice: Advice, atlas: Atlas) -> dict[str, Any]:
    return {
        "cause": atlas.causes[advice.cause].name,
        "first": advice.first,
        "then": advice.then,
        "wait": [
            f"{atlas.checks[name].do} Needed: {atlas.checks[name].yes}"
            for name in advice.checks_first
        ],
        "side_effect": advice.side_effect,
    }
