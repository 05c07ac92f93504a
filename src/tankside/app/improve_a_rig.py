"""Use case: from a job to a few better and different rigs, each with what it gains and costs.

The search looks around on a coarse mesh; the best and most different rigs, the person's own and the
one by the usual rules are then evaluated on the person's own mesh, and only those numbers are told.
The clock only ends the search: with the same seed, the same number of evaluations give the same
rigs, on one core or on a cluster.
"""

import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from math import inf

from tankside.app.compare_rules_of_thumb import confronted, rule_case
from tankside.app.job.writing import job_text
from tankside.app.ports import Done, Files, Sweeps
from tankside.app.rig_bench import (
    RigBench,
    all_evaluated,
    checked_count,
    figures_of,
    fine_description,
    placed_in,
    rig_bench,
)
from tankside.app.rig_starts import Start, is_coated, starts_of
from tankside.base.errors import Impossible
from tankside.base.progress import Progress, silent
from tankside.plan.plan import MeasuredAt
from tankside.plan.rigs.choice import allowance, good_and_different, least_distance, non_dominated
from tankside.plan.rigs.comparison import RigNumbers, changes, gains_and_costs, rig_numbers
from tankside.plan.rigs.contact_sites import fewest_wires
from tankside.plan.rigs.evaluation import RigCase, RigFigures, RigResult
from tankside.plan.rigs.goals import AXES, FAILS, RigGoal, RigWish
from tankside.plan.rigs.rig import Rig, mesh_of
from tankside.plan.rigs.rules_of_thumb import RuleSaid
from tankside.plan.rigs.search import Answers, Effort, Score, Trial, searched
from tankside.plan.rigs.space import DesignSpace, Freedoms, design_space

_SCREENED = 2
"""How many times as many rigs are tried for their start as are then evaluated finely [-]."""

SEARCH_SHARE = 0.6
"""Share of the minutes after which no more rigs are tried: the rest is for the person's mesh."""


@dataclass(frozen=True, kw_only=True)
class RigRequest:
    """A job file's text, name and files; the goal; what may be changed; the effort; the minutes
    that it may take; how many rigs should come back; within which time [s] the goal is wanted."""

    job_text: str
    job_name: str
    files: Files
    goal: RigGoal = RigGoal.THINNEST
    freedoms: Freedoms = field(default_factory=Freedoms)
    effort: Effort = field(default_factory=Effort)
    minutes: float = 5.0
    rigs: int = 4
    within: float | None = None


@dataclass(frozen=True, kw_only=True)
class RigProposal:
    """One better rig: its numbers on the person's mesh, what to do at the tank, what it gains and
    costs, and its job files by name (two where the part is turned part-way)."""

    rig: Rig
    figures: RigFigures
    numbers: RigNumbers
    changes: tuple[str, ...]
    gains: tuple[str, ...]
    jobs: Mapping[str, bytes]
    wires_needed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ParetoPoint:
    """One rig of the front, on the coarse mesh: hours and grams until the thinnest place has its
    thickness, and the spread [-]."""

    hours: float
    copper_g: float
    spread: float


@dataclass(frozen=True, kw_only=True)
class RigReply:
    """The own rig's numbers, the proposals (best first), the front, the rules, and how it went.

    least_difference   of the two most alike of own rig and proposals [-]; 1 is one freedom at its
                       other end
    refused            how often each reason kept a rig from being tried further
    notes              what the numbers do not hold
    """

    goal: RigGoal
    own: RigNumbers
    own_rig: Rig
    proposals: tuple[RigProposal, ...]
    pareto: tuple[ParetoPoint, ...]
    rules: tuple[RuleSaid, ...]
    evaluations: int
    refused: Mapping[str, int]
    least_difference: float
    freedoms: tuple[str, ...]
    notes: tuple[str, ...]
    seconds: float


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
        work = _Work(request, bench, sweeps, progress, cancel, done, start)
        space, trials = work.looked_around()
        return work.told(space, trials)


class _Work:
    """One request on its way."""

    def __init__(
        self,
        request: RigRequest,
        bench: RigBench,
        sweeps: Sweeps,
        progress: Progress,
        cancel: Callable[[], bool],
        done: Done | None,
        start: float,
    ) -> None:
        self.request, self.bench, self.start = request, bench, start
        self.sweeps, self.progress, self.cancel, self.done = sweeps, progress, cancel, done
        goal = bench.job.goal
        self.wish = RigWish(
            goal=request.goal,
            thickness=goal.thickness,
            measured_at=MeasuredAt(goal.measured_at),
            within=request.within,
        )

    def looked_around(self) -> tuple[DesignSpace, tuple[Trial, ...]]:
        """The search on the coarse mesh."""
        bench = self.bench
        own = RigCase(rig=bench.coarse_own, bench=bench.coarse_bench)
        (result,) = self._results([own])
        figures = figures_of(result, "your own rig")
        space = design_space(bench.coarse_own, self.request.freedoms, figures.current)
        asking = searched(space, self._score, self.request.effort, self._other_scores())
        asked, count = next(asking), 0
        while True:
            rigs = [space.rig(design, bench.coarse_own) for design in asked]
            cases = [RigCase(rig=rig, bench=bench.coarse_bench) for rig in rigs]
            results, count = self._results(cases), count + len(cases)
            self.progress("trying rigs", min(1.0, self._spent / SEARCH_SHARE))
            try:
                asked = asking.send(Answers(results=results, enough=self._spent > SEARCH_SHARE))
            except StopIteration as over:
                trials: tuple[Trial, ...] = over.value
                return space, trials

    def told(self, space: DesignSpace, trials: tuple[Trial, ...]) -> RigReply:
        """The few that are worth it, on the person's own mesh."""
        bench = self.bench
        chosen, starts = self._chosen_that_start(space, trials)
        rigs = [
            replace(rig, description=fine_description(rig, bench.own))
            for rig in (space.rig(trial.design, bench.coarse_own) for trial in chosen)
        ]
        cases = [RigCase(rig=rig, bench=bench.bench) for rig in (bench.own, *rigs)]
        self.progress("evaluating the best on your mesh", 0.0)
        first, *results = self._results([*cases, rule_case(bench)])
        by_rules = results.pop()
        figures = starts[0].counted(figures_of(first, "your own rig"))
        results = [
            replace(result, figures=start.counted(result.figures)) if result.figures else result
            for result, start in zip(results, starts[1:], strict=True)
        ]
        own = rig_numbers(figures, figures, self.wish)
        better = [
            (self.wish.score(result.figures), number)
            for number, result in enumerate(results)
            if result.figures is not None
            and self.wish.score(result.figures) < min(self.wish.score(figures), FAILS)
        ]
        kept = [number for _, number in sorted(better)[: self.request.rigs]]
        told = [trials[0], *(chosen[number] for number in kept)]
        return RigReply(
            goal=self.request.goal,
            own=own,
            own_rig=bench.own,
            proposals=tuple(
                self._proposal(place, rigs[number], results[number].figures, figures, own)
                for place, number in enumerate(kept, 1)
            ),
            pareto=self._pareto(trials),
            rules=confronted(bench, figures, by_rules),
            evaluations=len(trials) + len(cases) + 1,
            refused=_refused(trials),
            least_difference=least_distance(
                range(len(told)), lambda a, b: told[a].distance(told[b])
            ),
            freedoms=tuple(freedom.name for freedom in space.freedoms),
            notes=tuple(_notes(bench)),
            seconds=time.monotonic() - self.start,
        )

    @property
    def _spent(self) -> float:
        """Share of the minutes that have gone [-]."""
        return (time.monotonic() - self.start) / (60.0 * self.request.minutes)

    def _results(self, cases: list[RigCase]) -> tuple[RigResult, ...]:
        return all_evaluated(cases, self.sweeps, silent, self.cancel, self.done)

    def _score(self, result: RigResult) -> float:
        return _scored(self.wish, result)

    def _other_scores(self) -> tuple[Score, ...]:
        """Of the axes of the front that the goal does not follow."""
        return tuple(
            partial(_scored, replace(self.wish, goal=goal))
            for goal in (RigGoal.COPPER, RigGoal.EVEN)
            if goal is not self.request.goal
        )

    def _chosen_that_start(
        self, space: DesignSpace, trials: tuple[Trial, ...]
    ) -> tuple[list[Trial], list[Start]]:
        """A few more than asked for of the best and different ones, as far as they start; and the
        starts, the own rig's first."""
        most = self.request.rigs + 1
        chosen = self._chosen(trials, _SCREENED * most if is_coated(self.bench) else most)
        base = self.bench.coarse_own
        rigs = [base, *(space.rig(trial.design, base) for trial in chosen)]
        self.progress("working out how the best start", 0.0)
        own, *starts = starts_of(rigs, self.bench, self._results)
        kept = [n for n, start in enumerate(starts) if start.delay is not None][:most]
        return [chosen[n] for n in kept], [own, *(starts[n] for n in kept)]

    def _chosen(self, trials: tuple[Trial, ...], count: int) -> list[Trial]:
        """The best and different ones, without the own rig."""
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

    def _pareto(self, trials: tuple[Trial, ...]) -> tuple[ParetoPoint, ...]:
        import numpy as np

        figures = [t.result.figures for t in trials if t.result.figures and t.score < inf]
        costs = np.array([[axis(self.wish, f) for _, axis in AXES] for f in figures])
        front = costs[non_dominated(costs)]
        rows = sorted({tuple(row) for row in front.tolist()})
        return tuple(ParetoPoint(hours=h, copper_g=g, spread=s) for h, g, s in rows)

    def _proposal(
        self,
        place: int,
        rig: Rig,
        figures: RigFigures | None,
        own_figures: RigFigures,
        own: RigNumbers,
    ) -> RigProposal:
        if figures is None:
            raise Impossible(f"rig {place} has no figures")
        numbers = rig_numbers(figures, own_figures, self.wish)
        said = changes(rig, self.bench.own)
        wire = rig.description.contacts[0].wire_diameter
        return RigProposal(
            rig=rig,
            figures=figures,
            numbers=numbers,
            changes=said,
            gains=gains_and_costs(numbers, own),
            jobs=self._jobs(place, rig, figures, numbers, said),
            wires_needed=fewest_wires(figures.current, wire),
        )

    def _jobs(
        self,
        place: int,
        rig: Rig,
        figures: RigFigures,
        numbers: RigNumbers,
        said: tuple[str, ...],
    ) -> dict[str, bytes]:
        """Job files by name. A rig with a turn has two, each to its share of the mean thickness."""
        files = {}
        stages = list(rig.stages())
        for number, (share, description) in enumerate(stages, 1):
            name = f"rig-{place}.toml" if len(stages) == 1 else f"rig-{place}-{number}-of-2.toml"
            goal: dict[str, object] | None = None
            if len(stages) > 1:
                mean = figures.mean_rate * 3600.0 * numbers.hours * share
                goal = {"thickness": f"{1e6 * mean:.4g} um", "measured_at": "mean"}
            if rig.current_share < 1.0:
                goal = {**(goal or {}), "current": f"{figures.current:.3g} A"}
            head = (f"Rig {place} of a search from {self.request.job_name}.", *said)
            text = job_text(self.request.job_text, description, goal=goal, head=head)
            files[name] = text.encode()
        return files


def _notes(bench: RigBench) -> Iterator[str]:
    """Sentences on what all numbers of the reply leave out."""
    description = bench.own.description
    yield (
        "The solution's boundary layer is that of the part as you hang it; plan the new job to "
        "have it worked out for the new pose."
    )
    if is_coated(bench):
        yield (
            "A rig counts as starting where copper covers the coat in a tenth of the job's time, "
            "or half an hour if that is more, on the poorest coat that is believed; the start is "
            "in its hours. Plan the new job to see its front and its ramp."
        )
    for number, part in enumerate(description.parts, 1):
        lift = description.solution_density * mesh_of(part).signed_volume
        if part.mass is not None and part.mass < lift:
            yield f"Part {number} floats however it hangs: every rig needs ballast."


def _scored(wish: RigWish, result: RigResult) -> float:
    return inf if result.figures is None else wish.score(result.figures)


def _refused(trials: tuple[Trial, ...]) -> dict[str, int]:
    """Reasons without their numbers, the most frequent first."""
    found: dict[str, int] = {}
    for trial in trials:
        if trial.result.refusal:
            reason = _kind(trial.result.refusal)
            found[reason] = found.get(reason, 0) + 1
    return dict(sorted(found.items(), key=lambda entry: (-entry[1], entry[0])))


def _kind(refusal: str) -> str:
    for word, reason in _REASONS:
        if word in refusal:
            return reason
    return "another reason"


_REASONS = (
    ("float", "would float"),
    ("trap", "traps air"),
    ("overlaps", "two things in one place"),
    ("touches", "two things touch"),
    ("stands only", "two things touch"),
    ("liquid", "leaves the liquid"),
    ("wall", "leaves the tank"),
    ("floor", "leaves the tank"),
    ("wire", "a wire finds no way"),
    ("contact", "a wire finds no way"),
    ("A ", "beyond the supply"),
)
