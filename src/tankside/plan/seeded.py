"""The start of a part that conducts only through a coat: front, collars, ramp, and the build after.

    coat and contacts -> shell -> ceilings -> growth that follows them -> table of settings

The current of the plan is that of the metal part that the coat becomes; until then the supply is
turned down so that no place of a coated part passes RAMP_FRACTION of copper's limit, or what it
will have to bear at the full current. Resistances are at their best guess: how far the covering
time moves within their intervals is told in words.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil, sqrt

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.messages import said
from tankside.base.progress import Progress
from tankside.bath.deposit import deposit_resistivity
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.bodies import Cell, Role
from tankside.cell.coating import End
from tankside.field.deposit import Growth, Moment, Segment, StepControl
from tankside.field.growth import grow
from tankside.field.loadline import overpotential_at
from tankside.field.newton import PreconditionerMemory
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem
from tankside.field.seed.coat import Coat, DepositConduction
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.front import Covering, FrontWatch
from tankside.field.seed.one_way import OneWay
from tankside.field.seed.ramp import (
    GROWTH_ACCURACY,
    RampCheck,
    Setting,
    ceilings,
    held_by_table,
    knob_table,
)
from tankside.field.seed.shell import SeedShell, seed_shell
from tankside.plan.course import CourseWatch
from tankside.plan.outcome import Outcome
from tankside.plan.plan import CourseMoment, Goal, MeasuredAt, Supply
from tankside.plan.start import OVER, SeedStart

RAMP_FRACTION = 0.5
"""Of copper's limiting current density, which a ramp keeps below on a coat [-]: our choice, where
deposits begin to roughen on smooth metal."""

_FIRST_STEP = StepControl(first_step=0.1)
_PATIENCE = 3.0, 6 * 3600.0
"""The longest that a start may take: times what metal takes [-], and more [s]."""


def is_coated(cell: Cell) -> bool:
    """True where a part of the cell conducts only through a coat."""
    return any(body.coat is not None for body in cell.bodies)


def shell_of(
    cell: Cell, problem: FieldProblem, electrolyte: Electrolyte, end: End = "best"
) -> SeedShell:
    """The coats of a cell's parts, held by the contacts on them; at one `end` of what is known of
    their sheet resistance, or at best."""
    coated = {body.number for body in cell.of_role(Role.PART) if body.coat is not None}
    contacts = tuple(
        ShellContact(
            name=said("contact {number}", number=contact.number),
            position=contact.position,
            radius=contact.wire_diameter / 2,
        )
        for contact in cell.contacts
        if contact.part in coated
    )
    resistivity = deposit_resistivity(electrolyte.temperature).best
    return seed_shell(
        problem.panels,
        _coat_of(cell, problem.panels.group, end),
        contacts,
        DepositConduction(resistivity=resistivity),
    )


def _coat_of(cell: Cell, group: Ints, end: End) -> Coat:
    """All parts' coats on the panels of a problem."""
    resistance = np.full(len(group), np.nan)
    across = np.ones(len(group))
    strokes = np.zeros((len(group), 3))
    for number, body in enumerate(cell.bodies):
        if body.role is Role.PART and body.coat is not None:
            own = group == number
            resistance[own] = body.coat.at(end)
            if body.coat.strokes is not None:
                strokes[own] = body.coat.strokes
                across[own] = body.coat.across_over_along
    if not strokes.any():
        return Coat(sheet_resistance=resistance)
    return Coat(sheet_resistance=resistance, strokes=strokes, across_over_along=across)


def coated_problem(
    cell: Cell, metal: FieldProblem, electrolyte: Electrolyte, end: End = "best"
) -> FieldProblem:
    """The problem of a cell with its parts' coats, for one of solid `metal`."""
    shell = shell_of(cell, metal, electrolyte, end)
    numbers = {n for n, body in enumerate(cell.bodies) if body.coat is not None}
    electrodes = tuple(
        replace(entry, law=OneWay(law=entry.law)) if entry.group in numbers else entry
        for entry in metal.electrodes
    )
    return replace(metal, metal=shell, electrodes=electrodes, insulated=shell.insulated)


@dataclass(frozen=True, kw_only=True)
class SeededGrowth:
    """A coated part grown to its goal: the deposit, how it started, and moments on the way."""

    growth: Growth
    start: SeedStart
    course: tuple[CourseMoment, ...]


def seeded_growth(
    outcome: Outcome,
    electrolyte: Electrolyte,
    goal: Goal,
    supply: Supply,
    operators: Operators,
    memory: PreconditionerMemory,
    progress: Progress,
) -> SeededGrowth:
    """Grows from bare coat to the goal's thickness at the current of `outcome`, which is that of
    solid metal, reached as fast as the ceilings allow."""
    full, cell = outcome.solution, outcome.cell
    current = full.problem.total_current
    problem = replace(
        coated_problem(cell, full.problem, electrolyte),
        voltage_limit=cell_voltage_limit(supply, current),
    )
    shell = problem.metal
    if not isinstance(shell, SeedShell):
        raise TypeError("a coated problem's metal is its shell")
    coat = shell.coat.coated
    limit = electrolyte.limiting_current_density.best
    ceiling = ceilings(full, coat, limit, RAMP_FRACTION)
    front, course = FrontWatch(shell), CourseWatch(cell)

    def watch(moment: Moment) -> None:
        front(moment)
        course(moment)

    on_metal = goal.thickness / outcome.part_rate(goal.measured_at)
    longest = _PATIENCE[0] * on_metal + _PATIENCE[1]
    growth = grow(
        replace(problem, local_ceiling=ceiling),
        [Segment(duration=longest, current=current)],
        operators,
        progress,
        control=_FIRST_STEP,
        accuracy=GROWTH_ACCURACY,
        memory=memory,
        watch=watch,
        reached=lambda thickness: _reached(outcome, goal, thickness),
    )
    start = _start_of(
        replace(problem, local_ceiling=ceiling),
        front.covering(),
        supply,
        operators,
        memory,
        progress,
    )
    until = max(start.ramp_end, _finite(start.covering.time_of(0.99)))
    return SeededGrowth(growth=growth, start=start, course=course.course(until))


def _start_of(
    problem: FieldProblem,
    covering: Covering,
    supply: Supply,
    operators: Operators,
    memory: PreconditionerMemory,
    progress: Progress,
) -> SeedStart:
    """The watched start under the ceilings of `problem`, with its table of settings."""
    current = problem.total_current
    none = np.zeros(len(problem.panels), dtype=np.bool_)
    unfed = none if problem.insulated is None else problem.insulated

    def grown(table: tuple[Setting, ...]) -> RampCheck:
        return held_by_table(
            problem,
            table,
            operators,
            ceiling=problem.ceilings,
            coat=~np.isnan(covering.covered_at) & ~unfed,
            covering_thickness=covering.covering_thickness,
            control=_FIRST_STEP,
            memory=memory,
            progress=progress,
        )

    table, check = _table(_of_ramp(covering, current), current, grown)
    return SeedStart(
        covering=covering,
        table=_at_the_supply(table, supply),
        check=check,
        ramp_end=_ramp_end(covering, current),
        insulated=unfed,
        decay_length=_decay_length(problem),
        panel_size=float(np.median(np.sqrt(2 * covering.areas[~np.isnan(covering.covered_at)]))),
    )


def _decay_length(problem: FieldProblem) -> float:
    """sqrt(r / R_s) at the ceilings, r the kinetics' resistance of unit area there [m]; of the
    poorest coat."""
    shell = problem.metal
    if not isinstance(shell, SeedShell):
        raise TypeError("a coated problem's metal is its shell")
    coat = shell.coat.conducts
    poorest = float(shell.coat.sheet_resistance[coat].max())
    law = next(entry.law for entry in problem.electrodes if isinstance(entry.law, OneWay))
    density = float(problem.ceilings[coat].min())
    slope = float(law.slope(np.array([overpotential_at(law, density)]))[0])
    return sqrt(-1.0 / (slope * poorest))


def _table(
    ramp: Covering, current: float, grown: Callable[[tuple[Setting, ...]], RampCheck]
) -> tuple[tuple[Setting, ...], RampCheck]:
    """The settings, and what came of growing with them: once more, lower, where a place bore more
    than the ramp allows."""
    table = knob_table(ramp, current)
    check = grown(table)
    if check.largest_load <= OVER:
        return table, check
    table = knob_table(ramp, current, share=0.97 / check.largest_load)
    return table, grown(table)


def _reached(outcome: Outcome, goal: Goal, thickness: Floats) -> float:
    """The goal's measure of a deposit over what is wanted [-]."""
    found = outcome.spread(thickness)
    value = found.mean if goal.measured_at is MeasuredAt.MEAN else found.p05
    return value / goal.thickness


def _at_the_supply(table: tuple[Setting, ...], supply: Supply) -> tuple[Setting, ...]:
    """The settings with the leads' drop added to their voltage ceilings."""
    leads = supply.lead_resistance.high
    return tuple(
        replace(
            entry,
            voltage_ceiling=min(
                ceil(20 * (entry.voltage_ceiling + entry.current * leads)) / 20,
                supply.voltage_limit,
            ),
        )
        for entry in table
    )


def cell_voltage_limit(supply: Supply, current: float) -> float:
    """What the supply leaves to the cell [V]: leads at the full current are taken off."""
    return max(supply.voltage_limit - current * supply.lead_resistance.best, 1e-3)


def _ramp_end(covering: Covering, current: float) -> float:
    """When the supply first holds the full current, and from then on [s]."""
    below = np.flatnonzero(covering.current < current * (1 - 1e-6))
    last = int(below[-1]) + 1 if len(below) else 0
    return float(covering.times[min(last, len(covering.times) - 1)])


def _of_ramp(covering: Covering, current: float) -> Covering:
    """The watched growth up to a little beyond the ramp and the covering: what a table needs."""
    until = max(_ramp_end(covering, current), _finite(covering.time_of(0.99)))
    last = int(np.searchsorted(covering.times, until)) + 1
    return replace(
        covering,
        times=covering.times[: last + 1],
        current=covering.current[: last + 1],
        voltage=covering.voltage[: last + 1],
        heat=covering.heat[: last + 1],
    )


def _finite(time: float) -> float:
    return time if np.isfinite(time) else 0.0
