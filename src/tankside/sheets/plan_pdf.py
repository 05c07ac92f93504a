"""The printed sheet of a plan as a PDF: cautions first, then what to set, then what comes of it.

The layout is the typesetting file data/plan.typ; this module hands it words and pictures.
"""

from typing import Any

from tankside.app.ports import SheetRequest
from tankside.plan.plan import Plan
from tankside.plan.start import SeedStart
from tankside.sheets import findings
from tankside.sheets.picture_front import front_picture
from tankside.sheets.picture_histogram import histogram_picture
from tankside.sheets.picture_part import part_picture
from tankside.sheets.picture_ramp import ramp_picture
from tankside.sheets.provenance import cited_sources
from tankside.sheets.rig.sheet import rig_sheets
from tankside.sheets.rig.tables import in_words
from tankside.sheets.start_words import start_rows, start_told
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import for_its_reader, measured, spoken, worded


@for_its_reader
def plan_pdf(plan: Plan, how: SheetRequest) -> bytes:
    """The sheet."""
    pictures = {
        "part.svg": part_picture(plan),
        "histogram.svg": histogram_picture(plan),
    }
    drawings = {
        f"rig-{number}.svg": sheet for number, sheet in enumerate(rig_sheets(plan.cell, how), 1)
    }
    if plan.start is not None:
        pictures["front.svg"] = front_picture(plan, plan.start)
        pictures["ramp.svg"] = ramp_picture(plan.start)
    words = {**sheet_words(plan, how), "rig_sheets": list(drawings)}
    return typeset("tankside.sheets", "plan", words, how, {**pictures, **drawings})


@for_its_reader
def sheet_words(plan: Plan, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the sheet, by its place in the layout."""
    spread = plan.thickness
    return {
        "heading": worded("Plating plan: {name}", name=how.title),
        "subheading": findings.subheading(plan),
        "cautions_heading": worded("Before you start"),
        "cautions": [spoken(one) for one in plan.cautions] or [worded("No cautions.")],
        "set_points": findings.set_points(plan),
        "limited_by": spoken(plan.limited_by),
        "part_alt": worded(
            "The part from two sides. Thinnest place {least}, thickest place {most}.",
            least=measured(spread.minimum, "um", 2),
            most=measured(spread.maximum, "um"),
        ),
        "start": None if plan.start is None else _start(plan.start),
        "results": findings.result_rows(plan),
        "histogram_alt": worded(
            "Histogram of thickness by area. Mean {mean}, 5 percent of the area under {thin}.",
            mean=measured(spread.mean, "um"),
            thin=measured(spread.p05, "um"),
        ),
        "rig_alt": in_words(plan.cell),
        "anodes_head": findings.anodes_head(),
        "anodes": findings.anode_rows(plan),
        "wires_head": findings.wires_head(),
        "wires": findings.wire_rows(plan),
        "rules_head": findings.rules_head(),
        "rules": findings.rule_rows(plan),
        "voltage": findings.voltage_rows(plan),
        "heat": findings.heat_rows(plan),
        "warnings": [spoken(one) for one in plan.warnings],
        "assumptions": [spoken(one) for one in plan.assumptions]
        or [worded("Nothing beyond the sources below.")],
        "checks": findings.checks(plan),
        "sources": list(cited_sources(plan)) or [worded("None.")],
    }


def _start(start: SeedStart) -> dict[str, Any]:
    """The start of a coated part: settings, sentences, and its two pictures in words."""
    return {
        "rows": [list(row) for row in start_rows(start)],
        "told": start_told(start),
        "front_alt": worded("The part at four times, with copper where it has come by then."),
        "ramp_alt": worded(
            "The settings of the current against time, under the fastest safe rise."
        ),
    }
