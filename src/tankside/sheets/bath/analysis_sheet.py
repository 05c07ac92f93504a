"""A titration on one sheet: reagents, steps with their cautions, a table to fill in, and a table
from the reading to the bath, so that no calculator is needed at the bench."""

from collections.abc import Callable, Sequence
from typing import Any

from tankside.app.bath_sheet_port import Analysis
from tankside.app.ports import SheetRequest
from tankside.base.intervals import Interval
from tankside.base.provenance import source
from tankside.base.units import Kind
from tankside.bath.analysis.procedure import Procedure
from tankside.safety.cautions import all_cautions
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import amount, bare, for_its_reader, laboratory, reading, span, worded

STEPS_OF_TABLE = (0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3)
"""Titres of the table over the expected one."""


def analysis_sheet(asked: Analysis, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return typeset("tankside.sheets.bath", "analysis", analysis_words(asked, how), how)


@for_its_reader
def analysis_words(asked: Analysis, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the sheet, by its place in the layout."""
    procedure = asked.procedure
    unit = "mg/L" if asked.quantity == "chloride" else "g/L"
    return {
        "heading": laboratory(procedure.title),
        "subheading": worded("Of each run: {sample}", sample=laboratory(procedure.sample)),
        "cautions": _texts(("eyes-and-hands", *procedure.titrant_cautions)),
        "needs": _needs(procedure),
        "steps": [
            {"text": laboratory(step.text), "cautions": _texts(step.cautions)}
            for step in procedure.steps
        ],
        "after": _texts(procedure.after),
        "lines": [
            worded("burette at the start, mL"),
            worded("burette at the end, mL"),
            worded("titre, mL"),
        ],
        "expected": worded(
            "About {titre} are expected. Two runs that differ by more than a fiftieth are worth a "
            "third.",
            titre=reading(procedure.expected_titre, "mL"),
        ),
        "table_head": [
            worded("titre, mL"),
            worded("in the bath, {unit}", unit=unit),
            worded("nine times in ten"),
        ],
        "table": [
            _row(share * procedure.expected_titre, asked.answer, unit)
            for share in STEPS_OF_TABLE
            if share * procedure.expected_titre <= asked.most
        ],
        "table_note": worded("Between two lines, in proportion. The interval holds for one run."),
        "interferes": [laboratory(one) for one in procedure.interferes]
        or [worded("Nothing that is known.")],
        "sources": [source(key).cited() for key in asked.sources] or [worded("None.")],
    }


def _row(titre: float, answer: Callable[[float], Interval], unit: str) -> list[str]:
    value = answer(titre)
    low, best, high = (bare(one, unit) for one in (value.low, value.best, value.high))
    return [bare(titre, "mL"), best, span(low, high)]


def _needs(procedure: Procedure) -> list[list[str]]:
    rows = [[worded("titrant, to fill the burette"), amount(procedure.titrant_volume, Kind.VOLUME)]]
    for need in procedure.needs:
        by_volume = need.volume > 0.0
        much = amount(need.volume, Kind.VOLUME) if by_volume else amount(need.mass, Kind.MASS)
        rows.append([laboratory(need.name), much])
    keep = worded("Titrant: {how}", how=laboratory(procedure.keep)) if procedure.keep else ""
    rows.append([keep or worded("burette, pipette"), ""])
    return rows


def _texts(names: Sequence[str]) -> list[str]:
    """Cautions by id; what is no id is a sentence already."""
    texts = {caution.id: caution.text for caution in all_cautions()}
    return [laboratory(texts.get(name, name)) for name in dict.fromkeys(names)]
