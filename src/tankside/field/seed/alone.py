"""The metal's share of a cell alone: kinetics and the metal's resistance, without the solution's.

    i = law(eta),   eta - R i = bar + drop(i) - phi0,

with phi0 the potential of the solution far away and R one resistance of unit area that stands for
the solution in between. As i falls with eta and the metal's resistance is symmetric and positive,
the answer minimises a convex energy, so Newton's method with a line search always finds it, however
resistive the coat. The whole cell's Newton iteration starts from it; with R = 0 it is the problem
of the terminal effect that has closed forms.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import NotConverged
from tankside.field.loadline import overpotential_on_load_line
from tankside.field.problem import FieldProblem

_LARGEST_ITERATIONS = 400
"""Where exponentials rule, a step advances by one thermal voltage: 12 V take some 120."""
_FLAT = 0.1
"""Slope of the energy along a step over that at its start, below which the step is kept [-]."""


@dataclass(frozen=True, kw_only=True)
class Alone:
    """bar [V] against the far solution; overpotential [V], current_density [A m⁻²] and drop [V] on
    all panels (n,), 0 off the cathodes; iterations."""

    bar: float
    overpotential: Floats
    current_density: Floats
    drop: Floats
    iterations: int


def settled_alone(
    problem: FieldProblem,
    *,
    total_current: float | None = None,
    bar: float = 0.0,
    resistance: float = 0.0,
    tolerance: float = 1e-8,
) -> Alone:
    """The cathodes at a total current [A], or with it left out, at the bar's potential [V] against
    the solution; resistance [ohm m²] stands for the solution's. NotConverged is our fault."""
    cathodes = _Cathodes(problem, resistance)
    now = cathodes.at(np.zeros(len(problem.panels)), bar, np.zeros(len(problem.panels)))
    carried = np.zeros(len(problem.panels))
    for iteration in range(_LARGEST_ITERATIONS):
        step = _step(cathodes, now, carried, total_current)
        if step.size(cathodes.areas, now, carried, total_current) <= tolerance:
            return Alone(
                bar=now.bar,
                overpotential=now.overpotential,
                current_density=now.current_density,
                drop=now.drop,
                iterations=iteration,
            )
        now, carried = _searched(cathodes, now, carried, step, total_current)
    raise NotConverged(
        "the coat alone did not settle in {largest_iterations} steps",
        largest_iterations=_LARGEST_ITERATIONS,
        residual=float(np.abs(carried - now.current_density).max()),
        iterations=_LARGEST_ITERATIONS,
    )


@dataclass(frozen=True, kw_only=True)
class _Point:
    bar: float
    drop: Floats
    overpotential: Floats
    current_density: Floats
    response: Floats


class _Cathodes:
    """The cathodes' kinetics behind one resistance."""

    def __init__(self, problem: FieldProblem, resistance: float) -> None:
        self.problem, self.resistance = problem, resistance
        self.cathode = problem.panels_of(anode=False)
        self.areas = np.where(self.cathode, problem.panels.areas, 0.0)
        self.members = [
            (
                electrode.law,
                np.flatnonzero(self.cathode & (problem.panels.group == electrode.group)),
            )
            for electrode in problem.electrodes
            if not electrode.anode
        ]

    def at(self, drop: Floats, bar: float, near: Floats) -> _Point:
        """What follows from the metal's potentials."""
        eta, current, response = (np.zeros(len(drop)) for _ in range(3))
        for law, panels in self.members:
            against = bar + drop[panels]
            if self.resistance > 0:
                along = np.full(len(panels), self.resistance)
                eta[panels] = overpotential_on_load_line(law, -against, along, near[panels])
            else:
                eta[panels] = against
            current[panels], slope = law.current_and_slope(eta[panels])
            response[panels] = -slope / (1.0 - self.resistance * slope)
        return _Point(
            bar=bar, drop=drop, overpotential=eta, current_density=current, response=response
        )


@dataclass(frozen=True, kw_only=True)
class _Step:
    """Change of drop (n,) [V] and of the bar [V], and the current (n,) [A m⁻²] that the metal
    carries at the end."""

    drop: Floats
    bar: float
    carried: Floats

    def size(
        self, areas: Floats, now: _Point, carried: Floats, total_current: float | None
    ) -> float:
        """What is missed, over the currents at hand [-]."""
        scale = float(areas @ np.abs(now.current_density)) + 1e-300
        missed = float(areas @ np.abs(now.current_density - carried)) / scale
        if total_current is not None:
            missed += abs(float(areas @ now.current_density) / total_current - 1)
        return missed


def _step(cathodes: _Cathodes, now: _Point, carried: Floats, total_current: float | None) -> _Step:
    """Newton's, with the bar's change eliminated by what its volt brings."""
    reacting = cathodes.problem.metal.reacting(now.response)
    areas = cathodes.areas
    drop = reacting(now.current_density + now.response * now.drop)
    bar = 0.0
    if total_current is not None:
        by_bar = -reacting(now.response)
        unmoved = now.current_density - now.response * (drop - now.drop)
        answer = float(areas @ (now.response * (1.0 + by_bar)))
        bar = (float(areas @ unmoved) - total_current) / answer
        drop = drop + bar * by_bar
    at_end = now.current_density - now.response * (drop - now.drop + bar)
    return _Step(drop=drop - now.drop, bar=bar, carried=at_end)


def _searched(
    cathodes: _Cathodes, now: _Point, carried: Floats, step: _Step, total_current: float | None
) -> tuple[_Point, Floats]:
    """The point where the energy has stopped falling along the step, nearly."""

    def tried(length: float) -> tuple[_Point, Floats, float]:
        point = cathodes.at(
            now.drop + length * step.drop, now.bar + length * step.bar, now.overpotential
        )
        along = carried + length * (step.carried - carried)
        slope = float(cathodes.areas @ (step.drop * (along - point.current_density)))
        slope -= step.bar * float(cathodes.areas @ point.current_density)
        return point, along, slope + step.bar * (total_current or 0.0)

    _, _, first = tried(0.0)
    low, high, length = 0.0, 1.0, 1.0
    at_low, at_high = first, 0.0
    for _ in range(40):
        point, along, slope = tried(length)
        if slope <= _FLAT * abs(first):
            return point, along
        high, at_high = length, slope
        share = at_low / (at_low - at_high)
        length = low + min(max(share, 0.1), 0.9) * (high - low)
    return point, along
