"""Says, in sentences, where a solution is not to be relied on.

Bounds: measured on closed forms and mesh refinement (docs/theory/field.md). Near the primary limit
the current at edges has no finite value; in deep recesses what is left is smaller than what the
panels resolve. What the operators know of themselves (a slit, bodies that overlap) they say.
"""

from math import isinf

import numpy as np

from tankside.field.numbers import area_fraction, wagner_number_of
from tankside.field.problem import FieldSolution

PRIMARY_LIMIT = 0.02
"""Wagner number below which local values at edges depend on the panels [-]."""
FAINT_SHARE = 0.01
"""Share of the cathodes' mean current density below which a place's value is not resolved [-]."""
LEAK_LIMIT = 5e-3
"""Largest leak of the discretised boundary that raises no warning [-]."""


def reliability_warnings(solution: FieldSolution) -> tuple[str, ...]:
    """Sentences, the gravest first; none where the answer can be used as it stands."""
    return tuple(
        sentence
        for sentence in (
            _leak(solution),
            _backward(solution),
            _faint(solution),
            _primary(solution),
            _passive(solution),
        )
        if sentence
    )


def _leak(solution: FieldSolution) -> str:
    if abs(solution.leak) <= LEAK_LIMIT:
        return ""
    return (
        f"the panels are coarse: {abs(solution.leak):.1%} of the current had to be put back to "
        "hold the charge balance; use more panels"
    )


def _backward(solution: FieldSolution) -> str:
    """Cathode panels on which copper dissolves."""
    problem = solution.problem
    cathode = problem.panels_of(anode=False)
    share = area_fraction(solution.current_density[cathode] < 0, problem.panels.areas[cathode])
    if share == 0:
        return ""
    return (
        f"on {share:.2%} of the cathodes' area the computed current is below zero, which is an "
        "artefact of panels too coarse for the place; read it as bare"
    )


def _faint(solution: FieldSolution) -> str:
    problem = solution.problem
    cathode = problem.panels_of(anode=False)
    areas = problem.panels.areas[cathode]
    mean = solution.supply_current / float(areas.sum())
    faint = solution.current_density[cathode] < FAINT_SHARE * mean
    share = area_fraction(faint, areas)
    if share == 0:
        return ""
    return (
        f"on {share:.2%} of the cathodes' area the current is under {FAINT_SHARE:.0%} of the mean: "
        "there only 'next to nothing' is certain, not the figure"
    )


def _primary(solution: FieldSolution) -> str:
    number = wagner_number_of(solution)
    if isinf(number) or number >= PRIMARY_LIMIT:
        return ""
    return (
        f"the Wagner number is {number:.1g}, near the primary limit: at sharp edges the local "
        "current depends on the panels; rely on averages over area"
    )


def _passive(solution: FieldSolution) -> str:
    problem = solution.problem
    for electrode in problem.electrodes:
        limit = getattr(electrode.law, "passivation_limit", None)
        if electrode.anode and limit is not None:
            members = problem.panels.group == electrode.group
            passive = -solution.current_density[members] > limit
            share = area_fraction(np.asarray(passive), problem.panels.areas[members])
            if share > 0:
                return (
                    f"{share:.0%} of the anode of group {electrode.group} dissolves faster than "
                    f"its passivation limit of {limit:.3g} A/m²: its film, which would raise the "
                    "voltage, is not in the model"
                )
    return ""
