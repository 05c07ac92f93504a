"""Solves the field of a cell: from a problem to a solution that says how far to trust it.

    div(kappa grad phi) = 0 in the solution; no current through walls and the liquid's surface;
    i = law(eta) on electrodes; the supply holds its current, or its voltage limit.

Boundary elements (system.py), Newton's method (newton.py). Refuses problems without an answer
(problem_checks.py); raises NotConverged with what was reached; never returns a half-settled field.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.progress import Progress, silent
from tankside.field.newton import Accuracy, Outcome, PreconditionerMemory, newton
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem, FieldSolution
from tankside.field.problem_checks import check_operators, check_problem
from tankside.field.reliability import reliability_warnings
from tankside.field.ruling import Rule, ruled
from tankside.field.start import start_along, start_from, uniform_start
from tankside.field.system import BoundarySystem, State
from tankside.field.threads import quiet_linear_algebra

DEFAULT_ACCURACY = Accuracy()


@quiet_linear_algebra()
def solve(
    problem: FieldProblem,
    operators: Operators | None = None,
    start: FieldSolution | None = None,
    progress: Progress = silent,
    *,
    accuracy: Accuracy = DEFAULT_ACCURACY,
    memory: PreconditionerMemory | None = None,
    earlier: Sequence[FieldSolution] = (),
) -> FieldSolution:
    """The field of `problem`.

    operators   of its panels, if at hand; else built
    start       an earlier solution on the same panels, near this one
    memory      of preconditioners, shared by a run of solves on the same operators
    earlier     solutions of the same cell at other held currents, before `start`, to go on from
    """
    check_problem(problem)
    operators = operators if operators is not None else _built(problem, progress)
    check_operators(problem, operators)
    memory = memory if memory is not None else PreconditionerMemory(operators)
    system = memory.known(BoundarySystem.of(problem, operators))

    def settled(rule: Rule, begin: FieldSolution | None) -> FieldSolution:
        held = replace(system, held_voltage=rule.voltage, held_panel=rule.panel)
        if begin is None:
            first = uniform_start(held)
        elif begin is start and earlier:
            first = start_along(held, (*earlier, begin))
        else:
            first = start_from(held, begin)
        outcome = newton(held, first, memory, accuracy, progress)
        return _solution(replace(held, held_panel=outcome.held_panel), outcome)

    return ruled(problem, start, settled)


def _built(problem: FieldProblem, progress: Progress) -> Operators:
    from tankside.field.hierarchical import build_operators

    return build_operators(problem.panels, progress=progress)


def _solution(system: BoundarySystem, outcome: Outcome) -> FieldSolution:
    state, problem = outcome.state, system.problem
    supply = system.supply_current(state)
    currents = system.areas * state.current_density
    solution = FieldSolution(
        problem=problem,
        current_density=state.current_density,
        copper_current_density=system.copper_current_density(state),
        potential=state.potential,
        metal_potential=np.where(system.electrode, state.metal, np.nan),
        fraction_of_limit=_fraction_of_limit(system, state),
        cathode_potential=float(state.bar),
        group_current={
            electrode.group: float(currents[problem.panels.group == electrode.group].sum())
            for electrode in problem.electrodes
        },
        residual=outcome.residual,
        newton_iterations=outcome.newton_iterations,
        linear_iterations=outcome.linear_iterations,
        closure=system.operators.closure,
        charge_balance=float(abs(currents.sum()) / supply),
        supply_current=supply,
        voltage_limited=system.held_voltage is not None,
        ceiling_panel=system.held_panel,
        leak=float(-system.anode_area * state.closing / supply),
    )
    return replace(solution, warnings=(*system.operators.warnings, *reliability_warnings(solution)))


def _fraction_of_limit(system: BoundarySystem, state: State) -> Floats:
    """All of the current over copper's limit (n,) [-]."""
    fraction = np.zeros_like(state.load)
    for law, panels in system.members:
        fraction[panels] = state.current_density[panels] / law.limit
    return fraction
