"""Newton's method on the bordered equations of the cell, with inexact linear solves.

Each step solves for the panels' loads and the border's unknowns together; the preconditioner is the
operators' own local inverse with the border (and the metal's resistance) eliminated, and is kept
from step to step, and from solve to solve, while it serves. Steps are halved until the residual
falls. Linear tolerance after Eisenstat and Walker, SIAM J. Sci. Comput. 17 (1996) 16, choice 1.
"""

from dataclasses import dataclass, replace
from math import log

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import NotConverged
from tankside.base.progress import Progress
from tankside.field.krylov import Linear, LinearAnswer, gmres
from tankside.field.operators import Operators, Preconditioner
from tankside.field.problem import FieldProblem, IdealMetal
from tankside.field.system import BoundarySystem, State

_LOOSEST, _LOOSEST_AT_LAST = 1e-3, 0.03
"""Largest relative residuals of a linear solve, and of one that is to end the iteration [-]."""

_TURNS = 8
"""Newton steps in which another panel may become the one that is held at its ceiling."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Accuracy:
    """Where the solver stops.

    residual            of the boundary equation, rms over the panels, over the cell's voltage [-]
    charge_balance      missed current over the supply's [-]
    newton_iterations   more than this is NotConverged
    """

    residual: float = 1e-5
    charge_balance: float = 1e-7
    newton_iterations: int = 30


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A converged state: its relative residual, what it took, and the panel that is held at its
    ceiling, if one is."""

    state: State
    residual: float
    newton_iterations: int
    linear_iterations: int
    held_panel: int | None = None


class PreconditionerMemory:
    """The last preconditioner built, brought up to date where the weights have changed since; and
    what else of a cell's equations stays from solve to solve."""

    noticeable = 0.3
    """Change in the balance of a panel's weights that is worth a new factorisation [-]."""
    noticeable_when_slow = 0.05
    patience = 6
    """Iterations beyond those of the first solve after a build that count as slow."""

    def __init__(self, operators: Operators) -> None:
        self.operators = operators
        self._built: Preconditioner | None = None
        self._fewest: int | None = None
        self._slow = False
        self._last: BoundarySystem | None = None

    def known(self, system: BoundarySystem) -> BoundarySystem:
        """The system with the bordering columns of the last one, where they are the same."""
        last, self._last = self._last, system
        if last is not None and _same_electrodes(last.problem, system.problem):
            self._last = system = replace(system, columns=(last.by_closing, last.by_bar))
        return system

    def for_weights(self, potential_weight: Floats, flux_weight: Floats) -> Preconditioner:
        """An approximate inverse of the local operator with these weights."""
        if self._built is None:
            self._built = self.operators.preconditioner(potential_weight, flux_weight)
        else:
            limit = self.noticeable_when_slow if self._slow else self.noticeable
            self._built = self._built.updated(potential_weight, flux_weight, limit)
        if self._slow:
            self._fewest, self._slow = None, False
        return self._built

    def note(self, iterations: int) -> None:
        """Tells how many iterations a linear solve took."""
        if self._fewest is None:
            self._fewest = iterations
        self._slow = iterations > self._fewest + self.patience


def _same_electrodes(one: FieldProblem, other: FieldProblem) -> bool:
    """True where anodes and cathodes are the same panels in the same solution."""
    return (
        one.panels is other.panels
        and one.conductivity == other.conductivity
        and one.insulated is other.insulated
        and [(e.group, e.anode) for e in one.electrodes]
        == [(e.group, e.anode) for e in other.electrodes]
    )


def newton(
    system: BoundarySystem,
    start: State,
    memory: PreconditionerMemory,
    accuracy: Accuracy,
    progress: Progress,
) -> Outcome:
    """The state at which the equations hold; NotConverged where it is not reached."""
    state, missed = start, _Missed.by(system, start)
    first, forcing, linear_iterations = missed.size, _LOOSEST, 0
    for iteration in range(accuracy.newton_iterations):
        if 0 < iteration < _TURNS and (turned := system.turned(state)) is not system:
            system = turned
            missed = missed.under(system, state)
        progress("solving the field", _fraction(first, missed.size, accuracy.residual))
        if missed.residual <= accuracy.residual and missed.charge <= accuracy.charge_balance:
            progress("solving the field", 1.0)
            return Outcome(
                state=state,
                residual=missed.residual,
                newton_iterations=iteration,
                linear_iterations=linear_iterations,
                held_panel=system.held_panel,
            )
        floor = min(_LOOSEST_AT_LAST, 0.3 * accuracy.residual / missed.size)
        linear = Linearised(system, state, memory)
        answer = linear.solved(missed.volts, missed.currents, max(forcing, floor))
        linear_iterations += answer.iterations
        before = missed.size
        state, missed = _stepped(system, state, answer.solution, missed, iteration)
        forcing = min(_LOOSEST, abs(missed.size / before - answer.relative_residual))
    raise NotConverged(
        "the field did not settle in {newton_iterations} Newton steps: {charge:.1e} of the "
        "current is still missed",
        newton_iterations=accuracy.newton_iterations,
        charge=missed.charge,
        residual=missed.residual,
        iterations=accuracy.newton_iterations,
    )


@dataclass(frozen=True, kw_only=True)
class _Missed:
    """What a state misses: volts per panel, currents [A], and both without dimension."""

    volts: Floats
    currents: Floats
    volt_scale: float
    current_scale: float

    @classmethod
    def by(cls, system: BoundarySystem, state: State) -> "_Missed":
        volt_scale, current_scale = _scales(system, state)
        return cls(
            volts=system.residual(state),
            currents=system.missed(state),
            volt_scale=volt_scale,
            current_scale=current_scale,
        )

    def under(self, system: BoundarySystem, state: State) -> "_Missed":
        """The same state's, where only the conditions are others: the volts stay."""
        volt_scale, current_scale = _scales(system, state)
        return replace(
            self,
            currents=system.missed(state),
            volt_scale=volt_scale,
            current_scale=current_scale,
        )

    def size_on(self, scales: "_Missed") -> float:
        """`size` by the scales of another state, so that two states compare."""
        volts = float(np.linalg.norm(self.volts)) / scales.volt_scale
        return float(np.hypot(volts, np.abs(self.currents).max() / scales.current_scale))

    @property
    def residual(self) -> float:
        return float(np.linalg.norm(self.volts)) / self.volt_scale

    @property
    def charge(self) -> float:
        return float(np.abs(self.currents).max()) / self.current_scale

    @property
    def size(self) -> float:
        return float(np.hypot(self.residual, self.charge))


def _scales(system: BoundarySystem, state: State) -> tuple[float, float]:
    """(volts over all panels, current [A]) against which a state's misses are judged."""
    voltage = max(abs(state.bar), system.ohmic_scale)
    current = system.problem.total_current
    if system.held_voltage is not None or system.held_panel is not None:
        current = float((system.areas * np.abs(state.current_density)).sum()) / 2
    return voltage * float(np.sqrt(len(state.load))), current


class Linearised:
    """The linear equations about a state, scaled so that volts and amperes compare."""

    def __init__(self, system: BoundarySystem, state: State, memory: PreconditionerMemory) -> None:
        self.system, self.state, self.memory = system, state, memory
        self.volt_scale, self.current_scale = _scales(system, state)
        self.count = len(state.load)
        conductivity = system.problem.conductivity
        self.local = memory.for_weights(state.potential_weight, state.flux_weight / conductivity)
        self.corrected = self._metal_correction()
        self.responses = [self.corrected(self.local(column)) for column in system.bordering]
        self.schur = np.array([self._sums(response) for response in self.responses]).T

    def solved(self, volts: Floats, currents: Floats, tolerance: float) -> LinearAnswer:
        """The change of loads and border (g, then the bar) that takes away what is missed:
        `volts` (n,) by the boundary equation and `currents` [A] by the conditions."""
        right = -self._scaled(volts, currents)
        answer = gmres(self._applied, right, self._approximate, tolerance=tolerance)
        self.memory.note(answer.iterations)
        return answer

    def _applied(self, change: Floats) -> Floats:
        loads, extra = change[: self.count], change[self.count :]
        return self._scaled(self.system.changed(self.state, loads, extra), self._sums(loads))

    def _approximate(self, scaled: Floats) -> Floats:
        volts = scaled[: self.count] * self.volt_scale
        currents = scaled[self.count :] * self.current_scale
        loads = self.corrected(self.local(volts))
        extra = np.linalg.solve(self.schur, self._sums(loads) - currents)
        for amount, response in zip(extra, self.responses, strict=True):
            loads = loads - amount * response
        return np.concatenate([loads, extra])

    def _metal_correction(self) -> Linear:
        """Completes a local solution by the drop that its current makes in the metal."""
        if isinstance(self.system.problem.metal, IdealMetal):
            return lambda loads: loads
        cathode = self.system.cathode.astype(np.float64)
        rise = self.local(self.system.by_bar) * cathode
        weight = self.state.flux_weight
        reacting = self.system.problem.metal.reacting(np.maximum(weight * rise, 0.0))

        def corrected(loads: Floats) -> Floats:
            return loads - rise * reacting(weight * loads * cathode)

        return corrected

    def _sums(self, loads: Floats) -> Floats:
        return self.system.missed_change(self.state, loads)

    def _scaled(self, volts: Floats, currents: Floats) -> Floats:
        return np.concatenate([volts / self.volt_scale, currents / self.current_scale])


def _stepped(
    system: BoundarySystem, state: State, change: Floats, missed: _Missed, iteration: int
) -> tuple[State, _Missed]:
    """The state after the longest of the steps 1, 1/2, 1/4 ... that lowers what is missed."""
    count = len(state.load)
    length = 1.0
    while length > 1e-3:
        extra = change[count:] * length
        bar = state.bar if system.held_voltage is not None else state.bar + float(extra[1])
        tried = system.evaluated(
            state.load + length * change[:count],
            bar,
            state.closing + float(extra[0]),
            state.overpotential,
        )
        now = _Missed.by(system, tried)
        if now.size_on(missed) < missed.size * (1 - 1e-4 * length):
            return tried, now
        length /= 2
    raise NotConverged(
        "no Newton step lowers the residual of the field further; {charge:.1e} of the current is "
        "missed there",
        charge=missed.charge,
        residual=missed.residual,
        iterations=iteration,
    )


def _fraction(first: float, now: float, target: float) -> float:
    """How far the residual has come on a logarithmic scale [-]."""
    if now >= first or first <= target:
        return 0.0
    return min(1.0, log(first / now) / log(first / target))
