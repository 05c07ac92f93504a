"""Use case: what the usual rules would give for a job, next to what is computed for it."""

from dataclasses import dataclass, replace

from tankside.app.ports import Files, Sweeps
from tankside.app.rig_bench import RigBench, all_evaluated, figures_of, placed_in, rig_bench
from tankside.base.progress import Progress, silent
from tankside.plan.rigs.figures import RigCase, RigFigures, RigResult
from tankside.plan.rigs.rules_of_thumb import RuleSaid, rule_current, rule_rig, rules_confronted


@dataclass(frozen=True, kw_only=True)
class RulesRequest:
    """A job file's text, its name for sentences, and where its mesh files are read from."""

    job_text: str
    job_name: str
    files: Files


@dataclass(frozen=True, kw_only=True)
class RulesReply:
    """Each rule, what it would set, and what is computed."""

    rules: tuple[RuleSaid, ...]


def compare_rules_of_thumb(
    request: RulesRequest, sweeps: Sweeps, progress: Progress = silent
) -> RulesReply:
    """The rules beside the answer. BadInput or Impossible where the own rig cannot be."""
    bench = rig_bench(request.job_text, request.job_name, request.files, progress)
    with placed_in(request.job_name):
        own = RigCase(rig=bench.own, bench=bench.bench)
        cases = [own, rule_case(bench)]
        first, by_rules = all_evaluated(cases, sweeps, progress, lambda: False, None)
        figures = figures_of(first, "your own rig")
        return RulesReply(rules=confronted(bench, figures, by_rules))


def rule_case(bench: RigBench) -> RigCase:
    """The rig by the rules, at the current by the rules, on the person's mesh."""
    goal = replace(
        bench.bench.goal, current=rule_current(bench.own.description), current_density=None
    )
    return RigCase(rig=rule_rig(bench.own), bench=replace(bench.bench, goal=goal))


def confronted(bench: RigBench, own: RigFigures, by_rules: RigResult) -> tuple[RuleSaid, ...]:
    """The rules in words, for the job's thickness."""
    return rules_confronted(bench.own, own, by_rules, bench.job.goal.thickness)
