"""Plans beside each other: figures, differences, verdicts and costs."""

import json
from typing import Any

import pytest

from tankside import CompareRequest, PlanToCompare, compare_plans
from tankside.app.compare_plans import FIGURES, CompareReply, Row
from tankside.base.errors import BadInput
from tankside.base.units import UnitSystem
from tests.unit.web.replies import a_plan, slower


def beside(*replies: dict[str, Any], **prices: str) -> CompareReply:
    plans = [PlanToCompare(name=f"plan {n}", reply=one) for n, one in enumerate(replies, 1)]
    return compare_plans(CompareRequest(plans=plans, prices=prices))


def row(reply: CompareReply, key: str) -> Row:
    return next(one for one in reply.rows if one.figure.key == key)


def test_figures_are_si_inside_and_in_their_keys_units_outside() -> None:
    reply = beside(a_plan(), slower())
    assert row(reply, "thickness_min_um").values == pytest.approx((60e-6, 75e-6))
    assert row(reply, "hours").values == pytest.approx((36000.0, 60120.0))
    figures = {one["key"]: one for one in reply.as_json()["figures"]}
    assert figures["thickness_min_um"]["values"] == pytest.approx([60, 75])
    assert figures["hours"]["differences"] == pytest.approx([0, 6.7])
    json.dumps(reply.as_json(), allow_nan=False)


def test_spread_is_the_thick_5_percent_over_the_thin_5_percent() -> None:
    assert row(beside(a_plan(), slower()), "spread").values == pytest.approx((2.0, 1.5))


def test_what_is_gained_and_lost() -> None:
    reply = beside(a_plan(), slower())
    assert {one.figure.key for one in reply.gained(1)} == {
        "thickness_min_um",
        "thickness_p05_um",
        "spread",
    }
    assert [one.figure.key for one in reply.lost(1)] == ["hours"]
    assert reply.gained(0) == reply.lost(0) == ()


def test_what_differs_by_less_than_two_percent_is_neither() -> None:
    reply = beside(a_plan(), a_plan(hours=10.15, rough_area_fraction=0.021))
    assert reply.gained(1) == reply.lost(1) == ()
    assert row(beside(a_plan(), a_plan(hours=10.5)), "hours").verdict(1) == -1
    assert (
        row(beside(a_plan(), a_plan(bare_area_fraction=0.01)), "bare_area_fraction").verdict(1)
        == -1
    )


def test_the_cost_of_copper_and_current_is_that_of_faraday_and_the_meter() -> None:
    # 1.186 g of copper an ampere-hour (Faraday's law, CODATA constants); 5 Ah at 0.4 V are 2 Wh,
    # 2.67 Wh at the socket of a supply of 75 %; 20 W hold the bath for 10 h: 200 Wh.
    reply = beside(a_plan(), a_plan(), copper="12 EUR/kg", electricity="0.30 EUR/kWh")
    wanted = 12 * 5 * 1.186e-3 + 0.30 * (0.2 + 0.00267)
    assert row(reply, "cost").values[0] == pytest.approx(wanted, rel=1e-3)
    assert reply.currency == "EUR"
    assert reply.without == ()


def test_costs_that_leave_out_different_things_decide_nothing() -> None:
    reply = beside(a_plan(), a_plan(start={"ramp": []}, charge_Ah=50.0), copper="12 EUR/kg")
    assert row(reply, "cost").verdict(1) == 0
    assert reply.without == ("energy, plating", "energy, heater", "seed coat")


def test_without_a_price_there_is_no_cost() -> None:
    assert "cost" not in {one.figure.key for one in beside(a_plan(), slower()).rows}


def test_the_table_for_a_terminal_has_the_readers_units() -> None:
    reply = beside(a_plan(), slower())
    assert "+15 µm" in reply.text()
    assert "2.36 mil" in reply.text(UnitSystem.US)
    assert "plan 1: The deposit sets the current." in reply.text()


def test_a_figure_that_a_plan_has_not_stays_empty() -> None:
    reply = beside(a_plan(voltage_V={"total": None}), slower())
    assert row(reply, "voltage_V").values == (None, 0.4)
    assert row(reply, "voltage_V").difference(1) is None


@pytest.mark.parametrize("count", [0, 1, 9])
def test_a_comparison_is_of_two_to_eight(count: int) -> None:
    with pytest.raises(BadInput, match="two to 8"):
        beside(*[a_plan()] * count)


def test_what_is_no_plan_is_named() -> None:
    with pytest.raises(BadInput, match="plan 2 is no plan: it has no current_A"):
        beside(a_plan(), {"hours": 3})
    with pytest.raises(BadInput, match="its current_A is no number"):
        beside(a_plan(), a_plan(current_A="much"))
    with pytest.raises(BadInput, match="no price of copper"):
        beside(a_plan(), slower(), copper="cheap")


def test_every_figure_is_compared_once() -> None:
    assert len({one.key for one in FIGURES}) == len(FIGURES)
