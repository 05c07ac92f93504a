"""What rules a cell: the supply's current, its voltage limit, or a local ceiling on a cathode.

Each is a limit that the state may meet and not pass. All currents rise together with the voltage,
so the state is the one that holds one limit exactly and keeps the others; where a state held at one
limit passes another, the one passed farthest is held next. Each change lowers the voltage.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, isinf

import numpy as np

from tankside.base.errors import NotConverged
from tankside.field.problem import FieldProblem, FieldSolution, IdealMetal
from tankside.field.problem_checks import largest_current
from tankside.field.seed.alone import settled_alone

_EXCESS = 1e-6
"""Passing a limit by less than this is not passing it [-]."""

_MOST_RULES = 12

_FIRST_VOLTS, _MOST_VOLTAGES, _NEAR = 0.2, 20, 1.3
"""Where the search by voltages begins [V], how many it tries, and within which factor of the
ceiling it ends [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """The limit that is held: a voltage [V], or a panel at its ceiling, or with neither the
    supply's current."""

    voltage: float | None = None
    panel: int | None = None


Settle = Callable[[Rule, FieldSolution | None], FieldSolution]


def ruled(problem: FieldProblem, start: FieldSolution | None, settle: Settle) -> FieldSolution:
    """The solution that holds one limit and keeps the others."""
    rule = first_rule(problem, start)
    for _ in range(_MOST_RULES):
        try:
            solution = settle(rule, start)
        except NotConverged:
            if rule.panel is None or start is not None:
                raise
            solution = _closing_in(problem, settle)
        load, worst = _heaviest(problem, solution)
        if load <= 1.0 + _EXCESS or worst == rule:
            return solution
        rule, start = worst, solution
    raise NotConverged(
        "the supply's limits and local ceilings were not met together in {most_rules} rounds",
        most_rules=_MOST_RULES,
        residual=load - 1.0,
        iterations=_MOST_RULES,
    )


def first_rule(problem: FieldProblem, start: FieldSolution | None) -> Rule:
    """The limit that probably rules: that of the start, else by an estimate."""
    limit = problem.voltage_limit
    if start is not None and start.ceiling_panel is not None and problem.local_ceiling is not None:
        return Rule(panel=start.ceiling_panel)
    if limit is None and problem.local_ceiling is None:
        return Rule()
    if start is not None and not start.voltage_limited and not isinf(problem.total_current):
        return Rule()
    if start is not None and start.voltage_limited and limit is not None:
        return Rule(voltage=limit)
    if problem.local_ceiling is not None and np.isfinite(problem.local_ceiling).any():
        return Rule(panel=_lowest_ceiling(problem))
    if limit is not None and problem.total_current >= _current_at(problem, limit):
        return Rule(voltage=limit)
    return Rule()


def _closing_in(problem: FieldProblem, settle: Settle) -> FieldSolution:
    """A local ceiling met from a start near it, which is found by voltages: these settle always."""
    low, high, volts = 0.0, inf, _FIRST_VOLTS
    solution: FieldSolution | None = None
    for _ in range(_MOST_VOLTAGES):
        solution = settle(Rule(voltage=volts), solution)
        load, panel = _heaviest_panel(problem, solution)
        if 1 / _NEAR < load < _NEAR:
            break
        low, high = (low, volts) if load > 1 else (volts, high)
        volts = 2 * volts if isinf(high) else (low + high) / 2
    return settle(Rule(panel=panel), solution)


def _current_at(problem: FieldProblem, voltage: float) -> float:
    """About the most that a voltage can drive [A]: with the solution's resistance left out."""
    most = largest_current(problem)
    if isinstance(problem.metal, IdealMetal) or isinf(problem.total_current):
        return most
    found = settled_alone(problem, bar=-voltage, tolerance=0.05)
    return min(most, float((found.current_density * problem.panels.areas).sum()))


def _lowest_ceiling(problem: FieldProblem) -> int:
    """The panel that is probably first at its ceiling: at an even current, far from the drop."""
    cathode = problem.panels_of(anode=False)
    drop = problem.metal.drop(cathode.astype(np.float64))
    lowest = np.where(cathode & np.isfinite(problem.ceilings), drop, inf)
    return int(lowest.argmin())


def _heaviest(problem: FieldProblem, solution: FieldSolution) -> tuple[float, Rule]:
    """The largest load over its limit [-], and the rule that holds it."""
    loads = [(solution.supply_current / problem.total_current, Rule())]
    if problem.voltage_limit is not None:
        rule = Rule(voltage=problem.voltage_limit)
        loads.append((solution.cell_voltage / problem.voltage_limit, rule))
    if problem.local_ceiling is not None:
        load, panel = _heaviest_panel(problem, solution)
        loads.append((load, Rule(panel=panel)))
    return max(loads, key=lambda entry: entry[0])


def _heaviest_panel(problem: FieldProblem, solution: FieldSolution) -> tuple[float, int]:
    """The largest current density over its ceiling [-], and its panel."""
    cathode = problem.panels_of(anode=False)
    load = np.where(cathode, solution.current_density / problem.ceilings, 0.0)
    panel = int(load.argmax())
    return float(load[panel]), panel
