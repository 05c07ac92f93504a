"""Plans a job: joins bath, cell and field; says what to set, how long, and what comes of it.

    electrolyte -> rate laws     cell -> panels -> operators (once)
    current that every limit bears, or the person's own, checked
    hours until the goal's place has its thickness; growth; balances; loads; heat; intervals

A part that conducts only through a coat is grown from bare coat on (seeded.py), at the current that
solid metal bears.
"""

from dataclasses import dataclass, replace

import numpy as np

from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.intervals import Interval
from tankside.base.progress import Progress, silent
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.bodies import Cell, Role
from tankside.field.deposit import Growth, Segment
from tankside.field.growth import grow
from tankside.field.hierarchical import build_operators
from tankside.field.kernels import prepared
from tankside.field.newton import PreconditionerMemory
from tankside.field.numbers import voltage_split, wagner_number_of
from tankside.field.operators import Operators
from tankside.field.problem import FieldSolution
from tankside.field.solve import solve
from tankside.plan.current import ROUGH_FROM, Bearing, checked_current, chosen_current
from tankside.plan.heat import heat_balance
from tankside.plan.laws import at_current, best_numbers, panels_of, problem_of
from tankside.plan.outcome import Outcome, anode_loads, wire_loads
from tankside.plan.plan import (
    Balances,
    CourseMoment,
    Goal,
    Plan,
    Supply,
    Surroundings,
    VoltageSplit,
)
from tankside.plan.remarks import Remarks, remarks_of
from tankside.plan.seeded import is_coated, seeded_growth
from tankside.plan.spread import plan_uncertainty
from tankside.plan.start import SeedStart, start_sentences
from tankside.plan.thin_places import thin_places
from tankside.plan.wires import wires_of


@dataclass(frozen=True, kw_only=True)
class PlanTask:
    """Everything that a plan is made from; sulfuric acid [kg m⁻³] and whether air is blown through
    are for the cautions, assumptions and warnings are sentences that the plan carries on."""

    cell: Cell
    electrolyte: Electrolyte
    goal: Goal
    supply: Supply
    surroundings: Surroundings
    sulfuric_acid: float
    air_agitation: bool
    assumptions: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


def planned(task: PlanTask, progress: Progress = silent) -> Plan:
    """The plan for `task`. Impossible where a person's own current is beyond the supply."""
    prepared(progress)
    numbers = best_numbers(task.electrolyte)
    panels = panels_of(task.cell)
    operators = build_operators(panels, progress=progress)
    memory = PreconditionerMemory(operators)
    problem = problem_of(task.cell, panels, numbers, 1.0)
    bearing = Bearing(
        cell=task.cell, supply=task.supply, numbers=numbers, wires=wires_of(task.cell)
    )

    def solved(current: float, start: FieldSolution | None) -> FieldSolution:
        return solve(at_current(problem, current), operators, start, progress, memory=memory)

    asked = _asked_current(task)
    if asked is None:
        first = _first_guess(task, numbers.limiting_current_density)
        solution, limited_by = chosen_current(bearing, solved, first, progress)
    else:
        solution, limited_by = checked_current(bearing, solved, asked)
    outcome = Outcome(cell=task.cell, solution=solution)
    growth, start, course = _grown(task, outcome, operators, memory, progress)
    plan = _told(task, bearing, outcome, growth, operators, memory, limited_by, progress)
    if start is None:
        return plan
    warnings = (*plan.warnings, *start_sentences(start))
    return replace(plan, start=start, course=course, warnings=warnings)


def _grown(
    task: PlanTask,
    outcome: Outcome,
    operators: Operators,
    memory: PreconditionerMemory,
    progress: Progress,
) -> tuple[Growth, SeedStart | None, tuple[CourseMoment, ...]]:
    """The deposit at the goal; with what its start and its course were where a part is coated."""
    solution = outcome.solution
    if is_coated(task.cell):
        seeded = seeded_growth(
            outcome, task.electrolyte, task.goal, task.supply, operators, memory, progress
        )
        return seeded.growth, seeded.start, seeded.course
    duration = task.goal.thickness / outcome.part_rate(task.goal.measured_at)
    growth = grow(
        solution.problem,
        [Segment(duration=duration, current=solution.problem.total_current)],
        operators,
        progress,
        start=solution,
        memory=memory,
    )
    return growth, None, ()


def _asked_current(task: PlanTask) -> float | None:
    """The person's own total current [A], if one was given."""
    if task.goal.current_density is None:
        return task.goal.current
    area = sum(body.surface.area for body in task.cell.bodies if body.role.is_cathode)
    return task.goal.current_density * area


def _first_guess(task: PlanTask, limit: float) -> float:
    """A current to begin the search with [A]: half of what an even deposit would bear."""
    area = sum(body.surface.area for body in task.cell.bodies if body.role.is_cathode)
    return min(task.supply.current_limit, ROUGH_FROM * limit * area / 2)


def _told(
    task: PlanTask,
    bearing: Bearing,
    outcome: Outcome,
    growth: Growth,
    operators: Operators,
    memory: PreconditionerMemory,
    limited_by: str,
    progress: Progress,
) -> Plan:
    solution, thickness = outcome.solution, growth.thickness
    current = solution.problem.total_current
    duration = sum(step.duration for step in growth.steps)
    voltage = _voltage(bearing, solution)
    spread = outcome.spread(thickness)
    uncertain = plan_uncertainty(outcome, task.electrolyte, operators, memory, progress)
    wires = wire_loads(outcome, bearing.wires, thickness)
    remarks = remarks_of(
        Remarks(
            task_assumptions=task.assumptions,
            electrolyte=task.electrolyte,
            cell=task.cell,
            sulfuric_acid=task.sulfuric_acid,
            air_agitation=task.air_agitation,
            voltage_limit=task.supply.voltage_limit,
            duration=duration,
            wires=wires,
            hydrogen_share=growth.hydrogen_charge / growth.charge,
            coated=is_coated(task.cell),
        )
    )
    return Plan(
        goal=task.goal,
        cell=task.cell,
        electrolyte=task.electrolyte,
        current=current,
        duration=duration,
        charge=growth.charge,
        copper_mass=growth.copper_deposited,
        copper_on_part=outcome.copper_mass(thickness, outcome.on(Role.PART)),
        part_area=outcome.area(Role.PART),
        cathode_area=outcome.area(Role.PART, Role.WIRE, Role.THIEF),
        current_density=outcome.spread(solution.current_density),
        thickness=spread,
        thickness_mean_interval=uncertain.mean.scaled(spread.mean),
        thickness_minimum_interval=uncertain.smallest.scaled(spread.minimum),
        thickness_p05_interval=uncertain.percent_5.scaled(spread.p05),
        voltage=voltage,
        voltage_interval=_voltage_interval(task.supply, voltage, uncertain.cell_voltage, current),
        limited_by=limited_by,
        burning_area_fraction=outcome.burning_fraction(),
        rough_area_fraction=outcome.rough_fraction(),
        bare_area_fraction=outcome.bare_fraction(thickness),
        growth_of_size=2 * spread.mean,
        wagner_number=wagner_number_of(solution),
        anodes=anode_loads(outcome, bearing.numbers, duration),
        wires=wires,
        thief_current=float(
            (solution.current_density * outcome.areas)[outcome.on(Role.THIEF)].sum()
        ),
        heat=heat_balance(
            task.cell,
            task.electrolyte,
            task.surroundings,
            current=current,
            voltage=solution.cell_voltage,
            duration=duration,
        ),
        balances=Balances(
            charge_balance=growth.charge_balance,
            mass_balance=_mass_balance(growth),
            closure=solution.closure,
        ),
        results=outcome.results(thickness),
        cautions=remarks.cautions,
        assumptions=remarks.assumptions,
        sources=remarks.sources,
        warnings=(*task.warnings, *growth.warnings, *thin_places(outcome, thickness)),
    )


def _voltage(bearing: Bearing, solution: FieldSolution) -> VoltageSplit:
    """The supply's voltage and what it is spent on."""
    split = voltage_split(solution)
    total = bearing.terminal_voltage(solution)
    return VoltageSplit(
        total=total,
        anode=split.anode,
        solution=split.solution,
        cathode=split.cathode,
        leads=total - split.anode - split.solution - split.cathode,
    )


def _voltage_interval(
    supply: Supply, voltage: VoltageSplit, cell: Interval, current: float
) -> Interval:
    """The terminal voltage with the cell's interval and the leads' added in quadrature."""
    leads = supply.lead_resistance.scaled(current)
    down = np.hypot(cell.best - cell.low, leads.best - leads.low)
    up = np.hypot(cell.high - cell.best, leads.high - leads.best)
    return Interval(voltage.total - float(down), voltage.total, voltage.total + float(up))


def _mass_balance(growth: Growth) -> float:
    """Copper by Faraday's law of the supply's charge less hydrogen's, against what was grown."""
    faraday = (growth.charge - growth.hydrogen_charge) * COPPER_PER_CHARGE_KG_PER_C
    return abs(growth.copper_deposited - faraday) / faraday
