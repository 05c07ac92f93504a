"""Orders: kept and read again as they were; damaged ones are refused; readings by hand."""

import copy
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tankside.app.audit_a_run import AuditRequest, audit_a_run, request_of
from tankside.app.cost_a_run import CostRequest, cost_a_run
from tankside.app.keep.keep_an_audit import measured
from tankside.app.order_a_run import Order, as_json, from_json
from tankside.app.run_by_hand import HandRun
from tankside.app.run_ports import HardLimits
from tankside.app.show_a_run import show_a_run
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, Reader, said, spoken
from tankside.base.units import UnitSystem
from tankside.runs.audit import Believed
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting
from tankside.runs.states import Stage
from tankside.storage.run_folder import RunFolder

ORDER = Order(
    title="finial",
    recipe=Recipe(
        settings=(
            Setting(current=0.5, voltage_limit=4.0, duration=600.0, words="cover"),
            Setting(current=2.0, voltage_limit=4.0, charge=36000.0),
        )
    ),
    expected=Expected.steady(np.array([0.1, 3.0]), np.array([0.1, 1.5]), 0.3),
    believed=Believed(
        efficiency=Interval(0.97, 0.99, 1.0),
        share=Interval(0.8, 0.9, 0.95),
        area=Interval(0.018, 0.02, 0.022),
    ),
    limits=HardLimits(current=5.0, voltage=8.0),
    planned_mass=0.0108,
    planned_thickness=60e-6,
    temperature=298.15,
    cautions=("Goggles.",),
    job_text="[bath]",
)


def test_an_order_is_read_as_it_was_kept() -> None:
    again = from_json(as_json(ORDER))
    assert as_json(again) == as_json(ORDER)
    assert again.recipe == ORDER.recipe
    assert again.believed == ORDER.believed
    np.testing.assert_array_equal(again.expected.voltage, ORDER.expected.voltage)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"order": 2}, "newer version"),
        ({"recipe": []}, "at least one setting"),
        ({"recipe": None}, "damaged"),
        ({"expected": {"charge_C": [0]}}, "current_A"),
        ({"limits": {"current_A": 0, "voltage_V": 1}}, "above zero"),
    ],
)
def test_a_damaged_order_is_refused(change: dict[str, object], told: str) -> None:
    row = copy.deepcopy(as_json(ORDER)) | change
    with pytest.raises(BadInput, match=told):
        from_json(row)


def test_a_run_by_hand(tmp_path: Path) -> None:
    """Half an ampere for ten minutes, then two amperes; read now and then; one pause."""
    keeper = RunFolder.begun(tmp_path / "r", as_json(ORDER))
    hand = HandRun(ORDER.recipe, ORDER.expected, keeper)
    begin = 1.7e9
    assert hand.began(begin).current == 0.5
    told = hand.read(begin + 300, 0.3, 0.5)
    assert told.amount.charge == pytest.approx(150.0)
    assert told.remarks == ()
    told = hand.read(begin + 600, 0.3, 0.5)
    assert told.set_now is not None
    assert told.set_now.current == 2.0
    told = hand.read(begin + 600 + 3600, 1.0, 2.0)
    assert told.amount.charge == pytest.approx(300 + 7200, rel=1e-3)
    assert told.progress.to_go == pytest.approx((36000 - 7200) / 2.0, rel=1e-3)
    hand.paused(begin + 8000, "look")
    again = HandRun(ORDER.recipe, ORDER.expected, RunFolder.opened(tmp_path / "r"))
    assert again.state.stage is Stage.PAUSED
    before = again.amount().charge
    again.resumed(begin + 20000)
    told = again.read(begin + 20001, 1.0, 2.0)
    assert told.amount.charge == pytest.approx(before, abs=10.0)
    told = again.read(begin + 20001 + 15000, 1.0, 2.0)
    assert told.over
    again.ended(begin + 20001 + 15000)
    shown = show_a_run(ORDER, RunFolder.opened(tmp_path / "r"))
    assert shown.by_hand
    assert shown.charge == pytest.approx(again.amount().charge)
    assert "finial: ended" in shown.text()


@pytest.mark.parametrize(
    ("voltage", "current", "told"),
    [
        (3.9, 0.0, "look for a wire"),
        (0.3, 0.7, "were set"),
        (1.0, 0.5, "well above"),
        (0.05, 0.5, "well below"),
    ],
)
def test_strange_readings_are_questioned(
    voltage: float, current: float, told: str, tmp_path: Path
) -> None:
    hand = HandRun(ORDER.recipe, ORDER.expected, RunFolder.begun(tmp_path / "r", as_json(ORDER)))
    hand.began(1.7e9)
    assert any(told in one for one in hand.read(1.7e9 + 60, voltage, current).remarks)


def test_no_bench_supply_shows_that(tmp_path: Path) -> None:
    hand = HandRun(ORDER.recipe, ORDER.expected, RunFolder.begun(tmp_path / "r", as_json(ORDER)))
    hand.began(1.7e9)
    with pytest.raises(BadInput, match="not readings"):
        hand.read(1.7e9 + 60, 400.0, 1.0)


def test_an_audit_from_typed_texts() -> None:
    charge = 36000.0
    laid = charge * COPPER_PER_CHARGE_KG_PER_C * 0.99 * 0.9
    request = AuditRequest(
        order=ORDER,
        charge=charge,
        before="100 g",
        after=f"{100 + 1e3 * laid:.2f} g",
        scale="0.01 g",
        points=["rim=70 um/66 um planned", "hollow = 40 um"],
    )
    reply = audit_a_run(request)
    assert reply.audit.copper_mass.best == pytest.approx(laid, rel=1e-3)
    assert reply.as_json()["copper_mass_kg"]["best"] == reply.audit.copper_mass.best
    assert "100 % of the" in reply.text()


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"after": ""}, "both before and after"),
        ({"before": "100"}, "has no unit"),
        ({"points": ["rim"]}, "is no reading"),
        ({"points": ["rim=wide"]}, "rim"),
        ({"before": "300 g"}, "less than before"),
    ],
)
def test_an_audit_refuses(change: dict[str, object], told: str) -> None:
    given: dict[str, object] = {"before": "100 g", "after": "110 g"}
    with pytest.raises(BadInput, match=told):
        audit_a_run(AuditRequest(order=ORDER, charge=36000.0, **(given | change)))  # type: ignore[arg-type]


def test_more_copper_than_the_charge_can_lay_is_said() -> None:
    reply = audit_a_run(
        AuditRequest(order=ORDER, charge=36000.0, before="100 g", after="114 g", scale="0.1 g")
    )
    assert "more copper than the charge can lay" in reply.text()
    assert "fewer than 1 of 1000 runs" in reply.text()


def test_what_a_run_cost(tmp_path: Path) -> None:
    keeper = RunFolder.begun(tmp_path / "r", as_json(ORDER))
    hand = HandRun(ORDER.recipe, ORDER.expected, keeper)
    hand.began(1.7e9)
    hand.read(1.7e9 + 3600, 2.0, 0.5)
    shown = show_a_run(ORDER, RunFolder.opened(tmp_path / "r"))
    reply = cost_a_run(
        CostRequest(
            shown=shown,
            copper="10 EUR/kg",
            electricity="0,30 EUR/kWh",
            work="24 EUR/h",
            heater="0.5 kWh",
            hands_on="30 min",
            painted="2 dm2",
        )
    )
    lines = {one.name: one.cost for one in reply.cost.lines}
    assert lines["copper"] == pytest.approx(10 * 1800 * COPPER_PER_CHARGE_KG_PER_C, rel=1e-3)
    assert lines["energy, heater"] == pytest.approx(0.15)
    assert lines["work"] == pytest.approx(12.0)
    assert reply.as_json()["without"] == ["seed coat"]
    assert "without seed coat" in reply.text()


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"copper": "12"}, "is no price of copper; write for example '12 EUR/kg'"),
        ({"copper": "12 EUR/h"}, "is no price of copper"),
        ({"work": "20 USD/h"}, "EUR and USD"),
        ({"heater": "5"}, "has no unit"),
        ({"scrap": -1.0}, "scrap spent cannot be"),
    ],
)
def test_a_cost_that_cannot_be_is_refused(
    change: dict[str, object], told: str, tmp_path: Path
) -> None:
    shown = show_a_run(ORDER, RunFolder.begun(tmp_path / "r", as_json(ORDER)))
    with pytest.raises(BadInput, match=told):
        cost_a_run(CostRequest(shown=shown, **({"copper": "12 EUR/kg"} | change)))  # type: ignore[arg-type]


def test_a_cold_bath_and_a_low_level_are_said(tmp_path: Path) -> None:
    keeper = RunFolder.begun(tmp_path / "r", as_json(ORDER))
    hand = HandRun(ORDER.recipe, ORDER.expected, keeper, ORDER.temperature)
    hand.began(1.7e9)
    assert hand.read(1.7e9 + 60, 0.25, 0.5, 297.15, 0.004).remarks == ()
    cold, low = hand.read(1.7e9 + 120, 0.25, 0.5, 290.15, 0.015).remarks
    assert cold.startswith("The bath is at 17 °C, planned were 25 °C.")
    assert low.startswith("The bath stands 15 mm below its mark.")
    warm = hand.read(1.7e9 + 180, 0.25, 0.5, 303.15).remarks
    assert "softens" in warm[0]


@pytest.mark.parametrize(
    ("job_text", "better"), [("[bath]", True), ("[bath]\n[[thief]]", False), ("", True)]
)
def test_wires_weighed_with_the_part_do_not_count_as_the_part(job_text: str, better: bool) -> None:
    """Taken off the part's gain; and where no thief took copper too, they narrow the efficiency."""
    order = replace(ORDER, job_text=job_text)
    laid = 1e3 * 36000.0 * COPPER_PER_CHARGE_KG_PER_C * 0.99
    typed = AuditRequest(
        order=order,
        charge=36000.0,
        before="100 g",
        after=f"{100 + laid:.2f} g",
        scale="0.01 g",
        wires=f"{0.1 * laid:.2f} g",
        seen=["dull hollow"],
    )
    reply = audit_a_run(typed)
    assert reply.audit.copper_mass.best == pytest.approx(0.9e-3 * laid, rel=2e-3)
    assert "Seen: dull hollow" in reply.text()
    alone = audit_a_run(replace(typed, wires="", after=f"{100 + 0.9 * laid:.2f} g"))
    width = [one.audit.factors["share"].relative_spread for one in (reply, alone)]
    assert (width[0] < 0.75 * width[1]) is better
    assert as_kept(typed) == replace(typed, points=[])


def as_kept(request: AuditRequest) -> AuditRequest:
    again = request_of(request.order, measured(request))
    return replace(again, points=list(again.points), seen=list(again.seen))


def test_sentences_of_an_order_can_be_told_to_anybody_after_it_was_kept() -> None:
    caution = said("Keep it under {limit}.", limit=Quantity(313.15, "degC", decimals=0))
    step = said("the first {time}", time=Quantity(600.0, "min", decimals=0))
    setting = Setting(current=1.0, voltage_limit=3.0, charge=3600.0, words=step)
    given = replace(ORDER, cautions=(caution,), recipe=Recipe(settings=(setting,)))
    kept = from_json(json.loads(json.dumps(as_json(given))))
    assert kept.cautions == ("Keep it under 40 °C.",)
    us = Reader(units=UnitSystem.US, translate=str.upper)
    assert spoken(kept.cautions[0], us) == spoken(caution, us)
    assert spoken(kept.recipe.settings[0].words, us) == spoken(step, us)


def test_an_order_that_was_kept_without_the_parts_of_its_sentences_is_read() -> None:
    row = as_json(ORDER)
    assert "said" not in row
    assert from_json(row).cautions == ORDER.cautions
