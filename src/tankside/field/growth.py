"""Grows a deposit through a recipe of currents, quasi-steadily.

At every moment the field is the steady field of that moment: charge relaxes in microseconds, the
diffusion layer in seconds, the deposit takes hours. Where the metal's conduction changes with
thickness, each step solves the field once and its error is kept to what is allowed (stepping.py),
from the first second on. Where it does not change, the field is solved once for each current and
the steps collapse to the segments.

The panels do not move with the deposit: a deposit that is thick against the panels is warned of.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import inf, log

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.base.constants import COPPER_DENSITY_KG_PER_M3, COPPER_PER_CHARGE_KG_PER_C
from tankside.base.errors import BadInput, NotConverged
from tankside.base.messages import Quantity, said
from tankside.base.progress import Progress, silent
from tankside.field.deposit import (
    THICKNESS_PER_CHARGE,
    Growth,
    GrowthEvent,
    GrowthStep,
    Moment,
    Segment,
    StepControl,
)
from tankside.field.newton import Accuracy, PreconditionerMemory
from tankside.field.numbers import area_fraction
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem, FieldSolution, IdealMetal
from tankside.field.solve import DEFAULT_ACCURACY, solve
from tankside.field.stepping import (
    LastStep,
    field_foreseen,
    gain,
    gain_foreseen,
    next_duration,
    share_to_goal,
    step_error,
)
from tankside.field.threads import quiet_linear_algebra

_THICK_AGAINST_PANEL = 0.3
"""Deposit over panel size above which the panels should have moved [-]."""

_SHORTEST_SHARE = 1e-3
"""Of the first step: a field that is not found is asked for after a shorter step, down to this."""

_MOST_KNOWN = 8
"""Solutions kept for currents that come again."""

_MOST_EARLIER = 3
"""Solutions at other currents, besides the last, that a new one is extrapolated from."""

_APART = 1e-3
"""Least difference of the logarithms of two currents to extrapolate from [-]."""

DEFAULT_STEPS = StepControl()


def _unwatched(moment: Moment) -> None:
    """Nobody looks."""


@quiet_linear_algebra()
def grow(
    problem: FieldProblem,
    recipe: Sequence[Segment],
    operators: Operators,
    progress: Progress = silent,
    *,
    start: FieldSolution | None = None,
    control: StepControl = DEFAULT_STEPS,
    accuracy: Accuracy = DEFAULT_ACCURACY,
    memory: PreconditionerMemory | None = None,
    watch: Callable[[Moment], None] = _unwatched,
    reached: Callable[[Floats], float] | None = None,
) -> Growth:
    """The deposit that `recipe` makes in the cell of `problem`, whose own current is not used.

    start    a solution on the same panels; one of `problem` itself is not solved again
    memory   of preconditioners, shared with other solves on the same operators
    watch    is called with every step that was taken
    reached  of the thickness (n,) [m], rising: the growth ends where it comes to 1, or with the
             recipe if it does not
    """
    _check_recipe(recipe)
    first = replace(problem, total_current=recipe[0].current)
    memory = memory if memory is not None else PreconditionerMemory(operators)
    run = _Run(first, operators, accuracy, control, memory, start, watch, reached)
    whole = sum(segment.duration for segment in recipe)
    ideal = isinstance(problem.metal, IdealMetal)  # one step; metal that thickens takes many
    stage = "growing the deposit" if ideal else "growing the deposit over the coat"
    for segment in recipe:
        end = run.time + segment.duration
        run.switched_to(segment.current)
        while run.time < end and not run.done:
            progress(stage, run.far(whole))
            run.step(end)
    progress(stage, 1.0)
    return run.growth()


class _Run:
    """A growth on its way."""

    def __init__(
        self,
        problem: FieldProblem,
        operators: Operators,
        accuracy: Accuracy,
        control: StepControl,
        memory: PreconditionerMemory,
        start: FieldSolution | None,
        watch: Callable[[Moment], None],
        reached: Callable[[Floats], float] | None,
    ) -> None:
        """Switched on: the field at the problem's own current is known or solved."""
        self.watch, self.reached, self.done = watch, reached, False
        self.last: LastStep | None = None
        self.problem, self.operators, self.accuracy = problem, operators, accuracy
        self.first_metal = problem.metal
        self.control, self.trial = control, control.first_step
        self.memory = memory
        self.areas = problem.panels.areas
        self.cathode: Bools = problem.panels_of(anode=False)
        self.time, self.solves = 0.0, 0
        self.thickness = np.zeros(len(self.areas))
        self.passed = np.zeros(len(self.areas))
        self.copper_passed = np.zeros(len(self.areas))
        self.charge = 0.0
        self.steps: list[GrowthStep] = []
        self.events: list[GrowthEvent] = []
        self.warnings: dict[str, None] = {}
        self.known: dict[float, FieldSolution] = {}
        if start is not None and _alike(start.problem, problem):
            self._keep(start)
        self.now = self._solved(problem, start)

    def far(self, whole: float) -> float:
        """The share of the growth that is done, by its time of `whole` [s] or by its goal."""
        by_goal = 0.0 if self.reached is None else min(self.reached(self.thickness), 1.0)
        return max(self.time / whole, by_goal)

    def switched_to(self, current: float) -> None:
        """Sets the supply and solves the field with the metal as it is."""
        self.problem = replace(self.problem, total_current=current)
        before, self.now = self.now, self._solved(self.problem, self.now)
        if self.now is not before:
            self.last = None
            self.trial = min(self.trial, self.control.first_step)

    def step(self, end: float) -> None:
        """Takes one step, at most to `end` [s]."""
        before = self.now
        rate = THICKNESS_PER_CHARGE * before.copper_current_density
        whole = self.problem.metal.grown(self.thickness + (end - self.time) * rate)
        if whole is self.problem.metal:
            duration = min(self.control.longest_step, end - self.time)
            self._accepted(before, before, duration, end)
            return
        duration = min(self.trial, self.control.longest_step, end - self.time)
        while True:
            gained = gain_foreseen(before, self.last, duration)
            metal = self.problem.metal.grown(self.thickness + gained)
            start = field_foreseen(before, self.last, duration)
            try:
                after = self._solved(replace(self.problem, metal=metal), start)
            except NotConverged:
                if duration < _SHORTEST_SHARE * self.control.first_step:
                    raise
                self.trial = duration = duration / 4
                continue
            step = (before, after, duration)
            error = step_error(self.control, self.thickness, step, self.last)
            self.trial = next_duration(duration, error, self.last)
            if error <= 1.0:
                self.problem = after.problem
                self._accepted(before, after, duration, end)
                return
            duration = self.trial
            if duration < 1e-9 * max(end, 1.0):
                raise NotConverged(
                    "the growth stopped at {time:.4g} s: no step is short enough to follow the "
                    "change of the metal's conduction",
                    time=self.time,
                    residual=error,
                    iterations=len(self.steps),
                )

    def growth(self) -> Growth:
        """The outcome so far."""
        anode = self.problem.panels_of(anode=True)
        volume = self.areas * self.thickness
        deposited = COPPER_DENSITY_KG_PER_M3 * float(volume[self.cathode].sum())
        dissolved = -COPPER_DENSITY_KG_PER_M3 * float(volume[anode].sum())
        hydrogen = float((self.areas * (self.passed - self.copper_passed))[self.cathode].sum())
        missed = dissolved - deposited - COPPER_PER_CHARGE_KG_PER_C * hydrogen
        if self.problem.metal is not self.first_metal:
            self.warnings = dict.fromkeys(self.now.warnings)
        self._warn_of_thick_deposit()
        return Growth(
            thickness=self.thickness,
            solution=self.now,
            steps=tuple(self.steps),
            events=tuple(self.events),
            charge=self.charge,
            hydrogen_charge=hydrogen,
            copper_deposited=deposited,
            copper_dissolved=dissolved,
            charge_balance=abs(float((self.areas * self.passed).sum())) / self.charge,
            mass_balance=abs(missed) / dissolved,
            solves=self.solves,
            warnings=tuple(self.warnings),
        )

    def _solved(self, problem: FieldProblem, start: FieldSolution | None) -> FieldSolution:
        known = self.known.get(problem.total_current)
        if known is not None and known.problem.metal is problem.metal:
            return known
        solution = solve(
            problem,
            self.operators,
            start,
            accuracy=self.accuracy,
            memory=self.memory,
            earlier=self._earlier(problem, start),
        )
        self.solves += 1
        self._keep(solution)
        return solution

    def _keep(self, solution: FieldSolution) -> None:
        """Remembers a solution by its current, and what it warns of."""
        while len(self.known) >= _MOST_KNOWN:
            del self.known[next(iter(self.known))]
        self.known[solution.problem.total_current] = solution
        self.warnings.update(dict.fromkeys(solution.warnings))

    def _earlier(
        self, problem: FieldProblem, start: FieldSolution | None
    ) -> tuple[FieldSolution, ...]:
        """The last solutions at other held currents with the same metal, before `start`."""
        if start is None or start.voltage_limited or start.problem.metal is not problem.metal:
            return ()
        chosen = [start]
        for one in reversed(self.known.values()):
            logs = [abs(log(one.supply_current / other.supply_current)) for other in chosen]
            usable = one.problem.metal is problem.metal and not one.voltage_limited
            if usable and min(logs) > _APART:
                chosen.append(one)
        return tuple(reversed(chosen[1 : 1 + _MOST_EARLIER]))

    def _accepted(
        self, before: FieldSolution, after: FieldSolution, duration: float, end: float
    ) -> None:
        thickness = self.thickness
        if self.reached is not None:
            share = share_to_goal(self.reached, thickness, gain(before, after, duration))
            self.done = share is not None
            duration *= share if share is not None else 1.0
        half = duration / 2
        copper = half * (before.copper_current_density + after.copper_current_density)
        self.thickness = self.thickness + THICKNESS_PER_CHARGE * copper
        self.copper_passed += copper
        self.passed += half * (before.current_density + after.current_density)
        self.charge += half * (before.supply_current + after.supply_current)
        self.steps.append(
            GrowthStep(
                start=self.time,
                duration=duration,
                supply_current=after.supply_current,
                cell_voltage=after.cell_voltage,
                voltage_limited=after.voltage_limited,
            )
        )
        reached = self.time + duration
        self._note_events(after, self.time if after is before else reached)
        began, self.time = self.time, end if abs(reached - end) <= 1e-12 * end else reached
        self.now, self.last = after, LastStep(field=before, duration=duration)
        self.watch(
            Moment(
                start=began,
                end=self.time,
                thickness_before=thickness,
                thickness=self.thickness,
                before=before,
                after=after,
            )
        )

    def _note_events(self, after: FieldSolution, time: float) -> None:
        earlier = self.steps[-2] if len(self.steps) > 1 else None
        limited = earlier is not None and earlier.voltage_limited
        if after.voltage_limited and not limited:
            self._event(
                time,
                said(
                    "the supply is at its voltage limit of {cell_voltage}",
                    cell_voltage=Quantity(after.cell_voltage, "V"),
                ),
            )
        elif limited and not after.voltage_limited:
            self._event(
                time,
                said(
                    "the supply holds its current of {supply_current} again",
                    supply_current=Quantity(after.supply_current, "A"),
                ),
            )
        over = area_fraction(after.fraction_of_limit[self.cathode] > 1.0, self.areas[self.cathode])
        if over > 0 and not any("copper's limit" in event.what for event in self.events):
            self._event(
                time,
                said(
                    "the current is above copper's limit on {over} of the cathodes' area",
                    over=f"{over:.1%}",
                ),
            )

    def _event(self, time: float, what: str) -> None:
        self.events.append(GrowthEvent(time=time, what=what))

    def _warn_of_thick_deposit(self) -> None:
        thick = np.abs(self.thickness) > _THICK_AGAINST_PANEL * self.problem.panels.sizes
        share = area_fraction(thick[self.cathode], self.areas[self.cathode])
        if share > 0.01:
            self.warnings[
                said(
                    "on {share} of the cathodes' area the deposit is thicker than "
                    "{thick_against_panel} of its panels: the shape has changed since it was cut "
                    "into panels",
                    share=f"{share:.0%}",
                    thick_against_panel=f"{_THICK_AGAINST_PANEL:.0%}",
                )
            ] = None


def _alike(one: FieldProblem, other: FieldProblem) -> bool:
    """True where two problems on the same panels ask the same."""
    return (
        one.panels is other.panels
        and one.metal is other.metal
        and one.insulated is other.insulated
        and one.local_ceiling is other.local_ceiling
        and one.electrodes == other.electrodes
        and one.conductivity == other.conductivity
        and one.total_current == other.total_current
        and one.voltage_limit == other.voltage_limit
    )


def _check_recipe(recipe: Sequence[Segment]) -> None:
    if not recipe:
        raise BadInput("the recipe is empty; give at least one segment of duration and current")
    for number, segment in enumerate(recipe, 1):
        if not 0 < segment.duration < inf:
            raise BadInput(
                "segment {number} of the recipe lasts {duration!r} s; give a time above zero",
                number=number,
                duration=segment.duration,
            )
