"""Where Newton's method starts: uniform current on each pole, or earlier solutions.

A start at rest fails on steep kinetics, as the first step overshoots the exponentials; from uniform
current, three or four steps suffice. From solutions at a few currents the next is extrapolated, and
one or two are enough.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import log, pi, sqrt
from typing import Any

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.field.loadline import overpotential_at
from tankside.field.problem import Electrode, FieldProblem, FieldSolution, IdealMetal
from tankside.field.problem_checks import largest_current_density
from tankside.field.seed.alone import settled_alone
from tankside.field.system import BoundarySystem, State

_LARGEST_FACTOR = 3.0
"""Between the current of an earlier solution and the one asked for; beyond, it is no guide [-]."""

_LARGEST_CHANGE_V = 0.1
"""Of an overpotential, from an earlier solution to the start made of it [V]."""

_SHARE_OF_MOST = 0.9
"""Of the most that a law can carry: the start asks for no more of it."""


def uniform_start(system: BoundarySystem) -> State:
    """The supply's current spread evenly over the cathodes and over the anodes; walls at the
    anodes' potential; the bar's potential by a rough estimate of the solution's resistance."""
    problem = system.problem
    if not isinstance(problem.metal, IdealMetal):
        return _start_of_metal(system)
    current = problem.total_current
    if system.held_voltage is not None:
        current = _current_at(problem, system.held_voltage)
    elif system.held_panel is not None:
        current = system.cathode_area * system.ceiling(system.held_panel)
    panels = problem.panels
    eta, flow = np.zeros(len(panels)), np.zeros(len(panels))
    for electrode, overpotential, density in _uniform(problem, current):
        members = panels.group == electrode.group
        eta[members], flow[members] = overpotential, density
    anode, cathode = problem.panels_of(anode=True), system.cathode
    near_anodes = -float(np.average(eta[anode], weights=panels.areas[anode]))
    bar = near_anodes + float(np.average(eta[cathode], weights=panels.areas[cathode]))
    bar -= current * _rough_resistance(problem)
    if system.held_voltage is not None:
        bar = -system.held_voltage
    load = np.where(system.electrode, system.load_resistance * flow - eta, near_anodes)
    return system.evaluated(load, bar, 0.0, eta)


@dataclass(frozen=True, slots=True)
class _Guess:
    """Unknowns to start from, as `BoundarySystem.evaluated` takes them."""

    load: Floats
    bar: float
    closing: float
    overpotential: Floats

    def evaluated(self, system: BoundarySystem) -> State:
        return system.evaluated(self.load, self.bar, self.closing, self.overpotential)


def start_from(system: BoundarySystem, solution: FieldSolution) -> State:
    """An earlier solution on the same panels as a start, brought to the current to be held: all
    current densities and drops in the solution by one factor, overpotentials along their slope."""
    return _brought(system, solution).evaluated(system)


def _brought(system: BoundarySystem, solution: FieldSolution) -> _Guess:
    if len(solution.potential) != len(system.areas):
        raise BadInput(
            "a start of {potential} panels does not fit a problem of {areas}",
            potential=len(solution.potential),
            areas=len(system.areas),
        )
    electrode, held = system.electrode, system.held_voltage
    factor = _factor(system, solution)
    if not 1 / _LARGEST_FACTOR <= factor <= _LARGEST_FACTOR:
        even = uniform_start(system)
        return _Guess(even.load, even.bar, even.closing, even.overpotential)
    before = np.where(electrode, np.nan_to_num(solution.overpotential), 0.0)
    current = factor * solution.current_density
    eta = before + _change_of_overpotential(system, before, factor)
    near_anodes, after = (-_weighted(solution, values, anode=True) for values in (before, eta))
    walls = after + factor * (solution.potential - near_anodes)
    load = np.where(electrode, system.load_resistance * current - eta, walls)
    bar = solution.cathode_potential
    if held is not None:
        bar = -held
    elif factor != 1.0:
        drop = _weighted(solution, solution.metal_potential - bar, anode=False)
        bar = _weighted(solution, walls, anode=False) - factor * drop
        bar += _weighted(solution, eta, anode=False)
    closing = -solution.leak * solution.supply_current * factor / system.anode_area
    return _Guess(load, bar, closing, eta)


def start_along(system: BoundarySystem, earlier: Sequence[FieldSolution]) -> State:
    """A start from solutions at other currents on the same panels and metal, the nearest last.

    Each is brought to the current to be held, as by start_from; what that misses is smooth in the
    logarithm of the current it came from, so it is extrapolated to the current asked for.
    """
    last = _brought(system, earlier[-1])
    if len(earlier) == 1 or system.held_voltage is not None or system.held_panel is not None:
        return last.evaluated(system)
    wanted = log(system.problem.total_current)
    nodes = [log(solution.supply_current) for solution in earlier]
    if abs(wanted - nodes[-1]) > max(abs(node - nodes[-1]) for node in nodes):
        return last.evaluated(system)
    starts = [*(_brought(system, solution) for solution in earlier[:-1]), last]
    weights = [_lagrange(nodes, k, wanted) for k in range(len(nodes))]
    pairs = list(zip(weights, starts, strict=True))
    return system.evaluated(
        np.asarray(sum(weight * start.load for weight, start in pairs)),
        sum(weight * start.bar for weight, start in pairs),
        sum(weight * start.closing for weight, start in pairs),
        last.overpotential,
    )


def foreseen(earlier: FieldSolution, last: FieldSolution, ratio: float) -> FieldSolution:
    """A start for a field that is to follow: `last` and `ratio` times its change since `earlier`,
    which were found by the same rule; `last` itself where they were not."""
    alike = (earlier.voltage_limited, earlier.ceiling_panel is None) == (
        last.voltage_limited,
        last.ceiling_panel is None,
    )
    if not alike:
        return last

    def onward(name: str) -> Any:
        after = getattr(last, name)
        return after + ratio * (after - getattr(earlier, name))

    names = ("current_density", "potential", "metal_potential", "cathode_potential")
    supply = onward("supply_current")
    if not 1 / _LARGEST_FACTOR < supply / last.supply_current < _LARGEST_FACTOR:
        return last
    return replace(last, supply_current=supply, **{name: onward(name) for name in names})


def _lagrange(nodes: Sequence[float], k: int, wanted: float) -> float:
    """Weight of node k in the polynomial through all nodes, at `wanted`."""
    weight = 1.0
    for j, node in enumerate(nodes):
        if j != k:
            weight *= (wanted - node) / (nodes[k] - node)
    return weight


def _factor(system: BoundarySystem, solution: FieldSolution) -> float:
    """What is to be held, over what it is in an earlier solution [-]; 0 where that is no guide."""
    if system.held_voltage is not None:
        return 1.0
    if system.held_panel is None:
        return system.problem.total_current / solution.supply_current
    before = float(solution.current_density[system.held_panel])
    return system.ceiling(system.held_panel) / before if before > 0 else 0.0


def _start_of_metal(system: BoundarySystem) -> State:
    """The cathodes as they would be behind one resistance that stands for the solution, with the
    drop in their metal: uniform current is no guide where that drop is large."""
    problem = system.problem
    resistance = _rough_resistance(problem) * system.cathode_area
    if system.held_voltage is not None:
        found = settled_alone(problem, bar=-system.held_voltage, resistance=resistance)
    elif system.held_panel is not None:
        panel = system.held_panel
        law = next(law for law, members in system.members if panel in members)
        density = min(system.ceiling(panel), _SHARE_OF_MOST * largest_current_density(law))
        bar = overpotential_at(law, density) - resistance * density
        found = settled_alone(problem, bar=bar, resistance=resistance)
    else:
        found = settled_alone(
            problem, total_current=problem.total_current, bar=-1e-3, resistance=resistance
        )
    eta, flow = found.overpotential.copy(), found.current_density.copy()
    supply = float(flow @ system.areas)
    for electrode in problem.electrodes:
        if electrode.anode:
            members = system.anode & (problem.panels.group == electrode.group)
            flow[members] = -supply / system.anode_area
            eta[members] = overpotential_at(electrode.law, -supply / system.anode_area)
    near_anodes = -float(np.average(eta[system.anode], weights=system.areas[system.anode]))
    bar = found.bar + near_anodes if system.held_voltage is None else -system.held_voltage
    load = np.where(system.electrode, system.load_resistance * flow - eta, near_anodes)
    return system.evaluated(load, bar, 0.0, eta)


def _change_of_overpotential(system: BoundarySystem, before: Floats, factor: float) -> Floats:
    """First order change of eta (n,) [V] when every current density goes by `factor`; at most
    _LARGEST_CHANGE_V, which rules where a law is flat."""
    change = np.zeros_like(before)
    for law, panels in system.members:
        rise = (factor - 1.0) * law.current_density(before[panels])
        steepness = np.maximum(-law.slope(before[panels]), np.abs(rise) / _LARGEST_CHANGE_V)
        change[panels] = -rise / np.where(steepness > 0, steepness, 1.0)
    return change


def _weighted(solution: FieldSolution, values: Floats, *, anode: bool) -> float:
    """Mean of `values` over a pole's panels, by area."""
    members = solution.problem.panels_of(anode=anode)
    return float(np.average(values[members], weights=solution.problem.panels.areas[members]))


def _uniform(problem: FieldProblem, current: float) -> list[tuple[Electrode, float, float]]:
    """Each electrode with the overpotential [V] and current density [A m⁻²] of a uniform start."""
    found = []
    for electrode in problem.electrodes:
        area = float(problem.panels.areas[problem.panels_of(anode=electrode.anode)].sum())
        density = -current / area if electrode.anode else current / area
        if not electrode.anode:
            density = min(density, _SHARE_OF_MOST * largest_current_density(electrode.law))
        found.append((electrode, overpotential_at(electrode.law, density), density))
    return found


def _rough_resistance(problem: FieldProblem) -> float:
    """That of a sphere with the cathodes' area in endless solution [ohm]."""
    area = float(problem.panels.areas[problem.panels_of(anode=False)].sum())
    return 1.0 / (4 * pi * problem.conductivity * sqrt(area / (4 * pi)))


def _current_at(problem: FieldProblem, voltage: float) -> float:
    """The current [A] that `voltage` drives by the uniform estimate, by halving its logarithm."""
    resistance = _rough_resistance(problem)
    low, high = 1e-12 * voltage / resistance, voltage / resistance
    for _ in range(60):
        middle = sqrt(low * high)
        spent = middle * resistance + sum(
            abs(overpotential)
            * float(problem.panels.areas[problem.panels.group == electrode.group].sum())
            / float(problem.panels.areas[problem.panels_of(anode=electrode.anode)].sum())
            for electrode, overpotential, _ in _uniform(problem, middle)
        )
        low, high = (low, middle) if spent > voltage else (middle, high)
    return low
