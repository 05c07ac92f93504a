"""Refuses problems that have no answer, before any work is spent on them; each with a sentence."""

from math import inf, isfinite

import numpy as np

from tankside.base.errors import BadInput, Impossible, MeshDefect
from tankside.field.closure import OPEN_CLOSURE
from tankside.field.operators import Operators
from tankside.field.problem import ElectrodeLaw, FieldProblem

_FAR_BELOW_REST_V = -1e6
"""An overpotential beyond all benches: what a law carries there is the most it ever carries."""


def check_problem(problem: FieldProblem) -> None:
    """Raises BadInput or Impossible where the problem makes no sense."""
    _check_numbers(problem)
    _check_electrodes(problem)
    if problem.voltage_limit is None and problem.total_current > (most := largest_current(problem)):
        raise Impossible(
            "the cathodes can carry {most:.4g} A at most before copper runs out at their surface, "
            "and no other reaction is given for the rest of {total_current:.4g} A; lower the "
            "current or give the cathodes hydrogen evolution",
            most=most,
            total_current=problem.total_current,
        )


def check_operators(problem: FieldProblem, operators: Operators) -> None:
    """Raises where operators do not belong to the problem, or its boundary is not closed."""
    panels = operators.panels
    if panels is not problem.panels and not (
        len(panels) == len(problem.panels)
        and np.array_equal(panels.corners, problem.panels.corners)
        and np.array_equal(panels.group, problem.panels.group)
        and panels.mirror_level == problem.panels.mirror_level
    ):
        raise BadInput("the operators were built for other panels than the problem's; build anew")
    if not operators.closure < OPEN_CLOSURE:
        raise MeshDefect(
            "the panels do not close the solution in: the solid angle that they span misses its "
            "due by {closure:.2g}; close the gap, or turn panels that face away from the solution",
            closure=operators.closure,
        )


def largest_current(problem: FieldProblem) -> float:
    """The most that the cathodes can carry at any potential [A]."""
    total = 0.0
    for electrode in problem.electrodes:
        if not electrode.anode:
            area = float(problem.panels.areas[problem.panels.group == electrode.group].sum())
            total += area * largest_current_density(electrode.law)
    return total


def largest_current_density(law: ElectrodeLaw) -> float:
    """The most that a law carries at any potential [A m⁻²]."""
    return float(law.current_density(np.array([_FAR_BELOW_REST_V]))[0])


def _check_numbers(problem: FieldProblem) -> None:
    if not len(problem.panels):
        raise BadInput("the field has no panels; assemble the cell first")
    if not (isfinite(problem.conductivity) and problem.conductivity > 0):
        raise BadInput(
            "the bath's conductivity must be above zero, not {conductivity!r} S/m",
            conductivity=problem.conductivity,
        )
    current, limit = problem.total_current, problem.voltage_limit
    if not current > 0:
        raise BadInput(
            "the supply's current must be above zero, not {current!r} A", current=current
        )
    if limit is not None and not (isfinite(limit) and limit > 0):
        raise BadInput(
            "the supply's voltage limit must be above zero, not {limit!r} V", limit=limit
        )
    if current == inf and limit is None:
        raise BadInput("an unlimited current needs a voltage limit; give one of the two")


def _check_electrodes(problem: FieldProblem) -> None:
    groups = [electrode.group for electrode in problem.electrodes]
    if doubles := sorted({group for group in groups if groups.count(group) > 1}):
        raise BadInput(
            "group {group} is given as two electrodes; give each body one law", group=doubles[0]
        )
    present = set(np.unique(problem.panels.group).tolist())
    for electrode in problem.electrodes:
        if electrode.group not in present:
            pole = "an anode" if electrode.anode else "a cathode"
            raise BadInput(
                "group {group} is {pole} but has no panels in the solution; lower it into the "
                "liquid or leave it out",
                group=electrode.group,
                pole=pole,
            )
    for anode, name, role in ((True, "anode", "dissolves"), (False, "cathode", "is plated")):
        if not any(electrode.anode is anode for electrode in problem.electrodes):
            raise BadInput(
                "the cell has no {name}: give at least one body that {role}", name=name, role=role
            )
