"""A plan keeps the laws that tie its numbers together, and answers to what it is asked."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.composition import Composition
from tankside.cell.assembling import assembled
from tankside.cell.bodies import Role
from tankside.cell.description import PanelBudget, Plate
from tankside.plan.current import ROUGH_AREA_ALLOWED, ROUGH_FROM
from tankside.plan.plan import MeasuredAt, Plan, Supply
from tankside.plan.planner import PlanTask, planned
from tests.unit.plan.conftest import SIZE, with_goal

# 1.1855 g/Ah: Faraday's law with CODATA constants and M(Cu) = 63.546 g/mol
GRAMS_PER_AMPERE_HOUR = 63.546 * 3600 / (2 * 96485.33212)


@pytest.fixture(scope="module")
def plan(task: PlanTask) -> Plan:
    return planned(task)


def test_the_mean_is_the_goal(plan: Plan) -> None:
    assert plan.thickness.mean == pytest.approx(120e-6, rel=1e-6)


def test_mass_follows_faraday(plan: Plan) -> None:
    amp_hours = plan.current * plan.duration / 3600
    assert plan.charge == pytest.approx(plan.current * plan.duration, rel=1e-6)
    assert 1e3 * plan.copper_mass == pytest.approx(GRAMS_PER_AMPERE_HOUR * amp_hours, rel=1e-4)


def test_part_wires_and_thieves_share_all_copper(plan: Plan) -> None:
    on_wires = sum(wire.copper_gained for wire in plan.wires)
    assert plan.copper_on_part + on_wires == pytest.approx(plan.copper_mass, rel=1e-9)


def test_the_area_is_the_blocks(plan: Plan) -> None:
    assert plan.part_area == pytest.approx(6 * SIZE**2, rel=1e-9)


def test_part_mass_is_area_times_thickness_times_density(plan: Plan) -> None:
    mass = plan.part_area * plan.thickness.mean * 8960.0
    assert plan.copper_on_part == pytest.approx(mass, rel=1e-6)


def test_the_voltage_adds_up(plan: Plan) -> None:
    split = plan.voltage
    parts = (split.anode, split.solution, split.cathode, split.leads)
    assert min(parts) > 0
    assert sum(parts) == pytest.approx(split.total, rel=1e-9)
    assert plan.voltage.total in plan.voltage_interval


def test_equal_anodes_share_equally_and_give_all(plan: Plan) -> None:
    currents = [anode.current for anode in plan.anodes]
    assert currents[0] == pytest.approx(currents[1], rel=2e-3)
    assert sum(currents) == pytest.approx(plan.current, rel=1e-6)


def test_balances_close(plan: Plan) -> None:
    assert plan.balances.charge_balance < 1e-6
    assert plan.balances.mass_balance < 1e-6
    assert plan.balances.closure < 5e-4


def test_edges_get_more_than_faces(plan: Plan) -> None:
    part = next(result for result in plan.results if result.body.role is Role.PART)
    height = np.abs(part.body.surface.centroids - np.array([0, 0, 0.07]))
    edge = np.sort(height, axis=1)[:, 1] > 0.8 * SIZE / 2
    middle = np.sort(height, axis=1)[:, 1] < 0.3 * SIZE / 2
    assert part.thickness[edge].mean() > 1.05 * part.thickness[middle].mean()


def test_the_chosen_current_stands_at_the_onset_of_roughness(plan: Plan) -> None:
    assert "roughen" in plan.limited_by
    part = next(result for result in plan.results if result.body.role is Role.PART)
    areas = part.body.surface.areas
    share = areas[part.fraction_of_limit > 1.02 * ROUGH_FROM].sum() / areas.sum()
    assert share <= ROUGH_AREA_ALLOWED + areas.max() / areas.sum()
    assert plan.burning_area_fraction == 0.0


def test_intervals_hold_the_best_guess_and_thin_places_are_less_sure(plan: Plan) -> None:
    mean, least = plan.thickness_mean_interval, plan.thickness_minimum_interval
    assert plan.thickness.mean in mean
    assert plan.thickness.minimum in least
    assert 0.01 < mean.relative_spread < least.relative_spread < 0.6


def test_the_thinnest_five_percent_can_be_the_goal(task: PlanTask, plan: Plan) -> None:
    asked = planned(
        with_goal(task, measured_at=MeasuredAt.THINNEST_5_PERCENT, current=plan.current)
    )
    assert asked.thickness.p05 == pytest.approx(120e-6, rel=1e-6)
    assert asked.duration > plan.duration


def test_hours_follow_the_goal_and_the_current(task: PlanTask, plan: Plan) -> None:
    asked = planned(with_goal(task, thickness=60e-6, current=plan.current / 2))
    # half the thickness at half the current: the same hours, but for hydrogen and the wire's share
    assert asked.duration == pytest.approx(plan.duration, rel=0.02)
    # lower current, more even: Wagner's number is higher and the thinnest place gains
    assert asked.wagner_number > plan.wagner_number
    assert (
        asked.thickness.minimum / asked.thickness.mean
        > plan.thickness.minimum / plan.thickness.mean
    )


def test_a_current_density_is_over_all_that_plates(task: PlanTask, plan: Plan) -> None:
    asked = planned(with_goal(task, current_density=50.0))
    assert asked.current == pytest.approx(50.0 * plan.cathode_area, rel=1e-9)


def test_a_small_supply_sets_the_current(task: PlanTask) -> None:
    small = replace(
        task,
        supply=Supply(current_limit=0.2, voltage_limit=8.0, lead_resistance=Interval.exact(0.0)),
    )
    plan = planned(small)
    assert "0.2 A" in plan.limited_by
    assert plan.current == pytest.approx(0.2, rel=0.02)
    assert plan.current <= 0.2


def test_a_current_beyond_the_supply_is_refused(task: PlanTask) -> None:
    with pytest.raises(Impossible, match="9 A is more than the supply's limit of 5 A"):
        planned(with_goal(task, current=9.0))


def test_a_voltage_beyond_the_supply_is_refused(task: PlanTask) -> None:
    weak = Supply(current_limit=5.0, voltage_limit=0.2, lead_resistance=Interval.exact(0.05))
    with pytest.raises(Impossible, match=r"needs .* V, more than the supply's limit of 0\.2 V"):
        planned(replace(with_goal(task, current=3.0), supply=weak))


def test_far_beyond_the_copper_limit_the_part_burns(task: PlanTask) -> None:
    plan = planned(with_goal(task, current=4.0))
    assert plan.burning_area_fraction > 0.5
    assert "above what is advised" in plan.limited_by
    assert 1e3 * plan.copper_mass < 0.98 * GRAMS_PER_AMPERE_HOUR * plan.charge / 3600
    assert any("hydrogen" in caution for caution in plan.cautions)
    part = next(result for result in plan.results if result.body.role is Role.PART)
    assert part.fraction_of_limit.max() > 1.0


def test_the_sheet_has_cautions_assumptions_and_sources(plan: Plan) -> None:
    assert any("drain" in caution for caution in plan.cautions)
    assert any("Roughness and adhesion" in text for text in plan.assumptions)
    assert "newman2004" in plan.sources


def test_a_face_that_current_hardly_reaches_is_warned_of(task: PlanTask, plan: Plan) -> None:
    """In a bath of little acid, a sheet of plastic stands before the face that no anode faces."""
    assert not [text for text in plan.warnings if "third of the mean" in text]
    description = task.cell.description
    sheet = Plate(size=(0.06, 0.06), thickness=0.002, at=(0.0175, 0.0, 0.07), facing=(1, 0, 0))
    hidden = assembled(
        replace(description, anodes=description.anodes[:1], shields=(sheet,)),
        panels=PanelBudget(vessel=500, anodes=500, wires=200, others=400),
    )
    weak = Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=20.0, chloride=0.07)
    bath = acid_sulfate(weak, 298.15, "gentle air")
    (warning,) = planned(replace(task, cell=hidden, electrolyte=bath)).warnings
    share = float(warning.split(" %")[0])
    assert 5 < share < 100 / 6
    assert "the least about (1.5, " in warning
