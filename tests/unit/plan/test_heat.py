"""The heat balance sees the tank as it is."""

import pytest

from tankside.plan.heat import heat_balance, tank_shell
from tankside.plan.plan import Surroundings
from tankside.plan.planner import PlanTask


def test_the_shell_is_the_tanks(task: PlanTask) -> None:
    shell = tank_shell(task.cell, task.electrolyte, covered=False)
    assert shell.surface_area == pytest.approx(0.24 * 0.14, rel=1e-9)
    assert shell.wall_area == pytest.approx(0.24 * 0.14 + 0.14 * 2 * (0.24 + 0.14), rel=1e-9)
    assert shell.liquid_mass == pytest.approx(
        task.electrolyte.density.best * task.cell.solution_volume
    )


def test_warming_up_takes_mass_times_heat_capacity(task: PlanTask) -> None:
    balance = heat_balance(
        task.cell, task.electrolyte, Surroundings(), current=1.0, voltage=2.0, duration=3600.0
    )
    mass = task.electrolyte.density.best * task.cell.solution_volume
    expected = mass * task.electrolyte.heat_capacity.best * (298.15 - 293.15)
    assert balance.warm_up_energy == pytest.approx(expected)
    assert balance.ohmic_power == pytest.approx(2.0)
    assert balance.holding_power.best == pytest.approx(balance.loss.best - 2.0)


def test_a_lid_saves_water_and_heat(task: PlanTask) -> None:
    kept = [
        heat_balance(
            task.cell,
            task.electrolyte,
            Surroundings(covered=covered),
            current=1.0,
            voltage=1.0,
            duration=3600.0,
        )
        for covered in (False, True)
    ]
    assert kept[1].water_lost.best == pytest.approx(0.1 * kept[0].water_lost.best)
    assert kept[1].loss.best < kept[0].loss.best
