"""How a growth steps in time: foreseen, corrected, and judged by the difference.

A step foresees the deposit by the second-order Adams-Bashforth rule from the rates at its start and
one step earlier (the first step by Euler's), and corrects it by the trapezoidal rule with the rate
in the field of the foreseen deposit. Milne's device takes the corrected deposit's error from the
difference of the two. Hairer, Norsett and Wanner 1993, chapter III.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from tankside.base.arrays import Floats
from tankside.field.deposit import THICKNESS_PER_CHARGE, StepControl
from tankside.field.problem import FieldSolution
from tankside.field.start import foreseen

_LONGEST_RATIO = 2.0
"""Between one step and the next: what is foreseen is foreseen over so much [-]."""


@dataclass(frozen=True, kw_only=True)
class LastStep:
    """The step before: the field at its start, and its duration [s]."""

    field: FieldSolution
    duration: float


def gain_foreseen(now: FieldSolution, last: LastStep | None, duration: float) -> Floats:
    """What the next step adds (n,) [m]."""
    current = now.copper_current_density
    if last is not None:
        rise = current - last.field.copper_current_density
        current = current + duration / (2 * last.duration) * rise
    return np.asarray(THICKNESS_PER_CHARGE * duration * current)


def gain(before: FieldSolution, after: FieldSolution, duration: float) -> Floats:
    """What a step added (n,) [m]."""
    current = (before.copper_current_density + after.copper_current_density) / 2
    return np.asarray(THICKNESS_PER_CHARGE * duration * current)


def field_foreseen(now: FieldSolution, last: LastStep | None, duration: float) -> FieldSolution:
    """Where the solver starts for the end of the next step: the field as it went on so far."""
    return now if last is None else foreseen(last.field, now, duration / last.duration)


def step_error(
    control: StepControl,
    thickness: Floats,
    step: tuple[FieldSolution, FieldSolution, float],
    last: LastStep | None,
) -> float:
    """Error of a step (its ends' fields and duration) from `thickness` (n,) [m], over what is
    allowed, rms over the cathodes' area [-]."""
    before, after, duration = step
    cathode = before.problem.panels_of(anode=False)
    corrected = gain(before, after, duration)
    missed = (corrected - gain_foreseen(before, last, duration))[cathode]
    if last is not None:
        missed = missed / (3 * (1 + last.duration / duration))
    grown = np.abs(thickness + corrected)[cathode]
    over = missed / (control.absolute + control.relative * grown)
    return float(np.sqrt(np.average(over**2, weights=before.problem.panels.areas[cathode])))


def next_duration(duration: float, error: float, last: LastStep | None) -> float:
    """The step to try after one with this error [s]."""
    power = 1 / 2 if last is None else 1 / 3
    return float(duration * min(_LONGEST_RATIO, max(0.2, 0.9 / max(error, 1e-6) ** power)))


def share_to_goal(
    reached: Callable[[Floats], float], thickness: Floats, added: Floats
) -> float | None:
    """The share of a step after which a rising measure of the thickness comes to 1; None where it
    does not within the step."""

    def lacking(share: float) -> float:
        return reached(thickness + share * added) - 1.0

    if lacking(1.0) < 0:
        return None
    return float(brentq(lacking, 0.0, 1.0, xtol=1e-12)) if lacking(0.0) < 0 else 1.0
