"""Grows copper over a coat in a lumped cell, with the time steps of a whole growth."""

from collections.abc import Callable

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import NotConverged
from tankside.field.deposit import Moment, StepControl
from tankside.field.seed.lumped import LumpedCell
from tankside.field.seed.lumped_newton import settled_lumped
from tankside.field.stepping import (
    LastStep,
    gain,
    gain_foreseen,
    next_duration,
    share_to_goal,
    step_error,
)

_SHORTEST = 1e-9
"""Of the time that is allowed: no step is shorter [-]."""


def grow_lumped(
    cell: LumpedCell,
    duration: float,
    control: StepControl,
    watch: Callable[[Moment], None],
    reached: Callable[[Floats], float],
) -> Floats:
    """The deposit (m,) [m] on the cell's coats after `duration` [s], or once `reached`, a rising
    measure of it, comes to 1. `watch` is called with every step, its fields on the coats' panels.
    """
    thickness = np.zeros(len(cell.problem.panels))
    state = settled_lumped(cell, cell.shell, None)
    now, last = cell.solution(cell.shell, state), None
    time, trial, done = 0.0, control.first_step, False
    while time < duration and not done:
        step = min(trial, duration - time)
        shell = cell.shell.grown(thickness + gain_foreseen(now, last, step))
        new = settled_lumped(cell, shell, state)
        after = cell.solution(shell, new)
        error = step_error(control, thickness, (now, after, step), last)
        trial = next_duration(step, error, last)
        if error > 1.0:
            if trial < _SHORTEST * duration:
                raise NotConverged(
                    "the start stopped at {time:.4g} s: no step is short enough",
                    time=time,
                    residual=error,
                    iterations=0,
                )
            continue
        share = share_to_goal(reached, thickness, gain(now, after, step))
        done = share is not None
        step *= 1.0 if share is None else share
        grown = thickness + gain(now, after, step)
        watch(
            Moment(
                start=time,
                end=time + step,
                thickness_before=thickness,
                thickness=grown,
                before=now,
                after=after,
            )
        )
        last = LastStep(field=now, duration=step)
        thickness, state, now, time = grown, new, after, time + step
    return thickness
