"""Use cases of a titration: what the readings found, and how to take the sample before.

Copper by EDTA (two ways) or thiosulfate, free acid by sodium hydroxide, chloride by silver nitrate
along a curve of millivolts or by its cloud against standards.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.entries import concentration_range
from tankside.app.bath.forms import finding_row
from tankside.app.bath.titration_ways import burette_of, expected_of, method_of
from tankside.app.bath.typed_analysis import (
    TypedSample,
    TypedTitrant,
    measured_interval,
    runs_of,
    sample_of,
    titrant_of,
)
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.bath.analysis.acid_end_point import free_acid, indicator
from tankside.bath.analysis.chloride import (
    Comparison,
    Looks,
    chloride_by_silver,
    chloride_by_turbidity,
)
from tankside.bath.analysis.finding import Finding
from tankside.bath.analysis.potentiometry import Curve
from tankside.bath.analysis.propagation import Measured
from tankside.bath.analysis.titration import NOTHING, titrated
from tankside.substances import molar_mass


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


@within_laws
def titrate(request: TitrateRequest) -> FoundReply:
    """What the readings found; BadInput where they cannot be right."""
    if request.clouds:
        return FoundReply(finding=_by_cloud(request))
    method = method_of(request.what, request.method)
    if not request.readings:
        raise BadInput("there are no readings; type each run, such as '17.35 mL'", where="titrate")
    burette = burette_of(request.burette)
    titrant = titrant_of(request.titrant, method.titrant, burette, sure=request.sure)
    sample = sample_of(request.sample)
    expected = expected_of(request.expected, request.what)
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
            raise BadInput("{text!r} is no pair; write '1.20 mL=231 mV'", text=text, where=where)
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
                "{text!r} is no comparison; write '50 mg/L=clearer', =same or =cloudier: how the "
                "sample looks beside the standard",
                text=text,
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
        raise BadInput(
            "{text!r} is no number of times; write for example '10'", text=text, where="--thinned"
        ) from error
    if not 1.0 <= factor <= 1e4:
        raise BadInput(
            "a sample is thinned 1 to 10000 times, not {text}", text=text, where="--thinned"
        )
    return Measured(value=factor, std=0.01 * factor)
