"""Where a part gets little copper: recesses, the insides of cups, faces turned from every anode.

A mean hides them, so the plan says how much of the area they are and where the least grows.
"""

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.messages import Quantity, said
from tankside.cell.bodies import Role
from tankside.field.numbers import area_fraction
from tankside.plan.outcome import Outcome

THIN_BELOW = 1 / 3
"""Share of the mean thickness below which a place is thin [-]: our choice."""

WORTH_SAYING = 0.02
"""Share of a part's area from which thin places are worth a warning [-]: our choice."""


def thin_places(outcome: Outcome, thickness: Floats) -> tuple[str, ...]:
    """A sentence on thin places of a deposit of `thickness` (n,) [m], or none."""
    part = outcome.on(Role.PART)
    grown, areas = thickness[part], outcome.areas[part]
    mean = float(np.average(grown, weights=areas))
    share = area_fraction(grown < THIN_BELOW * mean, areas)
    if share < WORTH_SAYING:
        return ()
    least = int(np.argmin(grown))
    place = outcome.solution.problem.panels.centroids[part][least]
    return (
        said(
            "{share} % of the part's area gets less than a third of the mean thickness, the least "
            "about {place} in the tank, where {thinnest} grows: current hardly reaches in there. "
            "Hang it so that the opening faces an anode, put an anode inside, or see what the rig "
            "search finds.",
            share=Quantity(100 * share, digits=2),
            place=Quantity(tuple(round(float(v), 3) + 0.0 for v in place), "cm", decimals=1),
            thinnest=Quantity(max(float(grown[least]), 0.0), "um", digits=2),
        ),
    )
