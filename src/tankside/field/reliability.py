"""Says, in sentences, where a solution is not to be relied on.

Bounds: measured on closed forms and mesh refinement (docs/theory/field.md). Near the primary limit
the current at edges has no finite value; in deep recesses what is left is smaller than what the
panels resolve. What the operators know of themselves (a slit, bodies that overlap) they say.
"""

from math import isinf

import numpy as np

from tankside.base.messages import Quantity, said
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
    return said(
        "the panels are coarse: {leak} of the current had to be put back to hold the "
        "charge balance; use more panels",
        leak=f"{abs(solution.leak):.1%}",
    )


def _backward(solution: FieldSolution) -> str:
    """Cathode panels on which copper dissolves."""
    problem = solution.problem
    cathode = problem.panels_of(anode=False)
    share = area_fraction(solution.current_density[cathode] < 0, problem.panels.areas[cathode])
    if share == 0:
        return ""
    return said(
        "on {share} of the cathodes' area the computed current is below zero, which is "
        "an artefact of panels too coarse for the place; read it as bare",
        share=f"{share:.2%}",
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
    return said(
        "on {share} of the cathodes' area the current is under {faint_share} of the "
        "mean: there only 'next to nothing' is certain, not the figure",
        share=f"{share:.2%}",
        faint_share=f"{FAINT_SHARE:.0%}",
    )


def _primary(solution: FieldSolution) -> str:
    number = wagner_number_of(solution)
    if isinf(number) or number >= PRIMARY_LIMIT:
        return ""
    return said(
        "the Wagner number is {number}, near the primary limit: at sharp edges the "
        "local current depends on the panels; rely on averages over area",
        number=f"{number:.1g}",
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
                return said(
                    "{share} of the anode of group {group} dissolves faster than its passivation "
                    "limit of {limit}: its film, which would raise the voltage, is not in the "
                    "model",
                    share=f"{share:.0%}",
                    group=electrode.group,
                    limit=Quantity(limit, "A/m^2"),
                )
    return ""
