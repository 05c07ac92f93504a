"""A plan's summary and sheet for who reads in US units: the same plan, other units."""

import re
from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import pytest
from pypdf import PdfReader

from tankside.app.ports import SheetRequest
from tankside.base.messages import Quantity, Reader, said
from tankside.base.units import UnitSystem
from tankside.plan.plan import Plan
from tankside.sheets.colours import thickness_scale
from tankside.sheets.plan_sheets import PlanSheets
from tankside.sheets.wording import figure, measured, millimetres, written_for

METRIC_ONLY = re.compile(r"\d (?:µm|mm|cm²|g|°C|A/dm²)(?![\w/])")


def test_units_have_their_counterparts() -> None:
    # 1 mil = 25.4 µm, 1 oz = 28.349523 g, 1 A/ft² = 0.1076391 A/dm² (NIST SP 811, appendix B.8)
    with written_for(Reader(units=UnitSystem.US)):
        assert measured(25.4e-6, "um") == "1.00 mil"
        assert measured(0.028349523, "g") == "1.00 oz"
        assert measured(10.76391, "A/dm^2") == "1.00 A/ft²"
        assert millimetres(0.0254) == "1.00 in"
        assert figure(298.15, "degC") == pytest.approx(77.0)
    assert measured(25.4e-6, "um") == "25.4 µm"


def test_a_summary_in_us_units_has_no_metric_ones(plan: Plan) -> None:
    text = PlanSheets().summary(plan, UnitSystem.US)
    computed = text[text.index("THE PLAN") :]
    assert "mil" in computed
    assert "A/ft²" in computed
    assert METRIC_ONLY.findall(text) == []
    assert METRIC_ONLY.findall(PlanSheets().summary(plan)) != []


def test_a_warning_that_was_computed_is_told_in_us_units(plan: Plan) -> None:
    floats = said("{name} floats with {mass}", name="part 1", mass=Quantity(0.028349523125, "g"))
    text = PlanSheets().summary(replace(plan, warnings=(floats,)), UnitSystem.US)
    assert "part 1 floats with 1 oz" in text


def test_ticks_are_round_in_mil(plan: Plan) -> None:
    with written_for(Reader(units=UnitSystem.US)):
        scale = thickness_scale(plan)
        steps = {round(figure(b - a, "um"), 9) for a, b in pairwise(scale.ticks)}
    assert len(steps) == 1
    mantissa = f"{steps.pop():.3e}".split("e")[0]
    assert float(mantissa) in (1.0, 2.0, 2.5, 5.0)


def test_the_sheet_is_in_us_units_and_the_map_as_ever(plan: Plan) -> None:
    metric, us = (
        PlanSheets().files(
            plan, SheetRequest(title="t", prepared="2026-01-01", reader=Reader(units=units))
        )
        for units in UnitSystem
    )
    words = "".join(page.extract_text() for page in PdfReader(BytesIO(us["plan.pdf"])).pages)
    assert "copper, mil" in words
    assert "copper, µm" not in words
    assert us["map.glb"] == metric["map.glb"]
