"""Use cases of a titration: what the readings found, and how to take the sample before.

Copper by EDTA (two ways) or thiosulfate, free acid by sodium hydroxide, chloride by silver nitrate
along a curve of millivolts or by its cloud against standards.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from tankside.app.bath.entries import concentration_range
from tankside.app.bath.forms import finding_row
from tankside.app.bath.typed_analysis import (
    TypedSample,
    TypedTitrant,
    measured_interval,
    runs_of,
    sample_of,
    titrant_of,
)
from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import Kind, quantity
from tankside.bath.analysis.acid_end_point import free_acid, indicator
from tankside.bath.analysis.chloride import (
    Comparison,
    Looks,
    chloride_by_silver,
    chloride_by_turbidity,
)
from tankside.bath.analysis.design import SamplePlan, planned_sample
from tankside.bath.analysis.finding import Finding
from tankside.bath.analysis.instruments import Volumetric, instrument, instruments
from tankside.bath.analysis.potentiometry import Curve
from tankside.bath.analysis.procedure import Procedure, procedure
from tankside.bath.analysis.propagation import Measured
from tankside.bath.analysis.runs import Run
from tankside.bath.analysis.titration import NOTHING, Titration, titrated, titration
from tankside.safety.activities import Activity, Doing, cautions_while
from tankside.safety.cautions import Caution
from tankside.substances import molar_mass

METHODS = {
    "copper": {
        "edta": "copper-by-edta",
        "edta-pan": "copper-by-edta-pan",
        "thiosulfate": "copper-by-thiosulfate",
    },
    "acid": {"hydroxide": "acid-by-hydroxide"},
    "chloride": {"silver": "chloride-by-silver"},
}
"""Procedures by what they find and how a person calls them; the first is the usual one."""

_MOLAR = {"copper": "Cu", "acid": "H2SO4", "chloride": "Cl"}

_HANDLED = {
    "EDTA": {"ammonia": 0.1},
    "thiosulfate": {"potassium iodide": 1.0, "sodium thiosulfate pentahydrate": 1.0},
    "sodium hydroxide": {"sodium hydroxide": 0.04},
    "silver nitrate": {"silver nitrate": 0.01},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TitrateRequest:
    """A titration as typed.

    what         copper, acid or chloride
    method       a key of METHODS, "" for the usual one
    readings     runs; for chloride "VOLUME=MILLIVOLTS" each
    clouds       for chloride by turbidity, "STANDARD=clearer|same|cloudier" each
    thinned      by how much a sample was thinned for turbidity, such as "10"
    blank        what a flask without bath takes
    expected     of the bath, to be asked about slips; `sure` asks no more
    copper       of the bath, for acid: "52 ± 2 g/L"
    water        that thins the sample in the flask
    indicator    of an acid titration
    """

    what: str
    method: str = ""
    readings: Sequence[str] = ()
    titrant: TypedTitrant = field(default_factory=TypedTitrant)
    sample: TypedSample = field(default_factory=TypedSample)
    burette: str = "burette 25 mL class B"
    clouds: Sequence[str] = ()
    thinned: str = ""
    blank: str = ""
    expected: str = ""
    copper: str = ""
    water: str = "100 mL"
    indicator: str = "methyl orange"
    sure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundReply:
    """What an analysis found."""

    finding: Finding

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        return dict(finding_row(self.finding))


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


def titrate(request: TitrateRequest) -> FoundReply:
    """What the readings found; BadInput where they cannot be right."""
    if request.clouds:
        return FoundReply(finding=_by_cloud(request))
    method = _method(request.what, request.method)
    if not request.readings:
        raise BadInput("there are no readings; type each run, such as '17.35 mL'", where="titrate")
    burette = _burette(request.burette)
    titrant = titrant_of(request.titrant, method.titrant, burette, sure=request.sure)
    sample = sample_of(request.sample)
    expected = _expected(request.expected, request.what)
    if request.what == "chloride":
        return FoundReply(
            finding=chloride_by_silver(
                _curve(request.readings), titrant=titrant, burette=burette, sample=sample,
                water=quantity(request.water, Kind.VOLUME, where="--water"), expected=expected,
                sure=request.sure,
            )
        )  # fmt: skip
    runs = runs_of(request.readings)
    if request.what == "acid":
        return FoundReply(
            finding=free_acid(
                runs, titrant=titrant, burette=burette, sample=sample,
                indicator=indicator(request.indicator), copper=_copper(request.copper),
                water=quantity(request.water, Kind.VOLUME, where="--water"), expected=expected,
                sure=request.sure,
            )
        )  # fmt: skip
    return FoundReply(
        finding=titrated(
            method, runs, titrant=titrant, burette=burette, sample=sample,
            blank=_blank(request.blank), expected=expected, sure=request.sure,
        )
    )  # fmt: skip


def plan_a_titration(request: PlanRequest) -> PlanReply:
    """How to take the sample and what to do; Impossible where no glassware here suits."""
    method = _method(request.what, request.method)
    if not request.expected:
        raise BadInput("say about how much the bath holds, such as --expect '50 g/L'",
                       where="--plan")  # fmt: skip
    if not 1 <= request.runs <= 10:
        raise BadInput(f"do 1 to 10 runs, not {request.runs}", where="--runs")
    burette = _burette(request.burette)
    titrant = titrant_of(request.titrant, method.titrant, burette, sure=False)
    expected = _expected(request.expected, request.what) or 0.0
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
    method = _method(request.what, request.method)
    burette = _burette(request.burette)
    titrant = titrant_of(request.titrant, method.titrant, burette, sure=False)
    sample = plan_a_titration(request).plan.sample

    def answer(titre: float) -> Finding:
        return titrated(
            method, [Run(end=titre)], titrant=titrant, burette=burette, sample=sample, sure=True
        )

    return answer


def _method(what: str, name: str) -> Titration:
    if what not in METHODS:
        raise UnknownName("titration", what, METHODS)
    ways = METHODS[what]
    chosen = name or next(iter(ways))
    if chosen not in ways:
        raise UnknownName(f"way to titrate {what}", chosen, ways, where="--method")
    return titration(ways[chosen])


def _burette(name: str) -> Volumetric:
    found = instrument(name)
    if found.kind != "burette":
        known = [one.name for one in instruments().values() if one.kind == "burette"]
        raise UnknownName("burette", name, known, where="--burette")
    return found


def _glass(names: Sequence[str], kinds: tuple[str, ...]) -> list[Volumetric]:
    if names:
        return [instrument(name) for name in names]
    return [
        one for one in instruments().values() if one.kind in kinds and "class A" not in one.name
    ]


def _expected(text: str, what: str) -> float | None:
    if not text:
        return None
    return concentration_range(text, where="--expect", molar_mass=molar_mass(_MOLAR[what])).best


def _copper(text: str) -> Measured:
    if not text:
        raise BadInput(
            "copper in the flask shifts the end of an acid titration; say what the bath holds, "
            "such as --copper '52 ± 3 g/L'",
            where="titrate acid",
        )
    return measured_interval(
        concentration_range(text, where="--copper", molar_mass=molar_mass("Cu"))
    )


def _blank(text: str) -> Measured:
    if not text:
        return NOTHING
    return Measured(value=quantity(text, Kind.VOLUME, where="--blank"))


def _curve(texts: Sequence[str]) -> Curve:
    """Pairs of burette volume and electrode reading, "1.20 mL=231 mV" each."""
    volumes, potentials = [], []
    for number, text in enumerate(texts, start=1):
        volume, equals, reading = text.partition("=")
        where = f"pair {number}"
        if not equals:
            raise BadInput(f"{text!r} is no pair; write '1.20 mL=231 mV'", where=where)
        volumes.append(quantity(volume, Kind.VOLUME, where=where))
        potentials.append(quantity(reading, Kind.VOLTAGE, where=where))
    return Curve(volumes=volumes, potentials=potentials)  # type: ignore[arg-type]


def _by_cloud(request: TitrateRequest) -> Finding:
    if request.what != "chloride":
        raise BadInput("only chloride is found by its cloud", where="--cloud")
    comparisons = []
    for text in request.clouds:
        standard, equals, looks = text.partition("=")
        if not equals or looks.strip().lower() not in tuple(Looks):
            raise BadInput(
                f"{text!r} is no comparison; write '50 mg/L=clearer', =same or =cloudier: how the "
                "sample looks beside the standard",
                where="--cloud",
            )
        comparisons.append(
            Comparison(
                standard=concentration_range(standard, where="--cloud").best,
                sample_looks=Looks(looks.strip().lower()),
            )
        )
    return chloride_by_turbidity(comparisons, dilution=_thinned(request.thinned))


def _thinned(text: str) -> Measured | None:
    if not text:
        return None
    try:
        factor = float(text.replace(",", "."))
    except ValueError as error:
        raise BadInput(f"{text!r} is no number of times; write for example '10'",
                       where="--thinned") from error  # fmt: skip
    if not 1.0 <= factor <= 1e4:
        raise BadInput(f"a sample is thinned 1 to 10000 times, not {text}", where="--thinned")
    return Measured(value=factor, std=0.01 * factor)
