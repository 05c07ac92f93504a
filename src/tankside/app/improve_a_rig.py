"""Use case: from a job to a few better and different rigs, each with what it gains and costs.

    rig_bench.py     the job, laid out finely and coarsely
    this module      the search on the coarse mesh, which knows each coated rig's quick start
    rig_choosing.py  which few are worth it, and whether they start by the whole growth
    rig_telling.py   those on the person's own mesh, in numbers, sentences and job files

Only numbers of the person's own mesh are told. The clock only ends the search: with the same seed,
the same number of evaluations give the same rigs, on one core or on a cluster.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import inf

from tankside.app.ports import Done, Sweeps
from tankside.app.rig_bench import (
    RigBench,
    all_evaluated,
    checked_count,
    figures_of,
    is_coated,
    placed_in,
    rig_bench,
)
from tankside.app.rig_choosing import chosen_that_start
from tankside.app.rig_telling import told
from tankside.app.rig_values import RigReply, RigRequest
from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.base.progress import Progress, silent
from tankside.plan.plan import MeasuredAt
from tankside.plan.rigs.contact_sites import MORE_WIRES, fewest_wires
from tankside.plan.rigs.figures import RigCase, RigResult, Starts
from tankside.plan.rigs.goals import RigGoal, RigWish
from tankside.plan.rigs.search import Score, searched
from tankside.plan.rigs.space import DesignSpace, design_space
from tankside.plan.rigs.start_contacts import suggested_wires
from tankside.plan.rigs.trials import Answers, Trial

SEARCH_SHARE = 0.6
"""Share of the minutes after which no more rigs are tried: the rest is for the person's mesh."""


def never() -> bool:
    """A person who does not cancel."""
    return False


def improve_a_rig(
    request: RigRequest,
    sweeps: Sweeps,
    progress: Progress = silent,
    *,
    cancel: Callable[[], bool] = never,
    done: Done | None = None,
) -> RigReply:
    """Better rigs for a job. BadInput or Impossible, placed in the job file, where the person's own
    rig cannot be."""
    start = time.monotonic()
    checked_count("the number of minutes", request.minutes, 0.05, 24 * 60)
    checked_count("the number of evaluations", request.effort.evaluations, 8, 100_000)
    checked_count("the number of rigs", request.rigs, 1, 20)
    bench = rig_bench(request.job_text, request.job_name, request.files, progress)
    with placed_in(request.job_name):
        bench = _with_starts(bench, request)
        evaluate = partial(all_evaluated, sweeps=sweeps, progress=silent, cancel=cancel, done=done)
        looking = _Looking(request, bench, evaluate, progress, start)
        space, trials = looking.looked_around()
        chosen = chosen_that_start(
            bench, space, trials, request.rigs, evaluate, progress, looking.wish
        )
        progress("evaluating the best on your mesh", 0.0)
        reply = told(request, bench, space, trials, chosen, evaluate, looking.wish)
        return replace(reply, seconds=time.monotonic() - start)


def _with_starts(bench: RigBench, request: RigRequest) -> RigBench:
    """The bench with quick starts on its coarse mesh, where a part is coated."""
    if is_coated(bench):
        judged = replace(bench.coarse_bench, starts=Starts.QUICK, start_within=request.start_within)
        return replace(bench, coarse_bench=judged)
    if request.goal is RigGoal.START or request.start_within is not None:
        raise BadInput(
            "every part of the job is metal, which copper covers at once; ask for a start only "
            "where a part conducts through a coat"
        )
    return bench


@dataclass(frozen=True)
class _Looking:
    """The search of one request on the coarse mesh, begun at `start` of the clock [s]."""

    request: RigRequest
    bench: RigBench
    evaluate: Callable[[Sequence[RigCase]], tuple[RigResult, ...]]
    progress: Progress
    start: float

    @property
    def wish(self) -> RigWish:
        """What is wanted."""
        goal = self.bench.job.goal
        return RigWish(
            goal=self.request.goal,
            thickness=goal.thickness,
            measured_at=MeasuredAt(goal.measured_at),
            within=self.request.within,
        )

    def looked_around(self) -> tuple[DesignSpace, tuple[Trial, ...]]:
        """Everything that was tried."""
        bench = self.bench
        own = RigCase(rig=bench.coarse_own, bench=bench.coarse_bench)
        (result,) = self.evaluate([own])
        current = figures_of(result, "your own rig").current
        space = design_space(
            bench.coarse_own, self.request.freedoms, current, self._suggested(current)
        )
        score = partial(scored, self.wish)
        asking = searched(space, score, self.request.effort, self._other_scores())
        asked = next(asking)
        while True:
            rigs = [space.rig(design, bench.coarse_own) for design in asked]
            results = self.evaluate([RigCase(rig=r, bench=bench.coarse_bench) for r in rigs])
            self.progress("trying rigs", min(1.0, self._spent / SEARCH_SHARE))
            try:
                asked = asking.send(Answers(results=results, enough=self._spent > SEARCH_SHARE))
            except StopIteration as over:
                trials: tuple[Trial, ...] = over.value
                return space, trials

    def _suggested(self, current: float) -> dict[int, tuple[Floats, ...]]:
        """Wires that each coated part starts well from, where contacts may change."""
        rig, found = self.bench.coarse_own, {}
        if not self.request.freedoms.contacts:
            return {}
        for number, part in enumerate(rig.description.parts, 1):
            if part.coat is None:
                continue
            self.progress("choosing places for wires", 0.0)
            wires = [c for c in rig.description.contacts if (c.part or 1) == number]
            share = current / len(rig.description.parts)
            fewest = fewest_wires(share, wires[0].wire_diameter)
            most = max(fewest, len(wires)) + MORE_WIRES
            regions = self.request.freedoms.regions
            counts = range(fewest, most + 1)
            bench = self.bench.coarse_bench
            found[number] = suggested_wires(rig, bench, regions, number, counts)
        return found

    @property
    def _spent(self) -> float:
        """Share of the minutes that have gone [-]."""
        return (time.monotonic() - self.start) / (60.0 * self.request.minutes)

    def _other_scores(self) -> tuple[Score, ...]:
        """Of the axes of the front that the goal does not follow."""
        others = [RigGoal.COPPER, RigGoal.EVEN]
        if is_coated(self.bench):
            others.append(RigGoal.START)
        return tuple(
            partial(scored, replace(self.wish, goal=goal))
            for goal in others
            if goal is not self.request.goal
        )


def scored(wish: RigWish, result: RigResult) -> float:
    """Of a result: infinity where the rig cannot be."""
    return inf if result.figures is None else wish.score(result.figures)
