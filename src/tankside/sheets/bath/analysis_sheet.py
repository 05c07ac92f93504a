"""A titration on one sheet: reagents, steps with their cautions, a table to fill in, and a table
from the reading to the bath, so that no calculator is needed at the bench."""

from collections.abc import Callable, Sequence
from typing import Any

from tankside.app.bath_sheet_port import Analysis
from tankside.app.ports import SheetRequest
from tankside.base.intervals import Interval
from tankside.base.provenance import source
from tankside.base.units import Kind, shown
from tankside.bath.analysis.procedure import Procedure
from tankside.safety.cautions import all_cautions
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import amount, for_its_reader

STEPS_OF_TABLE = (0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3)
"""Titres of the table over the expected one."""

READING_LINES = ("burette at the start, mL", "burette at the end, mL", "titre, mL")


def analysis_sheet(asked: Analysis, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return typeset("tankside.sheets.bath", "analysis", analysis_words(asked, how), how)


@for_its_reader
def analysis_words(asked: Analysis, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the sheet, by its place in the layout."""
    procedure = asked.procedure
    unit = "mg/L" if asked.quantity == "chloride" else "g/L"
    return {
        "heading": procedure.title,
        "subheading": f"Of each run: {procedure.sample}",
        "cautions": _texts(("eyes-and-hands", *procedure.titrant_cautions)),
        "needs": _needs(procedure),
        "steps": [
            {"text": step.text, "cautions": _texts(step.cautions)} for step in procedure.steps
        ],
        "after": _texts(procedure.after),
        "lines": list(READING_LINES),
        "expected": f"About {shown(procedure.expected_titre, 'mL')} are expected. Two runs that "
        "differ by more than a fiftieth are worth a third.",
        "table_head": ["titre, mL", f"in the bath, {unit}", "nine times in ten"],
        "table": [
            _row(share * procedure.expected_titre, asked.answer, unit)
            for share in STEPS_OF_TABLE
            if share * procedure.expected_titre <= asked.most
        ],
        "table_note": "Between two lines, in proportion. The interval holds for one run.",
        "interferes": list(procedure.interferes) or ["Nothing that is known."],
        "sources": [source(key).cited() for key in asked.sources] or ["None."],
    }


def _row(titre: float, answer: Callable[[float], Interval], unit: str) -> list[str]:
    value = answer(titre)
    low, best, high = (shown(one, unit).split()[0] for one in (value.low, value.best, value.high))
    return [shown(titre, "mL").split()[0], best, f"{low} to {high}"]


def _needs(procedure: Procedure) -> list[list[str]]:
    rows = [["titrant, to fill the burette", amount(procedure.titrant_volume, Kind.VOLUME)]]
    for need in procedure.needs:
        by_volume = need.volume > 0.0
        much = amount(need.volume, Kind.VOLUME) if by_volume else amount(need.mass, Kind.MASS)
        rows.append([need.name, much])
    rows.append([f"Titrant: {procedure.keep}", ""] if procedure.keep else ["burette, pipette", ""])
    return rows


def _texts(names: Sequence[str]) -> list[str]:
    """Cautions by id; what is no id is a sentence already."""
    texts = {caution.id: caution.text for caution in all_cautions()}
    return [texts.get(name, name) for name in dict.fromkeys(names)]
