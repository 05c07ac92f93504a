"""Which of all rigs that a search tried are worth the person's mesh, and whether they start.

The search knows the quick start of each coated rig, which errs (docs/theory/rigs.md). Of the best
and different ones, and of the own rig, the start is worked out again by the whole growth on the
coarse mesh; those that then fail are dropped. What wires alone would do for the start is always
looked at, as it is the least trouble.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from tankside.app.rig_bench import RigBench, is_coated
from tankside.base.progress import Progress
from tankside.plan.rigs.choice import allowance, good_and_different
from tankside.plan.rigs.figures import RigCase, RigFigures, RigResult, RigStart, Starts
from tankside.plan.rigs.goals import RigWish
from tankside.plan.rigs.rig import Rig
from tankside.plan.rigs.space import DesignSpace
from tankside.plan.rigs.trials import Trial

Evaluate = Callable[[Sequence[RigCase]], tuple[RigResult, ...]]

MORE_LOOKED_AT = 2
"""Rigs that are looked at on the person's mesh beyond those that were asked for [-]."""

SOONER = 0.9
"""A rig with other wires alone is looked at where its start costs this share of the own's at most
[-]: our choice."""


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """The trials and their whole starts, in the same order; the own rig's start; the number of the
    trial that changes wires alone, or None."""

    trials: tuple[Trial, ...]
    starts: tuple[RigStart, ...]
    own_start: RigStart
    wires_alone: int | None


def chosen_that_start(
    bench: RigBench,
    space: DesignSpace,
    trials: tuple[Trial, ...],
    rigs: int,
    evaluate: Evaluate,
    progress: Progress,
    wish: RigWish,
) -> Chosen:
    """A few more than the `rigs` that are asked for."""
    most = rigs + MORE_LOOKED_AT
    chosen = best_and_different(trials, most)
    alone = _wires_alone(space, trials) if is_coated(bench) else None
    if alone is not None and all(alone is not trial for trial in chosen):
        chosen = [*chosen, alone]
    base = bench.coarse_own
    if is_coated(bench):
        progress("working out how the best start", 0.0)
    own, *starts = starts_of(
        [base, *(space.rig(trial.design, base) for trial in chosen)], bench, evaluate
    )
    kept = [n for n, start in enumerate(starts) if not start.failure]
    left = [chosen[n] for n in kept]
    return Chosen(
        trials=tuple(left),
        starts=tuple(starts[n] for n in kept),
        own_start=own,
        wires_alone=next((n for n, trial in enumerate(left) if trial is alone), None),
    )


def starts_of(rigs: Sequence[Rig], bench: RigBench, evaluate: Evaluate) -> tuple[RigStart, ...]:
    """The whole starts of coarse rigs, in their order."""
    if not is_coated(bench):
        return (RigStart(),) * len(rigs)
    judged = replace(bench.coarse_bench, starts=Starts.WHOLE)
    results = evaluate([RigCase(rig=rig, bench=judged) for rig in rigs])
    return tuple(
        _unsolved(result.refusal) if result.figures is None else result.figures.start
        for result in results
    )


def with_start(result: RigResult, start: RigStart) -> RigResult:
    """A result on the person's mesh with the start from the coarse one."""
    if result.figures is None:
        return result
    figures: RigFigures = replace(result.figures, start=start)
    return replace(result, figures=figures)


def best_and_different(trials: Sequence[Trial], count: int) -> list[Trial]:
    """Without the own rig, which is the first."""
    own = trials[0].score
    better = [trial for trial in trials[1:] if trial.score < own]
    best = min((trial.score for trial in better), default=own)
    numbers = good_and_different(
        [trial.score for trial in better],
        lambda a, b: better[a].distance(better[b]),
        count,
        worse=allowance(best, own),
    )
    return [better[number] for number in numbers]


def _wires_alone(space: DesignSpace, trials: Sequence[Trial]) -> Trial | None:
    """The rig whose start costs least of those that change nothing but wires, where that is
    noticeably less than the own rig's costs."""
    found = [
        (start.delay, number)
        for number, trial in enumerate(trials)
        if trial.result.figures is not None
        and (start := trial.result.figures.start).delay is not None
        and (changed := space.changed(trial.design))
        and all(space.holds_wires(freedom) for freedom in changed)
    ]
    if not found:
        return None
    delay, number = min(found)
    own = trials[0].result.figures
    if own is not None and own.start.delay is not None and delay > SOONER * own.start.delay:
        return None
    return trials[number]


def _unsolved(reason: str) -> RigStart:
    return RigStart(delay=None, covered=0.0, covered_after=None, failure=reason)
