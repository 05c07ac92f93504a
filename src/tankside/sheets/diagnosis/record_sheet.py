"""The record of a diagnosis as a PDF: what was seen, in pictures; likely causes with reasons; what
would tell them apart; cautions; remedies, on a beaker first; and the test panel, if any."""

from typing import Any

from tankside.app.diagnosis_port import DiagnosisRecord
from tankside.app.ports import SheetRequest
from tankside.base.units import in_unit
from tankside.diagnosis.advice import CAUTIONS, Advice
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.diagnosis import Suspect
from tankside.diagnosis.evidence import Measured, Told, complaints_of
from tankside.diagnosis.next_check import Proposal
from tankside.diagnosis.record import (
    BASIS,
    between,
    contribution,
    needed,
    question,
    share,
    strange,
    told_item,
)
from tankside.sheets.diagnosis.picture_panel import panel_picture
from tankside.sheets.faults.picture import fault_picture
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import for_its_reader, spoken, worded

MOST_REASONS = 4


@for_its_reader
def diagnosis_record(record: DiagnosisRecord, how: SheetRequest) -> bytes:
    """The record as a PDF."""
    atlas, panel = record.atlas, record.panel
    seen = complaints_of(record.diagnosis.case, atlas)
    words = record_words(record, how)
    pictures = {
        f"{name}.svg": fault_picture(name, title=spoken(atlas.faults[name].look)) for name in seen
    }
    if panel is not None:
        pictures["panel.svg"] = panel_picture(panel.reading, panel.curve)
    return typeset("tankside.sheets.diagnosis", "record", words, how, pictures)


@for_its_reader
def record_words(record: DiagnosisRecord, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the record, by its place in the layout."""
    diagnosis, atlas, panel = record.diagnosis, record.atlas, record.panel
    case = diagnosis.case
    seen = complaints_of(case, atlas)
    items: tuple[Told | Measured, ...] = (
        *(one for one in case.told if one.finding not in seen),
        *case.measured,
    )
    return {
        "heading": worded("What went wrong: {title}", title=how.title)
        if how.title
        else worded("What went wrong"),
        "subheading": spoken(diagnosis.sentence),
        "seen": [_seen(name, atlas) for name in seen],
        "also": [spoken(told_item(one, atlas)) for one in items],
        "panel": [] if panel is None else [spoken(one) for one in panel.sentences],
        "causes": [_cause(one, atlas) for one in diagnosis.suspects],
        "strange": [spoken(one) for one in strange(diagnosis, atlas)],
        "checks": [_check(one, atlas) for one in record.proposed],
        "cautions": [spoken(one) for one in CAUTIONS],
        "advice": [_advice(one, atlas) for one in record.advised],
        "basis": spoken(BASIS),
    }


def _seen(name: str, atlas: Atlas) -> dict[str, str]:
    fault = atlas.faults[name]
    told = {"name": fault.name, "look": fault.look, "where": fault.where}
    return {"file": f"{name}.svg", **{key: spoken(text) for key, text in told.items()}}


def _cause(suspect: Suspect, atlas: Atlas) -> dict[str, Any]:
    blame = suspect.to_blame
    return {
        "chance": spoken(share(blame.best)),
        "range": spoken(between(blame.low, blame.high)),
        "part": blame.best,
        "name": spoken(atlas.causes[suspect.cause].name),
        "reasons": [
            spoken(contribution(one, atlas)) for one in suspect.contributions[:MOST_REASONS]
        ],
    }


def _check(proposal: Proposal, atlas: Atlas) -> list[str]:
    check = atlas.checks.get(proposal.finding)
    minutes = f"{in_unit(proposal.effort, 'min'):.0f} min"
    if check is None:
        return [minutes, spoken(question(proposal.finding, atlas)), "", ""]
    return [minutes, spoken(check.do), spoken(check.yes), spoken(check.no)]


def _advice(advice: Advice, atlas: Atlas) -> dict[str, Any]:
    return {
        "cause": spoken(atlas.causes[advice.cause].name),
        "first": spoken(advice.first),
        "then": spoken(advice.then),
        "wait": [spoken(needed(atlas.checks[name])) for name in advice.checks_first],
        "side_effect": spoken(advice.side_effect),
    }
