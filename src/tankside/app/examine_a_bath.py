"""Use case: the bath of a job file laid beside its family's windows, with what follows from it.

Reads the [bath] table of a job (the other tables may be there or not), or what the [target] of a
bath's file aims at; refuses what the planner would refuse, and answers with the window report:
sides, properties, and how near the coldest night brings it to crystals.
"""

import tomllib
from dataclasses import dataclass
from typing import Any

from pydantic import TypeAdapter, ValidationError

from tankside.app.bath.entries import Entries
from tankside.app.bath.target_file import aim_of, composition_of_aim
from tankside.app.forms import ends
from tankside.app.job import schema
from tankside.app.job.baths import electrolyte_of
from tankside.app.job.reading import sentence_of
from tankside.base.errors import BadInput, OutsideValidity
from tankside.base.units import Kind, quantity
from tankside.bath.boundary_layer import DEFAULT_HEIGHT
from tankside.bath.composition import Composition
from tankside.bath.makeup.request import Target
from tankside.bath.speciation.recipe import INGREDIENTS, WeakAcidRecipe
from tankside.bath.windows import (
    WAGNER_CURRENT_DENSITY,
    WindowReport,
    acid_sulfate_report,
    family_of_kind,
    weak_acid_report,
)

COLDEST = "10 degC"
"""The coldest night where none is given: an unheated room in winter, our guess."""


@dataclass(frozen=True, kw_only=True)
class BathRequest:
    """A job file's text and its name for sentences; the coldest night, as text with its unit; the
    mean cathode current density [A m⁻²] that the evenness is told for."""

    job_text: str
    job_name: str
    coldest: str = COLDEST
    current_density: float = WAGNER_CURRENT_DENSITY


@dataclass(frozen=True, kw_only=True)
class BathReply:
    """The report, as a value and as JSON."""

    report: WindowReport

    def as_json(self) -> dict[str, Any]:
        """The report with SI numbers, the unit beside each."""
        report = self.report
        return {
            "family": report.family.name,
            "family_words": report.family.words,
            "good_at": list(report.family.good_at),
            "bad_at": list(report.family.bad_at),
            "hazard": report.family.hazard,
            "additives": report.family.additives,
            "temperature_K": report.temperature,
            "current_density_A_m2": report.current_density,
            "windows": [
                {
                    "quantity": one.quantity,
                    "value": ends(one.value),
                    "window": {"low": one.window.low, "high": one.window.high},
                    "side": one.side,
                    "certain": one.certain,
                    "sentence": one.sentence,
                }
                for one in report.standings
            ],
            "properties": {
                one.name: {"unit": one.unit, **ends(one.value)} for one in report.properties
            },
            "assumptions": list(report.assumptions),
            "sources": list(report.sources),
        }


def examine_a_bath(request: BathRequest) -> BathReply:
    """Lays the bath beside its windows; BadInput, placed in the file, where it cannot be read."""
    bath = _bath(request)
    coldest = quantity(request.coldest, Kind.TEMPERATURE, where="the coldest night")
    electrolyte_of(bath, height=DEFAULT_HEIGHT)  # refuses as the planner would
    try:
        return BathReply(report=_report(bath, coldest, request.current_density))
    except OutsideValidity as error:
        raise BadInput(error.message, where=f"{request.job_name}: [bath]") from error


def _report(
    bath: schema.AcidSulfateBath | schema.WeakAcidBath, coldest: float, current_density: float
) -> WindowReport:
    agitation = bath.agitation if bath.boundary_layer is None else bath.boundary_layer
    if agitation is None:
        raise BadInput("give either agitation or boundary_layer", where="[bath]")
    if isinstance(bath, schema.WeakAcidBath):
        return weak_acid_report(
            family_of_kind(bath.family),
            WeakAcidRecipe(**{name: float(getattr(bath, name)) for name in INGREDIENTS}),
            bath.temperature,
            agitation,
            current_density=current_density,
            measured_conductivity=bath.conductivity,
        )
    return acid_sulfate_report(
        Composition(
            copper_sulfate_pentahydrate=bath.copper_sulfate_pentahydrate,
            sulfuric_acid=bath.sulfuric_acid,
            chloride=bath.chloride,
        ),
        bath.temperature,
        agitation,
        coldest=coldest,
        current_density=current_density,
        measured_conductivity=bath.conductivity,
    )


def _bath(request: BathRequest) -> schema.AcidSulfateBath | schema.WeakAcidBath:
    try:
        tables = tomllib.loads(request.job_text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput("not a TOML file: {error}", error=error, where=request.job_name) from error
    if "bath" not in tables and isinstance(tables.get("target"), dict):
        tables = {"bath": _aimed_at(tables["target"], request.job_name)}
    if "bath" not in tables:
        raise BadInput("the table [bath] is missing, or a [target]", where=request.job_name)
    try:
        return _READER.validate_python(tables["bath"])
    except ValidationError as error:
        raise sentence_of(error, tables, request.job_name, under=("bath",)) from error


def _aimed_at(table: dict[str, Any], name: str) -> dict[str, Any]:
    """What a [target] aims at, as a [bath] table; at 25 °C and under gentle air where not typed."""
    target = Entries(table=table, where=f"{name}: [target]")
    aim = aim_of(target)
    kind = "acid sulfate" if aim.family is None else aim.family.kind
    try:
        held = _held(aim.target, kind)
    except OutsideValidity as error:
        raise BadInput(
            "{reason}; name its family, or write a [bath] table as in a job",
            reason=error.message,
            where=target.where,
        ) from error
    return {
        "family": kind,
        **{key: f"{value!r} g/L" for key, value in held.items()},
        "temperature": target.text("temperature", "25 degC"),
        "agitation": target.text("agitation", "gentle air"),
    }


def _held(target: Target, kind: str) -> dict[str, float]:
    """The aims by the keys of a [bath] table [g/L]."""
    if kind == "acid sulfate":
        aims = composition_of_aim(target)
        return {
            "copper_sulfate_pentahydrate": aims.copper_sulfate_pentahydrate,
            "sulfuric_acid": aims.sulfuric_acid,
            "chloride": aims.chloride,
        }
    found = {}
    for one in target.wanted:
        if one.quantity not in _WEAK_ACID_KEYS:
            raise OutsideValidity(
                "{quantity} alone does not say how a {kind} bath is made",
                quantity=one.quantity,
                kind=kind,
            )
        found[_WEAK_ACID_KEYS[one.quantity]] = one.value.best
    return found


_WEAK_ACID_KEYS = {
    "copper sulfate pentahydrate": "copper_sulfate_pentahydrate",
    "copper": "dissolved_copper",
    "citric acid": "citric_acid",
    "acetic acid": "acetic_acid",
    "chloride": "chloride",
}


_READER: TypeAdapter[schema.AcidSulfateBath | schema.WeakAcidBath] = TypeAdapter(schema.Bath)
