"""Use case: how to take the sample of a titration, and what to do."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.titration_ways import burette_of, expected_of, method_of
from tankside.app.bath.typed_analysis import (
    TypedTitrant,
    titrant_of,
)
from tankside.base.errors import BadInput
from tankside.bath.analysis.design import SamplePlan, planned_sample
from tankside.bath.analysis.finding import Finding
from tankside.bath.analysis.instruments import Volumetric, instrument, instruments
from tankside.bath.analysis.procedure import Procedure, procedure
from tankside.bath.analysis.runs import Run
from tankside.bath.analysis.titration import titrated
from tankside.safety.activities import Activity, Doing, cautions_while
from tankside.safety.cautions import Caution

_HANDLED = {
    "EDTA": {"ammonia": 0.1},
    "thiosulfate": {"potassium iodide": 1.0, "sodium thiosulfate pentahydrate": 1.0},
    "sodium hydroxide": {"sodium hydroxide": 0.04},
    "silver nitrate": {"silver nitrate": 0.01},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRequest:
    """A titration that is to be done.

    expected   of the bath, as typed
    pipettes   at hand, by name; none takes all of class B
    flasks     likewise
    family     kind of bath: sulfate, citrate or acetate
    """

    what: str
    expected: str
    method: str = ""
    titrant: TypedTitrant = field(default_factory=TypedTitrant)
    burette: str = "burette 25 mL class B"
    pipettes: Sequence[str] = ()
    flasks: Sequence[str] = ()
    runs: int = 2
    family: str = "sulfate"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanReply:
    """The sample to take, the procedure in words, and the cautions before it."""

    plan: SamplePlan
    procedure: Procedure
    cautions: tuple[Caution, ...]
    burette: str

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        done = self.procedure
        return {
            "cautions": [{"id": one.id, "text": one.text} for one in self.cautions],
            "titrant_cautions": list(done.titrant_cautions),
            "title": done.title,
            "sample": done.sample,
            "sample_m3": self.plan.sample.volume.value,
            "dilution": self.plan.dilution,
            "expected_titre_m3": self.plan.titre,
            "relative_std": self.plan.relative_std,
            "titrant_m3": done.titrant_volume,
            "needs": [
                {"name": one.name, "volume_m3": one.volume, "mass_kg": one.mass}
                for one in done.needs
            ],
            "steps": [{"cautions": list(one.cautions), "text": one.text} for one in done.steps],
            "after": list(done.after),
            "interferes": list(done.interferes),
            "keep": done.keep,
        }


@within_laws
def plan_a_titration(request: PlanRequest) -> PlanReply:
    """How to take the sample and what to do; Impossible where no glassware here suits."""
    method = method_of(request.what, request.method)
    if not request.expected:
        raise BadInput("say about how much the bath holds, such as --expect '50 g/L'",
                       where="--plan")  # fmt: skip
    if not 1 <= request.runs <= 10:
        raise BadInput("do 1 to 10 runs, not {runs}", runs=request.runs, where="--runs")
    burette = burette_of(request.burette)
    titrant = titrant_of(request.titrant, method.titrant, burette, sure=False)
    expected = expected_of(request.expected, request.what) or 0.0
    plan = planned_sample(
        method,
        expected=expected,
        titrant=titrant,
        burette=burette,
        pipettes=_glass(request.pipettes, ("pipette", "syringe")),
        flasks=_glass(request.flasks, ("flask",)),
        runs=request.runs,
    )
    return PlanReply(
        plan=plan,
        procedure=procedure(method, plan, titrant, runs=request.runs, family=request.family),
        cautions=cautions_while(
            Doing(activity=Activity.TITRATING, handled=_HANDLED[method.titrant])
        ),
        burette=burette.words,
    )


def answer_of(request: PlanRequest) -> Callable[[float], Finding]:
    """What one run's titre [m³] would mean with the titrant and sample that were planned. For acid
    without the correction of its end point, which needs the bath's copper."""
    method = method_of(request.what, request.method)
    burette = burette_of(request.burette)
    titrant = titrant_of(request.titrant, method.titrant, burette, sure=False)
    sample = plan_a_titration(request).plan.sample

    def answer(titre: float) -> Finding:
        return titrated(
            method, [Run(end=titre)], titrant=titrant, burette=burette, sample=sample, sure=True
        )

    return answer


def _glass(names: Sequence[str], kinds: tuple[str, ...]) -> list[Volumetric]:
    if names:
        return [instrument(name) for name in names]
    return [
        one for one in instruments().values() if one.kind in kinds and "class A" not in one.name
    ]
