"""How an answer moves with what is not exactly known: derivatives, and the interval they give.

For each uncertain number p the equations R(x; p) = 0 give J dx = -(dR/dp) d ln p, with the Jacobian
J of the last Newton step: one linear solve each, on the operators at hand. dR/dp is a central
difference of the electrodes' laws at fixed load, so that any number a problem holds can be varied.

Intervals combine the numbers as independent: the changes up, and those down, add in quadrature,
of a thickness those of its logarithm, as a thickness is never below nought. To first order each
panel's logarithm moves in proportion, and all are scaled so that the mean moves as its own
derivative says: a given charge is shared out otherwise, not grown. For wide intervals ask for
`sampled`, which solves the field at both ends of each.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import log

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.errors import BadInput, NotConverged
from tankside.base.intervals import Interval
from tankside.base.progress import Progress, silent
from tankside.field.newton import Linearised, PreconditionerMemory
from tankside.field.numbers import AreaStatistics, area_statistics
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem, FieldSolution
from tankside.field.solve import solve
from tankside.field.start import start_from
from tankside.field.system import BoundarySystem, State
from tankside.field.threads import quiet_linear_algebra
from tankside.field.variations import Variation

_STEP = 1e-3
"""Change of ln p of the central differences; their error is of the order of its square."""
LINEAR_TOLERANCE = 1e-5
"""Relative residual of each derivative's linear system [-]."""
_RESOLVED = 1e-2
"""Share of the mean above which a panel's value is changed by a factor, below by a term."""


@dataclass(frozen=True, kw_only=True)
class Sensitivity:
    """Derivatives by the logarithm of one number: of the current density and of copper's per panel
    (n,) [A m⁻²], of the cell voltage [V] and of the supply's current [A]."""

    variation: Variation
    current_density: Floats
    copper_current_density: Floats
    cell_voltage: float
    supply_current: float

    def __post_init__(self) -> None:
        for name in ("current_density", "copper_current_density"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """One number's share in an uncertainty: changes of the mean, smallest, 5 % and largest copper
    current density over the best guess [-], and of the voltage [V], at its low and high end."""

    name: str
    mean: tuple[float, float]
    smallest: tuple[float, float]
    percent_5: tuple[float, float]
    largest: tuple[float, float]
    cell_voltage: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncertainty:
    """Intervals (nine in ten) of thickness over its best guess, per statistic over the area [-],
    and of the cell voltage [V]; and what each number contributes."""

    mean: Interval
    smallest: Interval
    percent_5: Interval
    largest: Interval
    cell_voltage: Interval
    contributions: tuple[Contribution, ...]


@quiet_linear_algebra()
def sensitivities(
    solution: FieldSolution,
    operators: Operators,
    variations: Sequence[Variation],
    *,
    memory: PreconditionerMemory | None = None,
    tolerance: float = LINEAR_TOLERANCE,
    progress: Progress = silent,
) -> tuple[Sensitivity, ...]:
    """Derivatives of `solution` by the logarithm of each number of `variations`, each to a relative
    residual of `tolerance`."""
    memory = memory if memory is not None else PreconditionerMemory(operators)
    system = BoundarySystem.of(solution.problem, operators)
    if solution.voltage_limited:
        system = replace(system, held_voltage=solution.cell_voltage)
    elif solution.ceiling_panel is not None:
        system = replace(system, held_panel=solution.ceiling_panel)
    state = start_from(system, solution)
    linear = Linearised(system, state, memory)
    found = []
    for number, variation in enumerate(variations):
        progress("finding the sensitivities", number / len(variations))
        found.append(_sensitivity(linear, variation, tolerance))
    progress("finding the sensitivities", 1.0)
    return tuple(found)


def uncertainty(
    solution: FieldSolution,
    operators: Operators,
    variations: Sequence[Variation],
    *,
    where: Bools,
    sampled: bool = False,
    memory: PreconditionerMemory | None = None,
    tolerance: float = LINEAR_TOLERANCE,
    progress: Progress = silent,
) -> Uncertainty:
    """What the intervals of `variations` do to the thickness on the panels `where` (n,) that a
    given time gives, and to the voltage."""
    if not where.any():
        raise BadInput("the uncertainty of a thickness needs at least one panel")
    memory = memory if memory is not None else PreconditionerMemory(operators)
    if sampled:
        ends = [_sampled(solution, operators, v, where, memory, progress) for v in variations]
    else:
        derivatives = sensitivities(
            solution, operators, variations, memory=memory, tolerance=tolerance, progress=progress
        )
        ends = [_first_order(solution, derivative, where) for derivative in derivatives]
    return _combined(solution, where, variations, ends)


_Ends = tuple[tuple[AreaStatistics, float], tuple[AreaStatistics, float]]
"""(statistics of the copper current density, cell voltage) at a number's low and high end."""


def _sensitivity(linear: Linearised, variation: Variation, tolerance: float) -> Sensitivity:
    system, state = linear.system, linear.state
    count = len(state.load)
    none = np.zeros(count + len(system.bordering))
    low, high = (_moved(system, state, variation, step, none) for step in (-_STEP, _STEP))
    volts = system.boundary(
        (high.flux - low.flux) / (2 * _STEP), (high.potential - low.potential) / (2 * _STEP)
    )
    answer = linear.solved(volts, (high.misses - low.misses) / (2 * _STEP), tolerance)
    if not answer.converged:
        raise NotConverged(
            "the sensitivity to {variation} was not found",
            variation=variation.name,
            residual=answer.relative_residual,
            iterations=answer.iterations,
        )
    low, high = (
        _moved(system, state, variation, step, answer.solution) for step in (-_STEP, _STEP)
    )
    return Sensitivity(
        variation=variation,
        current_density=(high.current_density - low.current_density) / (2 * _STEP),
        copper_current_density=(high.copper - low.copper) / (2 * _STEP),
        cell_voltage=-(high.bar - low.bar) / (2 * _STEP),
        supply_current=(high.supply_current - low.supply_current) / (2 * _STEP),
    )


@dataclass(frozen=True, kw_only=True)
class _Moved:
    """A state of a varied problem, as far as the differences need it."""

    flux: Floats
    potential: Floats
    current_density: Floats
    copper: Floats
    misses: Floats
    bar: float
    supply_current: float


def _moved(
    system: BoundarySystem, state: State, variation: Variation, step: float, along: Floats
) -> _Moved:
    """The state of the problem varied by `step`, moved by `step` along a change of unknowns."""
    varied = replace(system, problem=variation.varied(system.problem, step))
    count = len(state.load)
    bar = state.bar if system.held_voltage is not None else state.bar + step * float(along[-1])
    moved = varied.evaluated(
        state.load + step * along[:count],
        bar,
        state.closing + step * float(along[count]),
        state.overpotential,
    )
    return _Moved(
        flux=moved.current_density / varied.problem.conductivity,
        potential=moved.potential,
        current_density=moved.current_density,
        copper=varied.copper_current_density(moved),
        misses=varied.missed(moved),
        bar=moved.bar,
        supply_current=varied.supply_current(moved),
    )


def _first_order(solution: FieldSolution, derivative: Sensitivity, where: Bools) -> _Ends:
    variation = derivative.variation
    copper = solution.copper_current_density[where]
    slope = derivative.copper_current_density[where] + variation.thickness_exponent * copper
    areas = solution.problem.panels.areas[where]
    resolved = copper > _RESOLVED * float(np.average(copper, weights=areas))
    relative = np.where(resolved, slope / np.where(resolved, copper, 1.0), 0.0)
    mean = float(np.average(copper, weights=areas))
    mean_relative = float(np.average(slope, weights=areas)) / mean if mean > 0 else 0.0

    def at(change: float) -> tuple[AreaStatistics, float]:
        moved = np.where(resolved, copper * np.exp(change * relative), copper + change * slope)
        moved = np.maximum(moved, np.minimum(copper, 0.0))
        reached = float(np.average(moved, weights=areas))
        if mean > 0 and reached > 0:  # a charge that is given is shared out otherwise, not grown
            moved = moved * (mean * np.exp(change * mean_relative) / reached)
        voltage = solution.cell_voltage + change * derivative.cell_voltage
        return area_statistics(moved, areas), voltage

    low, high = _logarithms(variation)
    return at(low), at(high)


def _sampled(
    solution: FieldSolution,
    operators: Operators,
    variation: Variation,
    where: Bools,
    memory: PreconditionerMemory,
    progress: Progress,
) -> _Ends:
    def at(change: float) -> tuple[AreaStatistics, float]:
        problem: FieldProblem = variation.varied(solution.problem, change)
        moved = solve(problem, operators, solution, progress, memory=memory)
        factor = float(np.exp(change * variation.thickness_exponent))
        copper = factor * moved.copper_current_density[where]
        return area_statistics(copper, problem.panels.areas[where]), moved.cell_voltage

    low, high = _logarithms(variation)
    return at(low), at(high)


def _logarithms(variation: Variation) -> tuple[float, float]:
    """ln of the interval's ends over its best guess."""
    interval = variation.interval
    if not interval.low * interval.high > 0:
        raise BadInput(
            "the interval of {variation} reaches zero ({low:.4g} to {high:.4g}), and a number "
            "that may vanish has no logarithm; narrow it",
            variation=variation.name,
            low=interval.low,
            high=interval.high,
        )
    return log(interval.low / interval.best), log(interval.high / interval.best)


def _combined(
    solution: FieldSolution, where: Bools, variations: Sequence[Variation], ends: Sequence[_Ends]
) -> Uncertainty:
    areas = solution.problem.panels.areas[where]
    best = area_statistics(solution.copper_current_density[where], areas)
    contributions = tuple(
        Contribution(
            name=variation.name,
            cell_voltage=(
                low[1] - solution.cell_voltage,
                high[1] - solution.cell_voltage,
            ),
            **{
                name: (_relative(low[0], best, name), _relative(high[0], best, name))
                for name in ("mean", "smallest", "percent_5", "largest")
            },
        )
        for variation, (low, high) in zip(variations, ends, strict=True)
    )

    def changes(name: str) -> Floats:
        return np.array([getattr(item, name) for item in contributions]).reshape(-1, 2)

    def thickness(name: str) -> Interval:
        """By logarithms where there is copper, so that no interval reaches below nought."""
        if not float(getattr(best, name)) > 0:
            return _in_quadrature(changes(name), 1.0)
        with np.errstate(divide="ignore"):
            logarithms = np.log(np.maximum(1.0 + changes(name), 0.0))
        found = _in_quadrature(logarithms, 0.0)
        return Interval(float(np.exp(found.low)), 1.0, float(np.exp(found.high)))

    return Uncertainty(
        mean=thickness("mean"),
        smallest=thickness("smallest"),
        percent_5=thickness("percent_5"),
        largest=thickness("largest"),
        cell_voltage=_in_quadrature(changes("cell_voltage"), solution.cell_voltage),
        contributions=contributions,
    )


def _in_quadrature(changes: Floats, middle: float) -> Interval:
    """The interval about `middle` of independent changes (n, 2), those up and those down apart."""
    up = np.maximum(changes.max(axis=1, initial=0.0), 0.0)
    down = np.minimum(changes.min(axis=1, initial=0.0), 0.0)
    return Interval(
        middle - float(np.sqrt((down**2).sum())), middle, middle + float(np.sqrt((up**2).sum()))
    )


def _relative(moved: AreaStatistics, best: AreaStatistics, name: str) -> float:
    middle = float(getattr(best, name))
    return (float(getattr(moved, name)) - middle) / abs(middle) if middle else 0.0
