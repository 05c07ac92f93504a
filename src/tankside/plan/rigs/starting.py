"""Whether a coated rig starts, cheaply: the start's own equations on the search's coarse mesh.

    full current's field -> ceilings -> growth under them until copper covers the coat

The coat is taken at the high end of what is believed of its sheet resistance (nine times in ten),
as a rig that starts on a poor coat starts on a good one. Steps are looser than a plan's. What a
start costs a job is the time that it lasts, less that in which the full current would have passed
the same charge.
"""

from dataclasses import dataclass, replace
from math import inf

import numpy as np

from tankside.bath.electrolyte import Electrolyte
from tankside.cell.bodies import Cell
from tankside.cell.coating import End
from tankside.field.deposit import Segment, StepControl
from tankside.field.growth import grow
from tankside.field.newton import Accuracy, PreconditionerMemory
from tankside.field.operators import Operators
from tankside.field.problem import FieldSolution
from tankside.field.seed.front import FrontWatch
from tankside.field.seed.ramp import ceilings
from tankside.field.seed.shell import SeedShell
from tankside.plan.plan import Supply
from tankside.plan.seeded import RAMP_FRACTION, cell_voltage_limit, coated_problem

COVERED = 0.99
"""Share of the coat's area from which a start is over [-]."""

LEAST_PATIENCE = 1800.0
PATIENCE_SHARE = 0.1
"""A start may take a tenth of what the deposit takes on metal, and half an hour at least [s]: our
choice, for coats that stand in acid meanwhile."""

_ACCURACY = Accuracy(residual=3e-4, charge_balance=1e-5)
"""Of its fields: looser than a plan's, as single precision on few and long panels is coarser."""

_CONTROL = StepControl(first_step=0.5, relative=0.03, absolute=3e-8)


@dataclass(frozen=True, kw_only=True)
class StartFigures:
    """How a start goes.

    covered_after      when 99 % of the coat is covered [s]; infinite where it is not in time
    covered_share      of the coat's area by then, or by the end of the time [-]
    allowed            the time that it may take [s]
    delay              what it costs the job [s]; infinite where it does not succeed
    collar_fraction    of copper's limit that thin copper round a contact bears at most [-]
    contact_currents   the most that each contact fed [A]
    """

    covered_after: float
    covered_share: float
    allowed: float
    delay: float
    collar_fraction: float
    contact_currents: tuple[float, ...]

    @property
    def margin(self) -> float:
        """Time allowed over time taken [-]; below 1 the start fails."""
        return self.allowed / self.covered_after


def patience(on_metal: float) -> float:
    """How long a start may take [s], for a deposit that takes `on_metal` [s]."""
    return max(LEAST_PATIENCE, PATIENCE_SHARE * on_metal)


def start_figures(
    cell: Cell,
    full: FieldSolution,
    electrolyte: Electrolyte,
    supply: Supply,
    operators: Operators,
    memory: PreconditionerMemory,
    *,
    allowed: float,
    end: End = "high",
) -> StartFigures:
    """The start of a coated cell up to the current of `full`, its field on solid metal."""
    current = full.supply_current
    problem = coated_problem(cell, full.problem, electrolyte, end)
    shell = problem.metal
    if not isinstance(shell, SeedShell):
        raise TypeError("a coated problem's metal is its shell")
    coat = shell.coat.coated
    limit = electrolyte.limiting_current_density.best
    watch = FrontWatch(shell)
    areas = problem.panels.areas
    whole = float(areas[coat].sum())

    def share(thickness: np.ndarray) -> float:
        """Rising, and 1 where the share COVERED is: shares between panels by their thickness."""
        part = np.clip(thickness[coat] / watch.covering_thickness, 0.0, 1.0)
        covered = float(areas[coat][part >= 1.0].sum()) / whole
        return 1.0 if covered >= COVERED else 0.999 * min(1.0, float(areas[coat] @ part) / whole)

    grow(
        replace(
            problem,
            total_current=current,
            voltage_limit=cell_voltage_limit(supply, current),
            local_ceiling=ceilings(full, coat, limit, RAMP_FRACTION),
        ),
        [Segment(duration=allowed, current=current)],
        operators,
        control=_CONTROL,
        accuracy=_ACCURACY,
        memory=memory,
        watch=watch,
        reached=share,
    )
    covering = watch.covering()
    after = covering.time_of(COVERED)
    spent = float(np.interp(min(after, covering.times[-1]), covering.times, covering.charge))
    return StartFigures(
        covered_after=after,
        covered_share=covering.covered_share(float(covering.times[-1])),
        allowed=allowed,
        delay=max(0.0, after - spent / current) if np.isfinite(after) else inf,
        collar_fraction=max((collar.largest_fraction for collar in covering.collars), default=0.0),
        contact_currents=tuple(collar.largest_current for collar in covering.collars),
    )
