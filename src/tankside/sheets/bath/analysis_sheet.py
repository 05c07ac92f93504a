"""A titration on one sheet: reagents, steps with their cautions, a table to fill in, and a table
from the reading to the bath, so that no calculator is needed at the bench."""

from collections.abc import Callable, Sequence
from math import inf
from typing import Any

from tankside.base.intervals import Interval
from tankside.base.provenance import source
from tankside.base.units import Kind, UnitSystem, shown, told
from tankside.bath.analysis.procedure import Procedure
from tankside.safety.cautions import all_cautions
from tankside.sheets.provenance import made_by
from tankside.sheets.typeset import Paper, typeset

STEPS_OF_TABLE = (0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3)
"""Titres of the table over the expected one."""

READING_LINES = ("burette at the start, mL", "burette at the end, mL", "titre, mL")

Answer = Callable[[float], Interval]
"""From a titre [m³] to what is in the bath [kg m⁻³]."""


def analysis_sheet(
    procedure: Procedure,
    answer: Answer,
    *,
    quantity: str,
    prepared: str,
    most: float = inf,
    sources: Sequence[str] = (),
    paper: Paper = "a4",
    units: UnitSystem = UnitSystem.METRIC,
) -> bytes:
    """The sheet as a PDF; `answer` works a titre out with the titrant and sample of the
    procedure, up to the `most` [m³] that the burette holds."""
    words = analysis_words(procedure, answer, quantity, prepared, most, sources, paper, units)
    return typeset("tankside.sheets.bath", "analysis", words)


def analysis_words(
    procedure: Procedure,
    answer: Answer,
    quantity: str,
    prepared: str,
    most: float,
    sources: Sequence[str],
    paper: Paper,
    units: UnitSystem,
) -> dict[str, Any]:
    """Every word and number of the sheet, by its place in the layout."""
    unit = "mg/L" if quantity == "chloride" else "g/L"
    return {
        "paper": paper,
        "heading": procedure.title,
        "subheading": f"Of each run: {procedure.sample}",
        "made_by": f"{made_by()}, prepared {prepared}",
        "cautions": _texts(("eyes-and-hands", *procedure.titrant_cautions)),
        "needs": _needs(procedure, units),
        "steps": [
            {"text": step.text, "cautions": _texts(step.cautions)} for step in procedure.steps
        ],
        "after": _texts(procedure.after),
        "lines": list(READING_LINES),
        "expected": f"About {shown(procedure.expected_titre, 'mL')} are expected. Two runs that "
        "differ by more than a fiftieth are worth a third.",
        "table_head": ["titre, mL", f"in the bath, {unit}", "nine times in ten"],
        "table": [
            _row(share * procedure.expected_titre, answer, unit)
            for share in STEPS_OF_TABLE
            if share * procedure.expected_titre <= most
        ],
        "table_note": "Between two lines, in proportion. The interval holds for one run.",
        "interferes": list(procedure.interferes) or ["Nothing that is known."],
        "sources": [source(key).cited() for key in sources] or ["None."],
    }


def _row(titre: float, answer: Answer, unit: str) -> list[str]:
    value = answer(titre)
    low, best, high = (shown(one, unit).split()[0] for one in (value.low, value.best, value.high))
    return [shown(titre, "mL").split()[0], best, f"{low} to {high}"]


def _needs(procedure: Procedure, units: UnitSystem) -> list[list[str]]:
    rows = [["titrant, to fill the burette", told(procedure.titrant_volume, Kind.VOLUME, units)]]
    for need in procedure.needs:
        amount = (
            told(need.volume, Kind.VOLUME, units)
            if need.volume > 0.0
            else told(need.mass, Kind.MASS, units)
        )
        rows.append([need.name, amount])
    rows.append([f"Titrant: {procedure.keep}", ""] if procedure.keep else ["burette, pipette", ""])
    return rows


def _texts(names: Sequence[str]) -> list[str]:
    """Cautions by id; what is no id is a sentence already."""
    texts = {caution.id: caution.text for caution in all_cautions()}
    return [texts.get(name, name) for name in dict.fromkeys(names)]
