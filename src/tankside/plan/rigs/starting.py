"""Whether a coated rig starts: in a third of a second, or by the whole growth.

    full current's field -> ceilings -> growth under them until copper covers the coat

The quick way takes the solution from that one field (field/seed/lumped.py) and is for every rig
that a search tries and for every choice of wires; the whole one solves the solution at each step
and is for the few that are told. Both step in time as a plan does. The coat is taken at the high
end of what is believed of its sheet resistance (nine times in ten), as a rig that starts on a poor
coat starts on a good one. What a start costs a job is the time that it lasts, less that in which
the full current would have passed the same charge.
"""

from dataclasses import dataclass, replace
from math import inf

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.base.messages import Quantity, said
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.bodies import Cell
from tankside.cell.coating import End
from tankside.field.deposit import Segment, StepControl
from tankside.field.growth import grow
from tankside.field.newton import PreconditionerMemory
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem, FieldSolution
from tankside.field.seed.front import BURNING_FROM, Covering, FrontWatch
from tankside.field.seed.lumped import LumpedCell, lumped
from tankside.field.seed.lumped_growth import grow_lumped
from tankside.field.seed.ramp import GROWTH_ACCURACY, ceilings
from tankside.field.seed.shell import SeedShell
from tankside.plan.plan import Supply
from tankside.plan.seeded import RAMP_FRACTION, cell_voltage_limit, coated_problem

COVERED = 0.99
"""Share of the coat's area from which a start is over [-]."""

LEAST_PATIENCE = 1800.0
PATIENCE_SHARE = 0.1
"""A start may take a tenth of what the deposit takes on metal, and half an hour at least [s]: our
choice, for coats that stand in acid meanwhile."""

_CONTROL = StepControl(first_step=0.1)
"""A plan's own: with steps ten times as loose, poor coats took two to five times as long."""


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

    @property
    def failure(self) -> str:
        """Why the start fails, or ""."""
        if self.covered_after > self.allowed:
            return said(
                "copper covers {share} % of the coat in the {time} that it may take",
                share=f"{100 * self.covered_share:.0f}",
                time=Quantity(self.allowed, "min", decimals=0),
            )
        if self.collar_fraction >= BURNING_FROM:
            return said(
                "a collar burns: it bears {share} % of copper's limit while its copper is thin",
                share=f"{100 * self.collar_fraction:.0f}",
            )
        return ""


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
    """The start of a coated cell up to the current of `full`, its field on solid metal: the whole
    growth."""
    problem = starting_problem(cell, full, electrolyte, supply, end)
    shell = problem.metal
    if not isinstance(shell, SeedShell):
        raise TypeError("a coated problem's metal is its shell")
    watch = FrontWatch(shell)
    grow(
        problem,
        [Segment(duration=allowed, current=full.supply_current)],
        operators,
        control=_CONTROL,
        accuracy=GROWTH_ACCURACY,
        memory=memory,
        watch=watch,
        reached=_Reached(watch, problem.panels.areas, shell.coat.coated),
    )
    return _figures(watch.covering(), full.supply_current, allowed)


def quick_start(cell: LumpedCell, allowed: float) -> StartFigures:
    """The start of a coated cell whose solution is lumped."""
    watch = FrontWatch(cell.shell)
    everything = np.ones(len(cell.problem.panels), dtype=np.bool_)
    reached = _Reached(watch, cell.problem.panels.areas, everything)
    grow_lumped(cell, allowed, _CONTROL, watch, reached)
    return _figures(watch.covering(), cell.problem.total_current, allowed)


def lumped_start(
    cell: Cell,
    full: FieldSolution,
    electrolyte: Electrolyte,
    supply: Supply,
    end: End = "high",
) -> LumpedCell:
    """The coats of a cell in its field on solid metal, for quick starts."""
    return lumped(starting_problem(cell, full, electrolyte, supply, end), full)


def starting_problem(
    cell: Cell, full: FieldSolution, electrolyte: Electrolyte, supply: Supply, end: End
) -> FieldProblem:
    """The coated cell under the ramp's ceilings, at the current of `full`."""
    current = full.supply_current
    problem = coated_problem(cell, full.problem, electrolyte, end)
    shell = problem.metal
    if not isinstance(shell, SeedShell):
        raise TypeError("a coated problem's metal is its shell")
    limit = electrolyte.limiting_current_density.best
    return replace(
        problem,
        total_current=current,
        voltage_limit=cell_voltage_limit(supply, current),
        local_ceiling=ceilings(full, shell.coat.coated, limit, RAMP_FRACTION),
    )


@dataclass(frozen=True, eq=False)
class _Reached:
    """How far a start is, from the thickness (n,): rising, and 1 where the share COVERED is; shares
    between panels by their thickness."""

    watch: FrontWatch
    areas: Floats
    coat: Bools

    def __call__(self, thickness: Floats) -> float:
        areas = self.areas[self.coat]
        whole = float(areas.sum())
        part = np.clip(thickness[self.coat] / self.watch.covering_thickness, 0.0, 1.0)
        if float(areas[part >= 1.0].sum()) >= COVERED * whole:
            return 1.0
        return 0.999 * min(1.0, float(areas @ part) / whole)


def _figures(covering: Covering, current: float, allowed: float) -> StartFigures:
    """What came of a start to a full current [A]."""
    end = float(covering.times[-1])
    after = covering.time_of(COVERED)
    if covering.covered_share(end) >= COVERED:
        after = min(after, end)  # a percentile between the last covered place and a bare one
    spent = float(np.interp(min(after, end), covering.times, covering.charge))
    return StartFigures(
        covered_after=after,
        covered_share=covering.covered_share(end),
        allowed=allowed,
        delay=max(0.0, after - spent / current) if np.isfinite(after) else inf,
        collar_fraction=max((collar.largest_fraction for collar in covering.collars), default=0.0),
        contact_currents=tuple(collar.largest_current for collar in covering.collars),
    )
