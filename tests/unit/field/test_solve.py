"""The solver: laws that every solution obeys, the supply's limits, the metal's drop, failures."""

from collections.abc import Callable
from dataclasses import replace
from math import inf
from typing import Any

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, Cancelled, NotConverged
from tankside.field.dense import dense_operators
from tankside.field.kinetics import CopperCathode, LinearPolarisation, fixed_potential
from tankside.field.newton import Accuracy, PreconditionerMemory
from tankside.field.numbers import voltage_split, wagner_number_of
from tankside.field.operators import Operators, Preconditioner
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, FieldProblem, FieldSolution
from tankside.field.solve import solve
from tankside.field.start import start_along, start_from
from tankside.field.system import BoundarySystem, State
from tankside.validation.closed_shapes import box, sphere, turned

TIGHT = Accuracy(residual=1e-9, charge_balance=1e-11)


class ContactResistance:
    """The whole cathode behind one resistance [ohm]."""

    def __init__(self, problem: FieldProblem, resistance: float) -> None:
        self.cathode, self.resistance = problem.panels_of(anode=False), resistance
        self.areas = problem.panels.areas

    def drop(self, current_density: Floats) -> Floats:
        current = float((self.areas * current_density)[self.cathode].sum())
        return np.where(self.cathode, self.resistance * current, 0.0)

    def reacting(self, response: Floats) -> Callable[[Floats], Floats]:
        weakened = 1.0 + self.resistance * float((self.areas * response)[self.cathode].sum())
        return lambda current_density: self.drop(current_density) / weakened

    def grown(self, thickness: Floats) -> "ContactResistance":
        return self


@pytest.fixture(scope="module")
def solution(tank_problem: FieldProblem, tank_operators: Operators) -> FieldSolution:
    return solve(tank_problem, tank_operators)


def test_holds_the_current_and_the_balance(solution: FieldSolution) -> None:
    asked = solution.problem.total_current
    assert solution.supply_current == pytest.approx(asked, rel=1e-6)
    assert solution.charge_balance <= 1e-6
    assert solution.group_current[1] == pytest.approx(asked, rel=1e-6)
    assert solution.group_current[2] == pytest.approx(-asked, rel=1e-6)
    assert not solution.voltage_limited


def test_obeys_the_rate_laws_exactly(solution: FieldSolution) -> None:
    for electrode in solution.problem.electrodes:
        members = solution.problem.panels.group == electrode.group
        expected = electrode.law.current_density(solution.overpotential[members])
        np.testing.assert_allclose(
            solution.current_density[members], expected, rtol=1e-9, atol=1e-9
        )


def test_insulators_carry_nothing_and_have_no_metal(solution: FieldSolution) -> None:
    walls = solution.problem.panels.group == 0
    assert (solution.current_density[walls] == 0).all()
    assert np.isnan(solution.metal_potential[walls]).all()
    assert np.isfinite(solution.potential[walls]).all()


def test_signs(solution: FieldSolution) -> None:
    part, anode = (solution.problem.panels.group == group for group in (1, 2))
    assert (solution.current_density[part] > 0).all()
    assert (solution.current_density[anode] < 0).all()
    assert (solution.overpotential[part] < 0).all()
    assert (solution.overpotential[anode] > 0).all()
    assert solution.cathode_potential < 0 < solution.cell_voltage
    assert (solution.metal_potential[anode] == 0).all()


def test_potential_lies_between_those_at_the_electrodes(solution: FieldSolution) -> None:
    """The maximum principle: walls are nowhere beyond the electrodes' extremes."""
    walls = solution.problem.panels.group == 0
    low, high = (getattr(solution.potential[~walls], end)() for end in ("min", "max"))
    slack = 0.02 * (high - low)
    assert solution.potential[walls].min() >= low - slack
    assert solution.potential[walls].max() <= high + slack


def test_the_boundary_equation_holds(solution: FieldSolution, tank_operators: Operators) -> None:
    """Written out anew with the operators and with what the leak adds on the anode."""
    problem = solution.problem
    anode = problem.panels_of(anode=True)
    added = -solution.leak * solution.supply_current / problem.panels.areas[anode].sum()
    flux = (solution.current_density + added * anode) / problem.conductivity
    missed = solution.potential / 2 + tank_operators.applied(flux, solution.potential)
    rms = float(np.sqrt(np.mean(missed**2)))
    assert rms == pytest.approx(solution.residual * solution.cell_voltage, rel=1e-3)
    assert solution.residual <= 1e-5


def test_voltage_split_adds_up(solution: FieldSolution) -> None:
    split = voltage_split(solution)
    assert split.total == pytest.approx(solution.cell_voltage, rel=1e-12)
    assert min(split.anode, split.solution, split.cathode) > 0
    assert split.metal == 0


def test_solution_drop_is_the_power_lost_there(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    """With electrodes of next to no polarisation it is all of the voltage."""
    law = fixed_potential(conductivity=50.0, length=0.04)
    electrodes = tuple(replace(e, law=law) for e in tank_problem.electrodes)
    primary = solve(replace(tank_problem, electrodes=electrodes), tank_operators)
    split = voltage_split(primary)
    assert split.solution == pytest.approx(primary.cell_voltage, rel=1e-4)
    assert any("near the primary limit" in warning for warning in primary.warnings)
    assert wagner_number_of(primary) < 1e-4


def test_operators_are_built_where_none_are_given(solution: FieldSolution) -> None:
    again = solve(solution.problem)
    np.testing.assert_allclose(again.current_density, solution.current_density, rtol=0, atol=0.5)


@pytest.mark.parametrize("current", [1e-6, 1.0, 100.0, 400.0, 499.0, 600.0, 3000.0])
def test_every_current_has_an_answer(
    tank_problem: FieldProblem, tank_operators: Operators, current: float
) -> None:
    """From next to nothing, through copper's limit of 500 A/m², far into hydrogen."""
    area = tank_problem.total_current / 200.0
    problem = replace(tank_problem, total_current=current * area)
    solution = solve(problem, tank_operators)
    part = problem.panels.group == 1
    assert solution.supply_current == pytest.approx(current * area, rel=1e-6)
    assert solution.charge_balance <= 1e-6
    assert solution.copper_current_density[part].max() <= 500.0 * (1 + 1e-12)
    assert solution.newton_iterations <= 8
    hydrogen = solution.current_density[part] - solution.copper_current_density[part]
    assert (hydrogen >= -1e-9).all()
    if current > 500:
        lost = np.average(hydrogen, weights=problem.panels.areas[part])
        assert lost >= current - 500.0 - 1e-3


def test_small_currents_scale(tank_problem: FieldProblem, tank_operators: Operators) -> None:
    """Far below the exchange current every law is linear."""
    small, smaller = (
        solve(replace(tank_problem, total_current=current), tank_operators, accuracy=TIGHT)
        for current in (2e-8, 1e-8)
    )
    np.testing.assert_allclose(
        small.current_density, 2 * smaller.current_density, rtol=1e-5, atol=1e-14
    )
    assert small.cell_voltage == pytest.approx(2 * smaller.cell_voltage, rel=1e-6)


def test_a_start_does_not_change_the_answer(
    solution: FieldSolution, tank_operators: Operators
) -> None:
    other = replace(solution.problem, total_current=1.3 * solution.problem.total_current)
    cold = solve(other, tank_operators, accuracy=TIGHT)
    warm = solve(other, tank_operators, solution, accuracy=TIGHT)
    np.testing.assert_allclose(warm.current_density, cold.current_density, rtol=1e-6, atol=1e-6)
    again = solve(solution.problem, tank_operators, solution)
    assert again.newton_iterations == 0


def test_a_start_of_another_size_is_refused(
    solution: FieldSolution, tank_operators: Operators
) -> None:
    fewer = replace(solution, potential=solution.potential[:-1])
    with pytest.raises(BadInput, match="does not fit"):
        solve(solution.problem, tank_operators, fewer)


def test_a_held_voltage_is_the_inverse_of_a_held_current(
    solution: FieldSolution, tank_operators: Operators
) -> None:
    problem = replace(solution.problem, total_current=inf, voltage_limit=solution.cell_voltage)
    held = solve(problem, tank_operators)
    assert held.voltage_limited
    assert held.cell_voltage == pytest.approx(solution.cell_voltage, rel=1e-12)
    assert held.supply_current == pytest.approx(solution.supply_current, rel=1e-3)
    assert held.charge_balance <= 1e-6


@pytest.mark.parametrize("volts", [0.05, 0.4, 1.5, 6.0])
def test_every_voltage_has_an_answer(
    tank_problem: FieldProblem, tank_operators: Operators, volts: float
) -> None:
    problem = replace(tank_problem, total_current=inf, voltage_limit=volts)
    held = solve(problem, tank_operators)
    assert held.cell_voltage == volts
    assert held.charge_balance <= 1e-6
    assert voltage_split(held).total == pytest.approx(volts, rel=1e-12)


def test_the_supply_honours_both_limits(solution: FieldSolution, tank_operators: Operators) -> None:
    enough, scarce = (
        solve(
            replace(solution.problem, voltage_limit=share * solution.cell_voltage), tank_operators
        )
        for share in (1.2, 0.8)
    )
    assert (enough.voltage_limited, scarce.voltage_limited) == (False, True)
    assert enough.cell_voltage == pytest.approx(solution.cell_voltage, rel=1e-6)
    assert scarce.cell_voltage == pytest.approx(0.8 * solution.cell_voltage, rel=1e-12)
    assert scarce.supply_current < 0.9 * solution.supply_current


def test_a_contact_resistance_adds_its_own_voltage_and_nothing_else(
    solution: FieldSolution, tank_operators: Operators
) -> None:
    problem = replace(solution.problem, metal=ContactResistance(solution.problem, 0.5))
    behind = solve(problem, tank_operators)
    drop = 0.5 * solution.supply_current
    assert behind.cell_voltage - solution.cell_voltage == pytest.approx(drop, rel=1e-3)
    assert voltage_split(behind).metal == pytest.approx(drop, rel=1e-6)
    np.testing.assert_allclose(behind.current_density, solution.current_density, rtol=0, atol=0.05)
    assert behind.linear_iterations <= solution.linear_iterations + 4


class Counting:
    """Operators that count how often a preconditioner is built from nothing."""

    def __init__(self, operators: Operators) -> None:
        self.inner, self.builds = operators, 0

    def __getattr__(self, name: str) -> Any:
        return getattr(self.inner, name)

    def preconditioner(self, potential_weight: Floats, flux_weight: Floats) -> Preconditioner:
        self.builds += 1
        return self.inner.preconditioner(potential_weight, flux_weight)


def test_memory_builds_one_preconditioner(
    solution: FieldSolution, tank_operators: Operators
) -> None:
    counting: Any = Counting(tank_operators)
    memory = PreconditionerMemory(counting)
    for factor in (1.0, 1.05, 1.1):
        current = factor * solution.problem.total_current
        solve(replace(solution.problem, total_current=current), counting, memory=memory)
    assert counting.builds == 1


def test_warns_of_coarse_panels(cathode_law: CopperCathode) -> None:
    """A ball of 80 triangles in one of 80."""
    pieces = [sphere(0.03, 2), turned(sphere(0.1, 2))]
    panels = Panels(
        corners=np.concatenate(pieces), group=np.repeat([1, 2], [len(piece) for piece in pieces])
    )
    electrodes = tuple(
        Electrode(group=group, anode=group == 2, law=cathode_law) for group in (1, 2)
    )
    problem = FieldProblem(
        panels=panels, conductivity=50.0, electrodes=electrodes, total_current=2.0
    )
    solution = solve(problem, dense_operators(panels))
    assert any("the panels are coarse" in warning for warning in solution.warnings)
    assert solution.charge_balance <= 1e-6


def test_warns_of_passive_anodes(solution: FieldSolution, tank_operators: Operators) -> None:
    assert solution.warnings == ()
    strong = replace(solution.problem, total_current=solution.problem.total_current * 20)
    warnings = solve(strong, tank_operators).warnings
    assert any("passivation limit of 300 A/m²" in warning for warning in warnings)


def test_warns_of_bare_places() -> None:
    """A channel seven times as long as wide with its side plated: the far end sees nothing."""
    across = np.linspace(0, 0.02, 4)
    faces = box(np.linspace(0, 0.14, 17), across, across)
    group = {"x-": 2, "y-": 1}
    panels = Panels(
        corners=np.concatenate(list(faces.values())),
        group=np.concatenate(
            [np.full(len(face), group.get(name, 0)) for name, face in faces.items()]
        ),
    )
    law = fixed_potential(conductivity=50.0, length=0.02)
    electrodes = tuple(Electrode(group=number, anode=number == 2, law=law) for number in (1, 2))
    problem = FieldProblem(
        panels=panels, conductivity=50.0, electrodes=electrodes, total_current=0.2
    )
    solution = solve(problem, dense_operators(panels))
    far = (panels.group == 1) & (panels.centroids[:, 0] > 0.12)
    mean = 0.2 / panels.areas[panels.group == 1].sum()
    assert np.abs(solution.current_density[far]).max() < 1e-2 * mean
    assert any("under 1% of the mean" in warning for warning in solution.warnings)


def test_says_what_was_reached_when_it_does_not_converge(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    with pytest.raises(NotConverged, match="did not settle in 1 Newton steps") as caught:
        solve(tank_problem, tank_operators, accuracy=Accuracy(newton_iterations=1))
    assert 0 < caught.value.residual < 1
    assert caught.value.iterations == 1


def test_an_unreachable_tolerance_is_an_error_not_an_answer(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    with pytest.raises(NotConverged):
        solve(tank_problem, tank_operators, accuracy=Accuracy(residual=1e-30, charge_balance=0.0))


def test_progress_rises_to_one_and_can_stop_the_work(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    told: list[float] = []
    solve(tank_problem, tank_operators, progress=lambda stage, fraction: told.append(fraction))
    assert told == sorted(told)
    assert (told[0], told[-1]) == (0.0, 1.0)

    def stop(stage: str, fraction: float) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        solve(tank_problem, tank_operators, progress=stop)


def test_linear_kinetics_needs_one_or_two_steps(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    law = LinearPolarisation(resistance=8e-4)
    electrodes = tuple(replace(e, law=law) for e in tank_problem.electrodes)
    solution = solve(replace(tank_problem, electrodes=electrodes), tank_operators)
    assert solution.newton_iterations <= 2


def test_copper_and_hydrogen_share_the_fraction_of_limit(
    tank_problem: FieldProblem, tank_operators: Operators, cathode_law: CopperCathode
) -> None:
    area = tank_problem.total_current / 200.0
    solution = solve(replace(tank_problem, total_current=600 * area), tank_operators)
    part = tank_problem.panels.group == 1
    np.testing.assert_allclose(
        solution.fraction_of_limit[part],
        solution.current_density[part] / cathode_law.limit,
        rtol=1e-12,
    )
    assert (solution.fraction_of_limit[~part] == 0).all()


def test_cathodes_may_differ_in_their_limits(
    tank_problem: FieldProblem, tank_operators: Operators, cathode_law: CopperCathode
) -> None:
    """A second cathode (the tank's end) that can carry far less than the mean of both."""
    panels = tank_problem.panels
    end = (panels.group == 0) & (panels.centroids[:, 0] > 0.2 - 1e-9)
    split = Panels(corners=panels.corners, group=np.where(end, 3, panels.group))
    slow = replace(cathode_law.copper, limiting_current_density=5.0)
    cathode, anode = tank_problem.electrodes
    problem = replace(
        tank_problem,
        panels=split,
        electrodes=(cathode, anode, Electrode(group=3, anode=False, law=slow)),
        total_current=400.0 * tank_problem.total_current / 200.0,
    )
    solution = solve(problem, dense_operators(split))
    area = float(split.areas[split.group == 3].sum())
    assert 0.5 * 5.0 * area < solution.group_current[3] <= 5.0 * area
    assert solution.group_current[1] + solution.group_current[3] == pytest.approx(
        problem.total_current, rel=1e-6
    )
    assert 0 < wagner_number_of(solution) < np.inf


def test_a_start_along_earlier_solutions_is_nearer(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    """On a ramp, what the boundary equation misses at the start falls by more than five."""
    ramp = [
        solve(
            replace(tank_problem, total_current=tank_problem.total_current * factor),
            tank_operators,
            accuracy=TIGHT,
        )
        for factor in (0.85, 0.9, 0.95)
    ]
    system = BoundarySystem.of(tank_problem, tank_operators)

    def missed(start: State) -> float:
        return float(np.linalg.norm(system.residual(start)))

    assert missed(start_along(system, ramp)) < 0.2 * missed(start_from(system, ramp[-1]))
    along = solve(tank_problem, tank_operators, ramp[-1], accuracy=TIGHT, earlier=ramp[:-1])
    alone = solve(tank_problem, tank_operators, accuracy=TIGHT)
    np.testing.assert_allclose(along.current_density, alone.current_density, rtol=1e-6, atol=1e-6)


def test_far_from_the_earlier_currents_nothing_is_extrapolated(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    small = [
        solve(
            replace(tank_problem, total_current=tank_problem.total_current * factor), tank_operators
        )
        for factor in (0.5, 0.51)
    ]
    direct = solve(tank_problem, tank_operators, small[-1])
    guarded = solve(tank_problem, tank_operators, small[-1], earlier=small[:1])
    assert guarded.newton_iterations == direct.newton_iterations
    np.testing.assert_array_equal(guarded.current_density, direct.current_density)
