"""A coated block, planned: the plan's numbers hang together, and the metal's plan is its end."""

from dataclasses import replace
from math import isfinite

import numpy as np
import pytest

from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.composition import Composition
from tankside.cell.assembling import assembled
from tankside.cell.bodies import Role
from tankside.cell.coating import even_coat
from tankside.cell.description import (
    BoxTank,
    CellDescription,
    ContactSpec,
    PanelBudget,
    PlacedPart,
    Plate,
)
from tankside.cell.held import JOINED
from tankside.field.hierarchical import build_operators
from tankside.field.seed.shell import SeedShell
from tankside.field.solve import solve
from tankside.part.mesh import TriangleMesh
from tankside.plan.laws import best_numbers, panels_of, problem_of
from tankside.plan.plan import Plan
from tankside.plan.planner import PlanTask, planned
from tankside.plan.seeded import coated_problem
from tankside.sheets.json_reply import plan_json
from tests.unit.plan.conftest import CUTS, SIZE, block, cell, task  # noqa: F401


@pytest.fixture(scope="module")
def metal(task: PlanTask) -> Plan:  # noqa: F811
    return planned(task)


@pytest.fixture(scope="module")
def coated(task: PlanTask) -> Plan:  # noqa: F811
    bodies = tuple(
        replace(body, coat=even_coat(100.0).laid_on(body.surface.centroids))
        if body.role is Role.PART
        else body
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
    assert 0.5e-3 < start.decay_length < 5e-3  # sqrt(RT / alpha F i R) at 145 A/m² and 100 ohm
    assert start.panel_size == pytest.approx(SIZE / CUTS, rel=0.1)
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


def test_both_limits_of_the_supply_are_honoured(task: PlanTask) -> None:  # noqa: F811
    """On a poor coat the voltage limit holds first, and the current limit in the end."""
    supply = replace(task.supply, voltage_limit=0.25, current_limit=0.3)
    bodies = tuple(
        replace(body, coat=even_coat(1000.0).laid_on(body.surface.centroids))
        if body.role is Role.PART
        else body
        for body in task.cell.bodies
    )
    plan = planned(replace(task, supply=supply, cell=replace(task.cell, bodies=bodies)))
    start = plan.start
    assert start is not None
    leads = supply.lead_resistance.best * start.covering.current
    at_supply = start.covering.voltage + leads
    assert at_supply.max() <= 0.25 + 1e-6
    assert at_supply.max() > 0.245  # 0.31 V without the limit
    assert start.covering.current.max() == pytest.approx(0.3, rel=1e-6)
    assert start.covering.time_of(0.99) < 3600
    assert all(entry.voltage_ceiling <= 0.25 for entry in start.table)
    assert all(entry.current <= 0.3 for entry in start.table)
    assert plan.voltage.total <= 0.25


def test_a_piece_that_no_wire_feeds_is_named_and_stays_bare() -> None:
    """One part of two blocks that are glued and count as one print, with one contact: no coat
    goes across the joint."""
    one = block(0.02, 4)
    other = one.vertices + np.array([0.02 + 0.8 * JOINED, 0.0, 0.0])
    both = TriangleMesh(
        vertices=np.concatenate([one.vertices, other]),
        triangles=np.concatenate([one.triangles, one.triangles + len(other)]),
    )
    pair = assembled(
        CellDescription(
            tank=BoxTank(inside=(0.24, 0.14, 0.18)),
            liquid_depth=0.14,
            anodes=(Plate(size=(0.08, 0.08), at=(-0.1, 0.0, 0.07)),),
            parts=(PlacedPart(surface=both, at=(0.0, 0.0, 0.07), coat=even_coat(10.0)),),
            contacts=(ContactSpec(near=(0.0, 0.0, 0.08), wire_diameter=8e-4),),
        ),
        panels=PanelBudget(vessel=300, anodes=200, wires=150, others=100),
    )
    bath = acid_sulfate(
        Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0, chloride=0.07),
        298.15,
        "gentle air",
    )
    metal = problem_of(pair, panels_of(pair), best_numbers(bath), 0.1)
    problem = coated_problem(pair, metal, bath)
    shell = problem.metal
    assert isinstance(shell, SeedShell)
    (name,) = shell.network.islands
    assert "island of 24 cm²" in name
    found = solve(problem, build_operators(problem.panels))
    part = problem.panels.group == [body.role for body in pair.bodies].index(Role.PART)
    far = part & (problem.panels.centroids[:, 0] > 0.01 + 0.4 * JOINED)
    assert np.abs(found.current_density[far]).max() == 0.0
    assert found.current_density[part & ~far].min() > 0.0
    assert found.supply_current == pytest.approx(0.1, rel=1e-6)
