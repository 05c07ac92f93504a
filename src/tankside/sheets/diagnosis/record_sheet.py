"""The record of a diagnosis as a PDF: what was seen, in pictures; likely causes with reasons; what
would tell them apart; cautions; remedies, on a beaker first; and the test panel, if any."""

from typing import Any

from tankside.app.diagnosis_port import DiagnosisRecord
from tankside.app.ports import SheetRequest
from tankside.base.units import in_unit
from tankside.diagnosis.advice import CAUTIONS, Advice
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.diagnosis import Suspect
from tankside.diagnosis.evidence import complaints_of
from tankside.diagnosis.next_check import Proposal
from tankside.diagnosis.record import BASIS, question, share, told_item
from tankside.sheets.diagnosis.picture_panel import panel_picture
from tankside.sheets.faults.picture import fault_picture
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import for_its_reader

MOST_REASONS = 4


@for_its_reader
def diagnosis_record(record: DiagnosisRecord, how: SheetRequest) -> bytes:
    """The record as a PDF."""
    atlas, panel = record.atlas, record.panel
    seen = complaints_of(record.diagnosis.case, atlas)
    words = record_words(record, how)
    pictures = {f"{name}.svg": fault_picture(name, title=atlas.faults[name].look) for name in seen}
    if panel is not None:
        pictures["panel.svg"] = panel_picture(panel.reading, panel.curve)
        words["panel"] = list(panel.sentences)
    return typeset("tankside.sheets.diagnosis", "record", words, how, pictures)


@for_its_reader
def record_words(record: DiagnosisRecord, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the record, by its place in the layout."""
    diagnosis, atlas = record.diagnosis, record.atlas
    case = diagnosis.case
    seen = complaints_of(case, atlas)
    return {
        "heading": f"What went wrong: {how.title}" if how.title else "What went wrong",
        "subheading": diagnosis.sentence,
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
        "checks": [_check(one, atlas) for one in record.proposed],
        "cautions": list(CAUTIONS),
        "advice": [_advice(one, atlas) for one in record.advised],
        "basis": BASIS,
    }


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
