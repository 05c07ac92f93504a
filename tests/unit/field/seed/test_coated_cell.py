"""A coated box in the tests' tank: limits of the coat, of the supply and of places; growth."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, NotConverged
from tankside.base.intervals import Interval
from tankside.field.deposit import Segment, StepControl
from tankside.field.growth import grow
from tankside.field.newton import Accuracy, PreconditionerMemory
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem, FieldSolution
from tankside.field.ruling import Rule, ruled
from tankside.field.seed.alone import settled_alone
from tankside.field.seed.coat import Coat, DepositConduction, even_coat
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.front import Covering, FrontWatch
from tankside.field.seed.one_way import OneWay
from tankside.field.seed.ramp import (
    GROWTH_ACCURACY,
    ceilings,
    full_field,
    held_by_table,
    knob_table,
)
from tankside.field.seed.shell import SeedShell, seed_shell
from tankside.field.sensitivity import sensitivities
from tankside.field.solve import solve
from tankside.field.variations import of_conductivity

COPPER = DepositConduction(resistivity=1.8e-8, film_length=1e-7)
TOP = ShellContact(name="the wire", position=np.array([0.105, 0.04, 0.08]), radius=4e-3)
LIMIT = 500.0
FIRST = StepControl(first_step=0.1)


def coated(problem: FieldProblem, sheet_resistance: float | Floats) -> FieldProblem:
    part = problem.panels.group == 1
    values = np.where(part, sheet_resistance, np.nan)
    shell = seed_shell(problem.panels, Coat(sheet_resistance=values), (TOP,), COPPER)
    electrodes = tuple(
        entry if entry.anode else replace(entry, law=OneWay(law=entry.law))
        for entry in problem.electrodes
    )
    return replace(problem, metal=shell, insulated=shell.insulated, electrodes=electrodes)


@pytest.fixture(scope="module")
def memory(tank_operators: Operators) -> PreconditionerMemory:
    return PreconditionerMemory(tank_operators)


@pytest.mark.parametrize("sheet_resistance", [1e-3, 1.0, 100.0, 1e3, 1e4])
@pytest.mark.parametrize("volts", [0.3, 3.0])
def test_any_coat_settles_and_conserves(
    tank_problem: FieldProblem,
    tank_operators: Operators,
    memory: PreconditionerMemory,
    sheet_resistance: float,
    volts: float,
) -> None:
    problem = coated(tank_problem, sheet_resistance)
    held = replace(problem, total_current=10.0, voltage_limit=volts)
    found = solve(held, tank_operators, memory=memory)
    assert found.charge_balance <= 1e-6
    assert found.supply_current <= 10.0 * (1 + 1e-6)
    assert found.cell_voltage <= volts * (1 + 1e-6)
    load = max(found.supply_current / 10.0, found.cell_voltage / volts)
    assert load == pytest.approx(1.0, rel=1e-6)
    assert isinstance(problem.metal, SeedShell)
    fed = problem.metal.contact_currents(found.current_density).sum()
    assert fed == pytest.approx(found.group_current[1], rel=1e-9)


def test_a_current_that_is_held_through_a_poor_coat(
    tank_problem: FieldProblem, tank_operators: Operators, memory: PreconditionerMemory
) -> None:
    problem = replace(coated(tank_problem, 1e3), total_current=0.02)
    found = solve(problem, tank_operators, memory=memory)
    assert found.supply_current == pytest.approx(0.02, rel=1e-6)


def test_a_good_coat_is_metal(tank_problem: FieldProblem, tank_operators: Operators) -> None:
    metal = solve(tank_problem, tank_operators)
    coat = solve(coated(tank_problem, 1e-7), tank_operators)
    np.testing.assert_allclose(coat.current_density, metal.current_density, rtol=1e-4, atol=1e-3)


def test_a_poor_coat_is_plated_around_the_wire_only(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    problem = coated(tank_problem, 1e6)
    held = replace(problem, total_current=inf, voltage_limit=0.3)
    found = solve(held, tank_operators)
    panels = tank_problem.panels
    part = panels.group == 1
    currents = panels.areas * found.current_density
    assert isinstance(problem.metal, SeedShell)
    under = problem.metal.network.panels[problem.metal.network.under[0]]
    assert currents[under].sum() > 0.97 * currents[part].sum()


@pytest.mark.parametrize("sheet_resistance", [1.0, 100.0, 1e3])
def test_a_local_ceiling_is_met_and_not_passed(
    tank_problem: FieldProblem,
    tank_operators: Operators,
    memory: PreconditionerMemory,
    sheet_resistance: float,
) -> None:
    problem = coated(tank_problem, sheet_resistance)
    part = problem.panels.group == 1
    ceiling = np.where(part, 0.3 * LIMIT, inf)
    limited = replace(problem, total_current=5.0, voltage_limit=8.0, local_ceiling=ceiling)
    found = solve(limited, tank_operators, memory=memory)
    assert found.ceiling_panel is not None
    assert (found.current_density / ceiling)[part].max() == pytest.approx(1.0, rel=1e-5)
    assert found.supply_current < 5.0
    free = replace(limited, total_current=0.5 * found.supply_current)
    other = solve(free, tank_operators, found, memory=memory)
    assert other.ceiling_panel is None
    assert other.supply_current == pytest.approx(free.total_current, rel=1e-6)


def test_a_ceiling_that_is_not_met_at_once_is_closed_in_on_by_voltages(
    tank_problem: FieldProblem, tank_operators: Operators, memory: PreconditionerMemory
) -> None:
    problem = coated(tank_problem, 100.0)
    part = problem.panels.group == 1
    problem = replace(problem, total_current=5.0, local_ceiling=np.where(part, 0.3 * LIMIT, inf))
    asked: list[Rule] = []

    def settle(rule: Rule, start: FieldSolution | None) -> FieldSolution:
        asked.append(rule)
        if rule.panel is not None and start is None:
            raise NotConverged("a cold start", residual=1.0, iterations=1)
        held = problem
        if rule.voltage is not None:
            held = replace(problem, local_ceiling=None, voltage_limit=rule.voltage)
        return solve(held, tank_operators, start, memory=memory)

    found = ruled(problem, None, settle)
    direct = solve(problem, tank_operators, memory=memory)
    assert found.supply_current == pytest.approx(direct.supply_current, rel=1e-4)
    assert asked[0].panel is not None
    assert [rule.voltage for rule in asked[1:-1]] == pytest.approx(
        [rule.voltage for rule in asked[1:-1] if rule.voltage]
    )
    with pytest.raises(NotConverged, match="a cold start"):
        ruled(replace(problem, voltage_limit=None), None, _never)


def _never(rule: Rule, start: FieldSolution | None) -> FieldSolution:
    raise NotConverged("a cold start", residual=1.0, iterations=1)


def test_ceilings_hold_on_solid_metal_too(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    part = tank_problem.panels.group == 1
    ceiling = np.where(part, 100.0, inf)
    found = solve(replace(tank_problem, local_ceiling=ceiling), tank_operators)
    assert found.current_density[part].max() == pytest.approx(100.0, rel=1e-5)


def test_bare_places_take_no_current(tank_problem: FieldProblem, tank_operators: Operators) -> None:
    low = tank_problem.panels.centroids[:, 2] < 0.055
    problem = coated(tank_problem, np.where(low, inf, 10.0))
    found = solve(replace(problem, total_current=0.2), tank_operators)
    part = tank_problem.panels.group == 1
    assert np.abs(found.current_density[part & low]).max() == 0.0
    assert found.current_density[part & ~low].min() > 0.0
    assert found.supply_current == pytest.approx(0.2, rel=1e-6)
    assert np.isnan(found.metal_potential[part & low]).all()


@pytest.mark.parametrize("sheet_resistance", [1.0, 1e5])
def test_the_coat_alone_settles_from_anywhere(
    tank_problem: FieldProblem, sheet_resistance: float
) -> None:
    problem = coated(tank_problem, sheet_resistance)
    areas = problem.panels.areas
    for bar in (-0.05, -2.0, -12.0):
        found = settled_alone(problem, bar=bar)
        np.testing.assert_allclose(
            problem.metal.drop(found.current_density), found.drop, atol=1e-6 * abs(bar)
        )
        part = problem.panels.group == 1
        np.testing.assert_allclose(found.overpotential[part], bar + found.drop[part])
    total = settled_alone(problem, total_current=0.1)
    assert areas @ total.current_density == pytest.approx(0.1, rel=1e-6)


@pytest.fixture(scope="module")
def full(tank_problem: FieldProblem, tank_operators: Operators) -> FieldSolution:
    return full_field(tank_problem, tank_operators)


Start = tuple[FieldProblem, Covering, Floats]


def started(
    tank_problem: FieldProblem,
    operators: Operators,
    full: FieldSolution,
    sheet_resistance: float,
) -> Start:
    problem = coated(tank_problem, sheet_resistance)
    part = problem.panels.group == 1
    ceiling = ceilings(full, part, LIMIT, 0.5)
    assert isinstance(problem.metal, SeedShell)
    watch = FrontWatch(problem.metal)
    current = tank_problem.total_current
    growth = grow(
        replace(problem, local_ceiling=ceiling),
        [Segment(duration=600.0, current=current)],
        operators,
        control=FIRST,
        accuracy=GROWTH_ACCURACY,
        watch=watch,
    )
    assert growth.charge_balance <= 1e-6
    assert growth.mass_balance <= 1e-6
    return problem, watch.covering(), ceiling


@pytest.mark.parametrize("sheet_resistance", [100.0])
def test_a_ramp_covers_the_part_and_its_table_holds(
    tank_problem: FieldProblem,
    tank_operators: Operators,
    full: FieldSolution,
    sheet_resistance: float,
) -> None:
    problem, covering, ceiling = started(tank_problem, tank_operators, full, sheet_resistance)
    part = problem.panels.group == 1
    assert np.isnan(covering.covered_at[~part]).all()
    assert np.isfinite(covering.covered_at[part]).all()
    shares = [covering.covered_share(t) for t in (0.0, 100.0, 200.0, 300.0, 600.0)]
    assert shares == sorted(shares)
    assert (shares[0], shares[-1]) == (0.0, 1.0)
    assert covering.covered_share(covering.time_of(0.5)) == pytest.approx(0.5, abs=0.05)
    assert covering.current[-1] == pytest.approx(tank_problem.total_current, rel=1e-6)
    assert covering.worst_fraction[part].max() <= 1.06 * max(0.5, full.fraction_of_limit.max())
    (collar,) = covering.collars
    assert collar.largest_current == pytest.approx(tank_problem.total_current, rel=0.05)
    assert collar.burning_time == 0.0
    assert collar.largest_heat > 0.0
    table = knob_table(covering, tank_problem.total_current)
    assert 1 < len(table) <= 12
    currents = [entry.current for entry in table]
    assert currents == sorted(currents)
    assert currents[0] <= covering.current[0]
    assert currents[-1] >= 0.94 * tank_problem.total_current
    assert all(entry.duration >= 10.0 for entry in table[:-1])
    check = held_by_table(
        problem,
        table,
        tank_operators,
        ceiling=ceiling,
        coat=part,
        covering_thickness=covering.covering_thickness,
        control=FIRST,
    )
    assert check.largest_load <= 1.02


def test_full_current_at_once_burns_the_collar(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    problem = replace(coated(tank_problem, 100.0), voltage_limit=3.0)
    assert isinstance(problem.metal, SeedShell)
    watch = FrontWatch(problem.metal)
    current = tank_problem.total_current
    grow(
        problem,
        [Segment(duration=5.0, current=current)],
        tank_operators,
        control=FIRST,
        accuracy=GROWTH_ACCURACY,
        watch=watch,
    )
    (collar,) = watch.covering().collars
    assert collar.risk == "burns"
    assert collar.burning_time > 0.0
    assert collar.temperature_rise.low < collar.temperature_rise.best


def test_a_growth_ends_where_it_has_reached_its_goal(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    part = tank_problem.panels.group == 1
    areas = tank_problem.panels.areas[part]

    def reached(thickness: Floats) -> float:
        return float(np.average(thickness[part], weights=areas)) / 5e-6

    recipe = [Segment(duration=1e6, current=tank_problem.total_current)]
    told: list[tuple[str, float]] = []
    for problem in (tank_problem, coated(tank_problem, 1.0)):
        told.clear()
        growth = grow(
            problem,
            recipe,
            tank_operators,
            lambda stage, share: told.append((stage, share)),
            control=FIRST,
            reached=reached,
        )
        assert reached(growth.thickness) == pytest.approx(1.0, rel=1e-9)
        assert growth.duration == pytest.approx(
            5e-6 / 200.0 / 3.6753e-11, rel=0.01
        )  # Faraday's law at 200 A/m²
        assert growth.charge == pytest.approx(
            growth.duration * tank_problem.total_current, rel=1e-6
        )
    # told by the goal: by the recipe's million seconds it would stand near nought until its end
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    assert 0.3 < shares[-2] < shares[-1] == 1.0
    assert {stage for stage, _ in told} == {"growing the deposit over the coat"}


def test_nothing_dissolves_off_a_coat(
    tank_problem: FieldProblem, tank_operators: Operators, memory: PreconditionerMemory
) -> None:
    """While the wire burns, the coat's far end is driven as an anode."""
    problem = coated(tank_problem, 100.0)
    held = replace(problem, total_current=10.0, voltage_limit=3.0)
    found = solve(held, tank_operators, memory=memory)
    part = problem.panels.group == 1
    assert found.overpotential[part].max() > 0.02
    assert found.current_density[part].min() > -1e-3
    law = problem.electrodes[0].law
    eta = np.array([-0.3, -0.01, 0.01, 0.3])
    step = 1e-6
    numeric = (law.current_density(eta + step) - law.current_density(eta - step)) / (2 * step)
    np.testing.assert_allclose(law.slope(eta), numeric, rtol=1e-5)
    assert law.limit == LIMIT


def test_sensitivities_of_a_coated_cell_are_those_of_solving_again(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    """Also where a local ceiling rules."""
    tight = Accuracy(residual=1e-9, charge_balance=1e-10)
    part = tank_problem.panels.group == 1
    coat = replace(coated(tank_problem, 10.0), total_current=0.3)
    ceiling = replace(coat, total_current=5.0, local_ceiling=np.where(part, 150.0, inf))
    variation = of_conductivity(Interval.about(50.0, 0.1))
    for problem in (coat, ceiling):
        found = solve(problem, tank_operators, accuracy=tight)
        (sensitivity,) = sensitivities(found, tank_operators, [variation])
        high, low = (
            solve(variation.varied(problem, x), tank_operators, found, accuracy=tight)
            for x in (4e-3, -4e-3)
        )
        slope = (high.current_density - low.current_density) / 8e-3
        scale = np.abs(slope).max()
        np.testing.assert_allclose(sensitivity.current_density, slope, atol=2e-3 * scale)
        volts = (high.cell_voltage - low.cell_voltage) / 8e-3
        assert sensitivity.cell_voltage == pytest.approx(volts, rel=2e-3)
        current = (high.supply_current - low.supply_current) / 8e-3
        assert sensitivity.supply_current == pytest.approx(current, rel=2e-3, abs=1e-6)


def test_refusals(tank_problem: FieldProblem, full: FieldSolution) -> None:
    part = tank_problem.panels.group == 1
    shell = coated(tank_problem, 1.0).metal
    assert isinstance(shell, SeedShell)
    with pytest.raises(BadInput, match="between 0 and 1"):
        ceilings(full, part, LIMIT, 1.5)
    with pytest.raises(BadInput, match="thickness that covers"):
        FrontWatch(shell, 0.0)
    with pytest.raises(BadInput, match="no growth was watched"):
        FrontWatch(shell).covering()
    assert even_coat(part, 2.0).coated.sum() == part.sum()
