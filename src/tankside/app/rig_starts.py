"""Whether a search's rigs start: the start on the coat, worked out on the search's coarse mesh.

A start takes several times as long as the field of a rig, so it is worked out for the person's own
rig and for the best and different ones that a search has found, not for each that it tried. What
does not start is not called good; what a start costs goes into the rig's hours.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from tankside.app.rig_bench import RigBench
from tankside.plan.rigs.evaluation import RigCase, RigFigures, RigResult
from tankside.plan.rigs.rig import Rig

Evaluate = Callable[[list[RigCase]], tuple[RigResult, ...]]


@dataclass(frozen=True, slots=True)
class Start:
    """What a rig's start costs [s], None where it fails; the share of the coat covered in time."""

    delay: float | None
    covered: float

    def counted(self, figures: RigFigures) -> RigFigures:
        """A rig's figures with its start."""
        return replace(figures, start_delay=self.delay, start_covered=self.covered)


ON_METAL = Start(0.0, 1.0)


def is_coated(bench: RigBench) -> bool:
    """True where a part conducts only through a coat."""
    return any(part.coat is not None for part in bench.own.description.parts)


def starts_of(rigs: Sequence[Rig], bench: RigBench, evaluate: Evaluate) -> tuple[Start, ...]:
    """The starts of coarse rigs, in their order."""
    if not is_coated(bench):
        return (ON_METAL,) * len(rigs)
    judged = replace(bench.coarse_bench, starts=True)
    results = evaluate([RigCase(rig=rig, bench=judged) for rig in rigs])
    return tuple(
        Start(None, 0.0)
        if result.figures is None
        else Start(result.figures.start_delay, result.figures.start_covered)
        for result in results
    )
