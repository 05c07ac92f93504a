"""The ramp: the most current that no place suffers from, moment by moment, and as a table.

While copper is thin and spreading, the supply is turned down until no place collects more than its
ceiling: a stated fraction of copper's limiting current density, or what the place will have to bear
in the end at the full current, if that is more. Following the ceilings is the fastest start that
keeps them, as every place's current rises with the supply's. The cell is solved with the ceiling as
the condition that holds (`FieldProblem.local_ceiling`), so the ramp is a growth like any other.

For a person it becomes at most twelve settings of a knob, each no more than the ramp allows at the
same charge and from then on; a slower start has spread the copper farther by the same charge, not
less, which `held_by_table` checks by growing with the table.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor, log10

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.base.errors import BadInput
from tankside.base.progress import Progress, silent
from tankside.field.deposit import Moment, Segment, StepControl
from tankside.field.growth import grow
from tankside.field.newton import Accuracy, PreconditionerMemory
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem, FieldSolution, IdealMetal
from tankside.field.seed.front import Covering
from tankside.field.solve import solve

MOST_SETTINGS = 12
_FINER_THAN = 1.12
"""Settings need not be closer than by this factor of the current [-]."""
_SHORTEST = 10.0
"""Time that a person needs between two settings [s]: our guess."""
_SLACK = 1.05
"""Over what a place bears in the end, so that the full current is reached in a finite time [-]."""
_VOLTAGE_MARGIN = 1.1
"""Voltage ceiling over the voltage that the ramp needs [-]: a contact that fails is then noticed
by the supply, and not hidden by a rising voltage."""
_SETTLED = 1e-5
"""A current this close to the full one is the full one [-]."""
GROWTH_ACCURACY = Accuracy(residual=1e-4)
"""Of the fields of a growth: thickness follows to 1e-3, which its steps do not resolve."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """From `start` [s] for `duration` [s] the supply holds `current` [A], with its voltage limit
    set to `voltage_ceiling` [V]. The last setting stays until the job is done."""

    start: float
    duration: float
    current: float
    voltage_ceiling: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RampCheck:
    """A table grown: the largest current density over its ceiling [-], and when a share of 99 % of
    the coat was covered with it [s]."""

    largest_load: float
    covered_99: float


def ceilings(
    full: FieldSolution, where: Bools, limit: float, fraction: float, others: float = 0.95
) -> Floats:
    """Local ceilings (n,) [A m⁻²]: on the panels `where`, `fraction` of copper's `limit` [A m⁻²];
    on other cathodes (wires, thieves) `others` of it; or what `full`, the field at the full current
    on solid metal, has there, if that is more."""
    for share in (fraction, others):
        if not 0 < share <= 1:
            raise BadInput(
                "a ramp keeps below a fraction of copper's limit between 0 and 1, not {share!r}",
                share=share,
            )
    cathode = full.problem.panels_of(anode=False)
    wanted = np.where(where, fraction, others) * limit
    return np.where(cathode, np.maximum(wanted, _SLACK * full.current_density), np.inf)


def full_field(
    problem: FieldProblem, operators: Operators, memory: PreconditionerMemory | None = None
) -> FieldSolution:
    """The field of `problem` as if its cathodes were solid metal."""
    metal = replace(problem, metal=IdealMetal(), local_ceiling=None)
    return solve(metal, operators, memory=memory)


def knob_table(
    covering: Covering, full_current: float, *, share: float = 1.0, most: int = MOST_SETTINGS
) -> tuple[Setting, ...]:
    """At most `most` settings that stay below `share` of the watched ramp at equal charge and
    after, up to `full_current` [A] or the largest that the ramp came to."""
    charge = covering.charge
    allowed = np.minimum.accumulate(covering.current[::-1])[::-1]
    full = allowed >= full_current * (1 - _SETTLED)
    allowed = np.where(full, full_current, share * allowed)
    ratio = _FINER_THAN
    while len(levels := _staircase(charge, allowed, ratio)) > most:
        ratio *= 1.05
    settings: list[Setting] = []
    time, spent = 0.0, 0.0
    for current, duration in levels:
        until = spent + current * duration
        volts = _most_between(charge, covering.voltage, spent, until)
        settings.append(
            Setting(
                start=time,
                duration=duration,
                current=current,
                voltage_ceiling=ceil(20 * _VOLTAGE_MARGIN * volts) / 20,
            )
        )
        time, spent = time + duration, until
    return tuple(settings)


def held_by_table(
    problem: FieldProblem,
    table: Sequence[Setting],
    operators: Operators,
    *,
    ceiling: Floats,
    coat: Bools,
    covering_thickness: float,
    control: StepControl,
    memory: PreconditionerMemory | None = None,
    progress: Progress = silent,
) -> RampCheck:
    """Grows with the table's settings and tells whether any place passes its ceiling."""
    cathode = problem.panels_of(anode=False)
    areas = problem.panels.areas
    found = {"load": 0.0, "covered": np.inf}

    def watched(moment: Moment) -> None:
        for field in (moment.before, moment.after):
            load = np.where(cathode, field.current_density / ceiling, 0.0)
            found["load"] = max(found["load"], float(load.max()))
        covered = coat & (moment.thickness >= covering_thickness)
        if float(areas[covered].sum()) >= 0.99 * float(areas[coat].sum()):
            found["covered"] = min(found["covered"], moment.end)

    recipe = [Segment(duration=entry.duration, current=entry.current) for entry in table]
    grow(
        replace(problem, local_ceiling=None),
        recipe,
        operators,
        progress,
        control=control,
        accuracy=GROWTH_ACCURACY,
        memory=memory,
        watch=watched,
    )
    return RampCheck(largest_load=found["load"], covered_99=found["covered"])


def _staircase(charge: Floats, allowed: Floats, ratio: float) -> list[tuple[float, float]]:
    """Currents [A] and durations [s]: each what is allowed at the charge spent until then, held
    until `ratio` times as much is, and no shorter than a person needs."""
    rising = allowed * (1 + 1e-12 * np.arange(len(allowed)))
    top, spent = float(allowed[-1]), 0.0
    steps: list[tuple[float, float]] = []
    while True:
        now = float(np.interp(spent, charge, allowed))
        current = top if now >= top else _rounded_down(now)
        if current >= top:
            return [*steps, (top, max((float(charge[-1]) - spent) / top, _SHORTEST))]
        until = float(np.interp(min(ratio * current, top), rising, charge))
        duration = _timed((until - spent) / current)
        steps.append((current, duration))
        spent += current * duration


def _rounded_down(current: float) -> float:
    digits = 1 - floor(log10(current))
    return float(floor(current * 10.0**digits + 1e-9) / 10.0**digits)


def _timed(seconds: float) -> float:
    """Rounded up to what a person times, and long enough to turn a knob in."""
    step = 5.0 if seconds <= 120 else 10.0 if seconds <= 600 else 60.0
    return max(_SHORTEST, step * ceil(seconds / step - 1e-9))


def _most_between(places: Floats, values: Floats, first: float, last: float) -> float:
    """The largest of values given at rising places, between two of them."""
    inside = values[(places >= first) & (places <= last)]
    ends = np.interp([first, last], places, values)
    return float(max(ends.max(), inside.max(initial=0.0)))
