"""The few rigs that a search chose, on the person's own mesh: numbers, sentences, job files."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

import numpy as np

from tankside.app.compare_rules_of_thumb import confronted, rule_case
from tankside.app.job.writing import job_text
from tankside.app.rig_bench import RigBench, figures_of, fine_rig, is_coated
from tankside.app.rig_choosing import Chosen, Evaluate, with_start
from tankside.app.rig_refusals import refused_of
from tankside.app.rig_values import ParetoPoint, RigProposal, RigReply, RigRequest
from tankside.base.errors import Impossible
from tankside.base.messages import said
from tankside.plan.rigs.choice import least_distance, non_dominated
from tankside.plan.rigs.comparison import RigNumbers, changes, gains_and_costs, rig_numbers
from tankside.plan.rigs.contact_sites import fewest_wires
from tankside.plan.rigs.figures import RigCase, RigFigures, RigResult
from tankside.plan.rigs.goals import AXES, FAILS, RigWish
from tankside.plan.rigs.rig import Rig, mesh_of
from tankside.plan.rigs.space import DesignSpace
from tankside.plan.rigs.trials import Trial


def told(
    request: RigRequest,
    bench: RigBench,
    space: DesignSpace,
    trials: tuple[Trial, ...],
    chosen: Chosen,
    evaluate: Evaluate,
    wish: RigWish,
) -> RigReply:
    """The reply, its seconds still open."""
    rigs = [
        fine_rig(space.rig(trial.design, bench.coarse_own), bench.own) for trial in chosen.trials
    ]
    cases = [RigCase(rig=rig, bench=bench.bench) for rig in (bench.own, *rigs)]
    first, *results = evaluate([*cases, rule_case(bench)])
    by_rules = results.pop()
    figures = figures_of(with_start(first, chosen.own_start), "your own rig")
    results = [
        with_start(result, start) for result, start in zip(results, chosen.starts, strict=True)
    ]
    kept = _kept(results, figures, wish, request.rigs, chosen.wires_alone)
    telling = _Telling(request, bench, wish, figures)
    alike = [trials[0], *(chosen.trials[number] for number in kept)]
    return RigReply(
        goal=request.goal,
        own=telling.own,
        own_rig=bench.own,
        proposals=tuple(
            telling.proposal(place, rigs[number], results[number].figures)
            for place, number in enumerate(kept, 1)
        ),
        pareto=_pareto(space, bench, trials, wish),
        rules=confronted(bench, figures, by_rules),
        evaluations=len(trials) + len(cases) + 1,
        refused=refused_of(trials),
        least_difference=least_distance(
            range(len(alike)), lambda a, b: alike[a].distance(alike[b])
        ),
        freedoms=tuple(freedom.name for freedom in space.freedoms),
        notes=tuple(_notes(bench)),
        coated=is_coated(bench),
        seconds=0.0,
    )


def _kept(
    results: Sequence[RigResult],
    own: RigFigures,
    wish: RigWish,
    most: int,
    wires_alone: int | None,
) -> list[int]:
    """Numbers of the results that are better than the own rig on the person's mesh, the best first;
    the last of them makes room for other wires alone where those are better too."""
    limit = min(wish.score(own), FAILS)
    scores = [inf if r.figures is None else wish.score(r.figures) for r in results]
    better = sorted((score, number) for number, score in enumerate(scores) if score < limit)
    kept = [number for _, number in better][:most]
    if wires_alone is not None and wires_alone not in kept and scores[wires_alone] < limit:
        kept = [*kept[: most - 1], wires_alone] if most > 1 else kept
    return kept


def _pareto(
    space: DesignSpace, bench: RigBench, trials: tuple[Trial, ...], wish: RigWish
) -> tuple[ParetoPoint, ...]:
    """The front of all that can be and start; the own rig's time to cover is no axis on metal."""
    coated = is_coated(bench)
    able = [
        (trial, trial.result.figures)
        for trial in trials
        if trial.result.figures and trial.score < FAILS
    ]
    if not able:
        return ()
    axes = AXES if coated else AXES[:3]
    costs = np.array([[axis(wish, figures) for _, axis in axes] for _, figures in able])
    front = [
        (*costs[number].tolist()[:3], able[number][1].start.covered_after or 0.0, able[number][0])
        for number in np.flatnonzero(non_dominated(costs)).tolist()
    ]
    points = [
        ParetoPoint(
            hours=hours,
            copper_g=copper,
            spread=spread,
            cover_minutes=after / 60.0 if coated else None,
            wires=len(space.rig(trial.design, bench.coarse_own).description.contacts),
        )
        for hours, copper, spread, after, trial in front
    ]
    return tuple(sorted(set(points), key=lambda one: (one.hours, one.copper_g, one.spread)))


@dataclass(frozen=True)
class _Telling:
    """What the rigs of one request are told against: the own rig's figures."""

    request: RigRequest
    bench: RigBench
    wish: RigWish
    own_figures: RigFigures

    @property
    def own(self) -> RigNumbers:
        """The own rig's numbers."""
        wires = len(self.bench.own.description.contacts)
        return rig_numbers(self.own_figures, self.own_figures, self.wish, wires)

    def proposal(self, place: int, rig: Rig, figures: RigFigures | None) -> RigProposal:
        """The rig at a place of the reply, from 1."""
        if figures is None:
            raise Impossible("rig {place} has no figures", place=place)
        contacts = rig.description.contacts
        numbers = rig_numbers(figures, self.own_figures, self.wish, len(contacts))
        said = changes(rig, self.bench.own)
        return RigProposal(
            rig=rig,
            figures=figures,
            numbers=numbers,
            changes=said,
            gains=gains_and_costs(numbers, self.own),
            jobs=self._jobs(place, rig, figures, numbers, said),
            wires_needed=fewest_wires(figures.current, contacts[0].wire_diameter),
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
        said(
            "The solution's boundary layer is that of the part as you hang it; plan the "
            "new job to have it worked out for the new pose."
        )
    )
    if is_coated(bench):
        yield (
            said(
                "A rig counts as starting where copper covers the coat in a tenth of the job's "
                "time, or half an hour if that is more, or in the time that you gave, on the "
                "poorest coat that is believed; the start is in its hours. The curve has quick "
                "starts, which cover about a twentieth too soon and cost a quarter too little; "
                "the numbered rigs have the whole growth, on the coarse mesh. Plan the new job "
                "to see its front and its ramp."
            )
        )
    for number, part in enumerate(description.parts, 1):
        lift = description.solution_density * mesh_of(part).signed_volume
        if part.mass is not None and part.mass < lift:
            yield said(
                "Part {number} floats however it hangs: every rig needs ballast.", number=number
            )
