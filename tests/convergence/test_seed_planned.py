"""A coated block, planned: the plan's numbers hang together, and the metal's plan is its end."""

from dataclasses import replace
from math import isfinite

import numpy as np
import pytest

from tankside.cell.bodies import Role
from tankside.plan.plan import Plan
from tankside.plan.planner import PlanTask, planned
from tankside.sheets.json_reply import plan_json
from tests.unit.plan.conftest import cell, task  # noqa: F401


@pytest.fixture(scope="module")
def metal(task: PlanTask) -> Plan:  # noqa: F811
    return planned(task)


@pytest.fixture(scope="module")
def coated(task: PlanTask) -> Plan:  # noqa: F811
    bodies = tuple(
        replace(body, sheet_resistance=100.0) if body.role is Role.PART else body
        for body in task.cell.bodies
    )
    return planned(replace(task, cell=replace(task.cell, bodies=bodies)))


def test_metal_has_no_start(metal: Plan) -> None:
    assert metal.start is None
    assert plan_json(metal, 1.0)["start"] is None
    assert any("metal at one potential" in sentence for sentence in metal.assumptions)


def test_the_current_is_the_metals_and_the_goal_is_reached(coated: Plan, metal: Plan) -> None:
    assert coated.current == metal.current
    assert coated.thickness.mean == pytest.approx(coated.goal.thickness, rel=1e-6)
    assert metal.duration < coated.duration < metal.duration + 1800
    assert coated.balances.charge_balance <= 1e-6
    assert coated.balances.mass_balance <= 1e-6
    assert coated.bare_area_fraction == 0.0
    assert not any("metal at one potential" in sentence for sentence in coated.assumptions)


def test_copper_on_part_and_wires_is_all_of_it(coated: Plan) -> None:
    on_wires = sum(wire.copper_gained for wire in coated.wires)
    assert coated.copper_on_part + on_wires == pytest.approx(coated.copper_mass, rel=1e-9)


def test_the_start_covers_the_block_and_burns_nothing(coated: Plan) -> None:
    start = coated.start
    assert start is not None
    times = [time for time, _ in start.front]
    assert times == sorted(times)
    assert all(0 < time < 3600 for time in times)
    assert 0 < start.ramp_end < 3600
    assert all(collar.risk == "safe" for collar in start.collars)
    assert start.check.largest_load <= 1.02
    assert 1 < len(start.table) <= 12
    assert start.table[-1].current == pytest.approx(coated.current)
    assert not start.insulated.any()
    late = np.nanmax(start.covering.covered_at)
    assert late == pytest.approx(start.covering.time_of(1.0))


def test_json_tells_the_start_with_units(coated: Plan) -> None:
    told = plan_json(coated, 1.0)["start"]
    assert [row["covered_area_fraction"] for row in told["front"]] == [0.25, 0.5, 0.9, 0.99]
    assert told["covered_area_fraction_at_end"] == 1.0
    assert told["ramp"][0]["start_s"] == 0.0
    starts = [row["start_s"] + row["duration_s"] for row in told["ramp"]]
    assert starts[:-1] == pytest.approx([row["start_s"] for row in told["ramp"][1:]])
    assert told["set_points"][0]["time_s"] == 0.0
    assert all(isfinite(row["current_A"]) for row in told["set_points"])
    assert told["collars"][0]["temperature_rise_K"]["best"] >= 0
    assert told["islands"] == []
