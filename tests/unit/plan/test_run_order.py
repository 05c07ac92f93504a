"""A plan as a run: settings, expected volts, beliefs, for a metal part and for a coated one."""

from pathlib import Path

import numpy as np
import pytest

from tankside.app.plan_a_job import PlanRequest, plan_a_job
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.plan.plan import Plan
from tankside.plan.run_order import believed_of, expected_of, recipe_of
from tankside.storage.local_files import LocalFiles
from tests.faces.conftest import JOB, block_stl

COATED = JOB.replace('surface = "metal"', 'seed = { sheet_resistance = "30 ohm" }')


@pytest.fixture(scope="module", params=[JOB, COATED], ids=["metal", "coated"])
def plan(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Plan:
    folder: Path = tmp_path_factory.mktemp("job")
    (folder / "block.stl").write_bytes(block_stl())
    asked = PlanRequest(job_text=request.param, job_name="job.toml", files=LocalFiles(folder))
    return plan_a_job(asked).plan


def test_the_settings_lay_down_the_plans_charge(plan: Plan) -> None:
    recipe = recipe_of(plan, 8.0)
    assert recipe.expected_charge == pytest.approx(plan.charge, rel=1e-9)
    assert recipe.settings[-1].current == plan.current
    assert recipe.highest_current == plan.current
    assert recipe.highest_voltage <= 8.0
    currents = [one.current for one in recipe.settings]
    assert currents == sorted(currents)
    assert (len(currents) > 1) == (plan.start is not None)


def test_ceilings_never_pass_the_supplys(plan: Plan) -> None:
    assert recipe_of(plan, 0.25).highest_voltage <= 0.25


def test_the_expected_voltage_is_the_plans_at_the_plans_current(plan: Plan) -> None:
    expected = expected_of(plan)
    volts = expected.voltage_at(plan.current, plan.charge)
    assert volts == pytest.approx(plan.voltage.total, rel=0.02)
    rising = [expected.voltage_at(share * plan.current, plan.charge) for share in (0.1, 0.5, 1.2)]
    assert rising == sorted(rising)


def test_a_coats_resistance_fades(plan: Plan) -> None:
    expected = expected_of(plan)
    early = expected.voltage_at(0.2 * plan.current, 0.0)
    late = expected.voltage_at(0.2 * plan.current, plan.charge)
    if plan.start is None:
        assert early == late
        return
    assert early > 1.5 * late
    assert (np.diff(expected.voltage[:, 5]) <= 1e-12).all()
    covering = plan.start.covering
    for k in (1, len(covering.times) // 4):
        volts = expected.voltage_at(float(covering.current[k]), float(covering.charge[k]))
        assert volts == pytest.approx(float(covering.voltage[k]), rel=0.3)


def test_what_is_believed_is_the_plans_own(plan: Plan) -> None:
    believed = believed_of(plan)
    mass = plan.charge * COPPER_PER_CHARGE_KG_PER_C * believed.efficiency.best * believed.share.best
    assert mass == pytest.approx(plan.copper_on_part, rel=1e-3)
    thick = mass / (believed.area.best * believed.density.best)
    assert thick == pytest.approx(plan.thickness.mean, rel=1e-3)
