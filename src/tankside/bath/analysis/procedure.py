"""A procedure written out for one bath: what to get ready, what to do, what to mind.

The words come from data/titrations.toml; this module fills in the sample and sums up the reagents,
so that a sheet has nothing left to compute.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.base.errors import BadInput
from tankside.base.messages import capital, said
from tankside.base.wording import in_a_row, term
from tankside.bath.analysis.design import SamplePlan
from tankside.bath.analysis.titrants import Titrant
from tankside.bath.analysis.titration import Need, Titration

SPARE = 1.25
"""Titrant to have ready over what the runs should take [-]: our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do, and the cautions to read before it."""

    text: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """All of a titration in words and amounts.

    titrant_volume   to have ready [m³]
    needs            reagents for all runs together
    steps            for one run
    after            cautions that stand after the last step
    """

    title: str
    sample: str
    expected_titre: float
    titrant_volume: float
    needs: tuple[Need, ...]
    steps: tuple[Step, ...]
    after: tuple[str, ...]
    interferes: tuple[str, ...]
    keep: str
    titrant_cautions: tuple[str, ...]


def procedure(
    method: Titration, plan: SamplePlan, titrant: Titrant, *, runs: int = 2, family: str = "sulfate"
) -> Procedure:
    """The procedure for a planned sample; BadInput where it does not hold for this kind of bath."""
    if family not in method.families:
        raise BadInput(
            "{method} does not hold for a {family} bath, only for {families}",
            method=term(method.words),
            family=family,
            families=in_a_row(method.families),
        )
    steps, after = _steps(method.steps, plan.sample.words)
    return Procedure(
        title=capital(term(method.words)),
        sample=plan.sample.words,
        expected_titre=plan.titre,
        titrant_volume=plan.titre * runs * SPARE,
        needs=tuple(
            Need(name=need.name, volume=need.volume * runs, mass=need.mass * runs)
            for need in method.needs
        ),
        steps=steps,
        after=after,
        interferes=method.interferes,
        keep=titrant.kind.keep,
        titrant_cautions=titrant.kind.cautions,
    )


def _steps(lines: Sequence[str], sample: str) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """Cautions gathered before the step that they stand before; those left over come after."""
    steps: list[Step] = []
    waiting: list[str] = []
    for line in lines:
        if line.startswith("!"):
            waiting.append(line[1:])
            continue
        steps.append(Step(text=said(line, sample=sample), cautions=tuple(waiting)))
        waiting = []
    return tuple(steps), tuple(waiting)
