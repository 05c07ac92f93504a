"""Which rigs to try next: a search that asks for evaluations and is told their results.

    screening     each freedom alone, spread evenly over its range: which of them help?
    joining       the helpful ones together, best first, each kept if it helps on top
    simplifying   each change taken back: those that do not earn their trouble go
    islands       CMA-ES around a start; only what is changed in the start moves. The first island
                  begins at the best; later ones at the best that is different, in turn for the
                  goal and for the other goals, so that different rigs come back and the front is
                  wide. What an island found is simplified again

A surrogate thins each generation: radial basis functions over all that was tried choose among
several times as many candidates. It is a generator: it yields designs, is sent `Answers`, and
returns every trial. It has no clock and no randomness but its seed, so that the same answers lead
to the same questions, whoever works on them.

The islands are CMA-ES of the library `cmaes`; why, and what was measured against it, stands in
docs/decisions/0013-rig-search.md.
"""

from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass, field
from math import inf, isfinite, log

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.plan.rigs.choice import APART
from tankside.plan.rigs.figures import RigResult
from tankside.plan.rigs.space import DesignSpace
from tankside.plan.rigs.surrogate import surrogate
from tankside.plan.rigs.trials import Answers, Effort, Trial

TROUBLE = 0.01
"""What each changed freedom must gain at least [-], so about 1 %: our choice."""

STEP = 0.15
"""First step of an island [share of each range]: our choice."""

THINNING = 4
"""Candidates for each rig that is evaluated: our choice."""

STALE = 4
"""An island ends after so many generations without a noticeable gain: our choice."""

NOTICEABLE = 0.005
"""A gain of score that counts [-]: our choice."""

OPEN = 0.75
"""Where a gate is put to open it [-]."""


Asking = Generator[tuple[Floats, ...], Answers, tuple[Trial, ...]]
Score = Callable[[RigResult], float]


def searched(
    space: DesignSpace, score: Score, effort: Effort, others: Sequence[Score] = ()
) -> Asking:
    """The search around the person's own rig, which is the first trial.

    score    of the goal; `others` are of goals that the front should reach towards as well
    """
    search = _Search(space, effort, (score, *others))
    try:
        yield from search.tried([space.own])
        yield from search.screened()
        yield from search.joined()
        yield from search.simplified(0)
        island = 0
        while True:
            yield from search.island(island)
            yield from search.simplified(search.goal_of(island))
            island += 1
    except _Over:
        return tuple(search.trials)


class _Over(Exception):
    """The effort is spent, or it is enough."""


Part = Generator[tuple[Floats, ...], Answers, None]


@dataclass
class _Search:
    """A search on its way. Goals go by their number: 0 is the one that was asked for."""

    space: DesignSpace
    effort: Effort
    scores: tuple[Score, ...]
    trials: list[Trial] = field(default_factory=list)
    starts: list[Trial] = field(default_factory=list)

    def goal_of(self, island: int) -> int:
        """Every second island is for another goal, in turn."""
        if island % 2 == 0 or len(self.scores) == 1:
            return 0
        return 1 + (island // 2) % (len(self.scores) - 1)

    def best(self, goal: int = 0) -> Trial:
        """The best so far for a goal, the earliest of equals."""
        return min(self.trials, key=lambda trial: trial.costs[goal])

    def tried(self, designs: Sequence[Floats]) -> Part:
        """Asks for designs and keeps what comes of them."""
        left = self.effort.evaluations - len(self.trials)
        asked = tuple(self.space.settled(design) for design in designs[:left])
        if not asked:
            raise _Over
        answers = yield asked
        for design, result in zip(asked, answers.results, strict=True):
            self.trials.append(self._trial(design, result))
        if answers.enough or len(asked) < len(designs):
            raise _Over

    def screened(self) -> Part:
        """Each freedom alone, from the own design: what is worth a try; then all over its range,
        and every second time, where it has no gate, near its own place."""
        from scipy.stats import qmc

        designs = []
        for number, place in enumerate(self.space.places):
            points = qmc.Sobol(place.stop - place.start, rng=self.effort.seed + number)
            power = int(np.ceil(np.log2(max(2, self.effort.screened))))
            for turn, values in enumerate(points.random_base2(power)[: self.effort.screened]):
                design = self.space.own.copy()
                if self.space.gated(number):
                    design[place] = values
                    design[place.start] = OPEN
                elif turn % 2:
                    design[place] += 2 * STEP * (values - 0.5)
                else:
                    design[place] = values
                designs.append(design)
            first = len(designs) - self.effort.screened
            for turn, values in enumerate(self.space.hints(number)[: self.effort.screened]):
                designs[first + turn] = self._with_values(number, values)
        yield from self.tried(designs)

    def joined(self) -> Part:
        """The best of each helpful freedom, on top of one another."""
        size = self.effort.screened
        helpful = []
        for number in range(len(self.space.places)):
            alone = self.trials[1 + number * size : 1 + (number + 1) * size]
            first = min(alone, key=lambda trial: trial.score)
            if first.score < self.trials[0].score:
                helpful.append((first.score, number, first.design))
        for _, number, design in sorted(helpful, key=lambda entry: entry[:2])[1:]:
            both = self.best().design.copy()
            place = self.space.places[number]
            both[place] = design[place]
            yield from self.tried([both])

    def simplified(self, goal: int) -> Part:
        """Takes back the changes of the best that do not earn their trouble, the least first."""
        best = self.best(goal)
        changed = self.space.changed(best.design)
        if len(changed) < 2:
            return
        begin = len(self.trials)
        yield from self.tried([self._taken_back(best.design, number) for number in changed])
        alone = self.trials[begin:]
        order = sorted(range(len(changed)), key=lambda k: (alone[k].costs[goal], k))
        for k in order:
            if alone[k].costs[goal] > best.costs[goal] + TROUBLE:
                break
            now = self.best(goal)
            simpler = self._taken_back(now.design, changed[k])
            if not np.array_equal(simpler, now.design) and len(self.space.changed(simpler)):
                yield from self.tried([simpler])

    def island(self, number: int) -> Part:
        """CMA-ES over what is changed in the start, until it goes stale."""
        from cmaes import CMA

        goal = self.goal_of(number)
        start = self._start(goal)
        self.starts.append(start)
        moving = self._moving(start.design)
        size = max(self.effort.batch, 4 + int(3 * log(len(moving))))
        cma = CMA(
            mean=start.design[moving],
            sigma=STEP,
            bounds=np.array(
                [(-inf, inf) if c else (0.0, 1.0) for c in self.space.circular[moving]]
            ),
            seed=self.effort.seed + 1000 * (number + 1),
            population_size=size,
        )
        best, stale = start.costs[goal], 0
        while stale < STALE and not cma.should_stop():
            offered = [cma.ask() for _ in range(THINNING * size)]
            designs = [self._with(start.design, moving, values) for values in offered]
            guess = surrogate(
                np.array([trial.features for trial in self.trials]),
                np.array([trial.costs[goal] for trial in self.trials]),
            )
            chosen = guess(np.array([self.space.features(design) for design in designs]), size)
            yield from self.tried([designs[one] for one in chosen])
            told = self.trials[-size:]
            costs = self._ranked(told, goal)
            cma.tell([(offered[one], cost) for one, cost in zip(chosen, costs, strict=True)])
            found = min(costs)
            stale = 0 if found < best - NOTICEABLE else stale + 1
            best = min(best, found)

    def _start(self, goal: int) -> Trial:
        """At first the best of all; later the best for a goal that changes something and is unlike
        the starts before; the best of all again if none is."""
        if not self.starts:
            return self.best(goal)
        unlike = [
            trial
            for trial in self.trials
            if isfinite(trial.score)
            and trial.changes
            and all(trial.distance(start) > APART for start in self.starts)
        ]
        return min(unlike, key=lambda trial: trial.costs[goal], default=self.best(goal))

    def _ranked(self, trials: Sequence[Trial], goal: int) -> list[float]:
        """The costs; for a refused rig worse than all, and the worse the farther from the best."""
        best = self.best(goal)
        known = [trial.costs[goal] for trial in self.trials]
        worst = max((cost for cost in known if isfinite(cost)), default=0.0)
        return [
            trial.costs[goal] if isfinite(trial.costs[goal]) else worst + trial.distance(best)
            for trial in trials
        ]

    def _trial(self, design: Floats, result: RigResult) -> Trial:
        changes = len(self.space.changed(design))
        return Trial(
            design=design,
            result=result,
            features=self.space.features(design),
            changes=changes,
            costs=tuple(score(result) + TROUBLE * changes for score in self.scores),
        )

    def _with_values(self, number: int, values: Floats) -> Floats:
        """The own design with one freedom's shares."""
        design = self.space.own.copy()
        design[self.space.places[number]] = values
        return design

    def _taken_back(self, design: Floats, number: int) -> Floats:
        simpler = design.copy()
        place = self.space.places[number]
        simpler[place] = self.space.own[place]
        return simpler

    def _with(self, design: Floats, moving: Ints, values: Floats) -> Floats:
        changed = design.copy()
        changed[moving] = values
        return changed

    def _moving(self, design: Floats) -> Ints:
        """The variables of the changed freedoms but their gates; of all without gates where
        nothing is changed."""
        numbers = self.space.changed(design) or [
            number for number in range(len(self.space.places)) if not self.space.gated(number)
        ]
        places = [
            np.arange(
                self.space.places[n].start + int(self.space.gated(n)), self.space.places[n].stop
            )
            for n in numbers
        ]
        return np.concatenate(places)
