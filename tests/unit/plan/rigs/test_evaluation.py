"""One rig's figures are the plan's, and what cannot be is a result with its reason."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from tankside.base.intervals import Interval
from tankside.cell.assembling import assembled
from tankside.cell.description import ContactSpec, PlacedPart
from tankside.plan.plan import Supply
from tankside.plan.planner import PlanTask, planned
from tankside.plan.rigs.evaluation import air_under, evaluated
from tankside.plan.rigs.figures import Bench, RigCase, RigFigures
from tankside.plan.rigs.rig import Rig, Turn, with_part_moved
from tests.unit.plan.conftest import block
from tests.unit.plan.rigs.conftest import FEW


def figures(rig: Rig, bench: Bench) -> RigFigures:
    result = evaluated(RigCase(rig=rig, bench=bench))
    assert result.figures is not None, result.refusal
    assert result.refusal == ""
    return result.figures


def refusal(rig: Rig, bench: Bench) -> str:
    result = evaluated(RigCase(rig=rig, bench=bench))
    assert result.figures is None
    return result.refusal


@pytest.fixture(scope="module")
def found(block_rig: Rig, bench: Bench) -> RigFigures:
    return figures(block_rig, bench)


def test_figures_are_the_plans(
    block_rig: Rig, bench: Bench, found: RigFigures, task: PlanTask
) -> None:
    cell = assembled(block_rig.description, panels=FEW)
    plan = planned(replace(task, cell=cell))
    assert found.current == pytest.approx(plan.current, rel=1e-6)
    assert found.voltage == pytest.approx(plan.voltage.total, rel=1e-6)
    assert found.mean_rate * plan.duration == pytest.approx(plan.thickness.mean, rel=1e-4)
    assert found.thinnest_rate * plan.duration == pytest.approx(plan.thickness.p05, rel=1e-4)
    assert found.thickest_rate * plan.duration == pytest.approx(plan.thickness.p95, rel=1e-4)
    assert found.copper_rate * plan.duration == pytest.approx(plan.copper_mass, rel=1e-4)
    assert found.part_copper_rate * plan.duration == pytest.approx(plan.copper_on_part, rel=1e-4)
    assert found.limited_by == plan.limited_by
    assert found.solved_panels == plan.panels


def test_the_current_that_the_person_gave_is_kept(block_rig: Rig, bench: Bench) -> None:
    own = replace(bench, goal=replace(bench.goal, current=0.3))
    assert figures(block_rig, own).current == pytest.approx(0.3)


def test_a_share_of_the_current_is_a_share(block_rig: Rig, bench: Bench, found: RigFigures) -> None:
    half = figures(replace(block_rig, current_share=0.5), bench)
    assert half.current == pytest.approx(found.current / 2, rel=1e-6)
    assert half.mean_rate == pytest.approx(found.mean_rate / 2, rel=0.02)
    # less current, more even
    assert half.thickest_rate / half.thinnest_rate < found.thickest_rate / found.thinnest_rate
    assert "50 %" in half.limited_by


def test_half_a_turn_evens_out_a_single_anode(block_rig: Rig, bench: Bench) -> None:
    description = block_rig.description
    one_sided = Rig(description=replace(description, anodes=description.anodes[:1]))
    still = figures(one_sided, bench)
    turned = figures(replace(one_sided, turn=Turn(after=0.5, angle=180.0)), bench)
    assert turned.mean_rate == pytest.approx(still.mean_rate, rel=0.01)
    assert turned.thinnest_rate > 1.02 * still.thinnest_rate
    assert turned.solved_panels == pytest.approx(2 * still.solved_panels, rel=0.05)


def test_several_parts_are_told_one_by_one_and_the_worst_counts(
    block_rig: Rig, bench: Bench
) -> None:
    description = block_rig.description
    near, far = (0.045, 0.0, 0.07), (-0.03, 0.0, 0.07)
    parts = tuple(PlacedPart(surface=block(cuts=5), at=at) for at in (near, far))
    contacts = tuple(
        ContactSpec(near=(at[0], 0.0, 0.085), wire_diameter=8e-4, part=number)
        for number, at in enumerate((near, far), 1)
    )
    both = Rig(description=replace(description, parts=parts, contacts=contacts))
    found = figures(both, replace(bench, air=(0.0, 0.0)))
    assert len(found.part_thinnest_rates) == 2
    assert found.thinnest_rate == min(found.part_thinnest_rates)
    assert found.part_thinnest_rates[0] != pytest.approx(found.part_thinnest_rates[1], rel=1e-3)


def test_trapped_air_is_a_reason_with_its_volume(cup_rig: Rig, bench: Bench) -> None:
    over = Rotation.from_euler("x", 180, degrees=True)
    turned = with_part_moved(cup_rig.description, 1, over, np.array([0.0, 0.0, 0.07]))
    upside_down = Rig(description=turned)
    said = refusal(upside_down, bench)
    # 30 x 30 x 35 mm
    assert "part 1 would trap 3" in said
    assert "mL of air" in said
    (air,) = air_under(turned)
    assert air == pytest.approx(31.5e-6, rel=0.05)
    assert refusal(upside_down, replace(bench, air=(0.5 * air,))) == said


def test_air_that_the_own_rig_traps_already_is_borne(cup_rig: Rig, bench: Bench) -> None:
    over = Rotation.from_euler("x", 180, degrees=True)
    turned = with_part_moved(cup_rig.description, 1, over, np.array([0.0, 0.0, 0.07]))
    contacts = (replace(turned.contacts[0], near=(0.0, 0.0, 0.09)),)
    held = replace(turned, contacts=contacts)
    assert figures(Rig(description=held), replace(bench, air=air_under(held))).mean_rate > 0


def test_a_print_that_air_lifts_is_refused(cup_rig: Rig, bench: Bench) -> None:
    over = Rotation.from_euler("x", 180, degrees=True)
    turned = with_part_moved(cup_rig.description, 1, over, np.array([0.0, 0.0, 0.07]))
    # 32.5 mL of material; heavier than the bath it displaces, lighter with the air
    light = tuple(replace(part, mass=0.045) for part in turned.parts)
    borne = replace(bench, air=air_under(turned))
    assert "would float on the 3" in refusal(Rig(description=replace(turned, parts=light)), borne)


@pytest.mark.parametrize(
    ("at", "says"),
    [
        ((0.0, 0.0, 0.13), "above the liquid"),
        ((0.1, 0.0, 0.07), "overlaps"),
        ((0.0, 0.07, 0.07), "beyond the tank's wall"),
        ((0.0, 0.0, 0.01), "through the tank's floor"),
        ((0.0832, 0.0, 0.07), "stands only"),
    ],
)
def test_what_cannot_hang_is_a_result_with_its_sentence(
    block_rig: Rig, bench: Bench, at: tuple[float, float, float], says: str
) -> None:
    part = replace(block_rig.description.parts[0], at=at)
    contact = replace(block_rig.description.contacts[0], near=(at[0], at[1], at[2] + 0.01))
    rig = Rig(description=replace(block_rig.description, parts=(part,), contacts=(contact,)))
    assert says in refusal(rig, bench)


def test_a_current_beyond_the_supply_is_a_result(block_rig: Rig, bench: Bench) -> None:
    small = Supply(current_limit=1.0, voltage_limit=8.0, lead_resistance=Interval.exact(0.0))
    asked = replace(bench, supply=small, goal=replace(bench.goal, current=2.0))
    assert "more than the supply's limit of 1 A" in refusal(block_rig, asked)
