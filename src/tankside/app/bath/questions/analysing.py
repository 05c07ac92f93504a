"""Answers of an analysis's form as requests: how a titration is done, and what readings found; and
what a finding would do to the estimate before it is kept.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.keep_a_ledger import History, NoteReply, note_findings
from tankside.app.bath.plan_a_titration import PlanReply, PlanRequest, plan_a_titration
from tankside.app.bath.questions.field import Question
from tankside.app.bath.questions.metering import BUFFERS
from tankside.app.bath.questions.reading import answers_of, question_of, told_at_fields
from tankside.app.bath.questions.titrating import CLOUDS, RUNS
from tankside.app.bath.read_a_meter import (
    ConductivityRequest,
    DensityReply,
    DensityRequest,
    MeterReply,
    PHRequest,
    read_conductivity,
    read_density,
    read_ph,
)
from tankside.app.bath.tell_the_state import StateReply, StateRequest, tell_the_state
from tankside.app.bath.titrate import FoundReply, TitrateRequest, titrate
from tankside.app.bath.titration_ways import METHODS
from tankside.app.bath.typed_analysis import TypedSample, TypedTitrant
from tankside.app.ledger_port import BathLedger
from tankside.app.work.plan_form import FormFault
from tankside.base.errors import UnknownName
from tankside.base.wording import term
from tankside.bath.analysis.finding import Finding
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.text import Decoded

Typed = Mapping[str, str]
Given = Mapping[str, str]
MeasuredReply = FoundReply | DensityReply | MeterReply


def titration_plan(what: str, typed: Typed) -> tuple[PlanRequest, PlanReply]:
    """How the sample is taken and what is done, for copper, acid or chloride."""
    if what not in METHODS:
        raise UnknownName("titration", what[:40], METHODS)
    question = question_of(f"plan-{what}")
    given = answers_of(question, typed)
    request = PlanRequest(
        what=what,
        expected=given["expected"],
        method=given.get("method", ""),
        titrant=_titrant(given),
        burette=given["burette"],
        pipettes=[given["pipette"]] if given["pipette"] else [],
        flasks=[given["flask"]] if given["flask"] else [],
        runs=int(given["runs"]),
    )
    with told_at_fields(question):
        return request, plan_a_titration(request)


def measured(way: str, typed: Typed) -> MeasuredReply:
    """What readings found; `way` is a key of MEASURED."""
    if way not in MEASURED:
        raise UnknownName("the way to measure", way[:40], MEASURED)
    question = question_of(way)
    given = answers_of(question, typed)
    with told_at_fields(question):
        return MEASURED[way](question, given)


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """The bath by its ledger before a finding and with it; `set_aside` where it would not fit."""

    before: StateReply
    after: StateReply
    set_aside: bool

    def as_json(self) -> dict[str, Any]:
        """Both states."""
        return {
            "before": self.before.as_json()["bath"],
            "after": self.after.as_json()["bath"],
            "set_aside": self.set_aside,
        }


def effect_of(asked: LedgerAsked, finding: Finding, *, at: float) -> Effect:
    """What a finding would do to the estimate, if it were noted; nothing is."""
    held = asked.ledger.read().ledger
    event = ev.Analysis(at=at, id=History(held).free_id("analysis", at), findings=(finding,))
    tried = LedgerAsked(
        ledger=_Tried(asked.ledger, (event,)),
        family=asked.family,
        bath_text=asked.bath_text,
        bath_name=asked.bath_name,
        temperature=asked.temperature,
    )
    after = tell_the_state(StateRequest(asked=tried, now=at))
    return Effect(
        before=tell_the_state(StateRequest(asked=asked, now=at)),
        after=after,
        set_aside=any(one.event == event.id for one in after.surprises),
    )


def keep_a_finding(ledger: BathLedger, reply: MeasuredReply, *, at: float) -> NoteReply:
    """Notes what was found in the bath's ledger."""
    return note_findings(ledger, (reply.finding,), at=at)


class _Tried:
    """A ledger with events that are only tried."""

    def __init__(self, ledger: BathLedger, events: Sequence[ev.Event]) -> None:
        self._ledger, self._events = ledger, tuple(events)

    def read(self) -> Decoded:
        held = self._ledger.read()
        return Decoded(ledger=(*held.ledger, *self._events), torn=held.torn)

    def append(self, events: Sequence[ev.Event]) -> None:
        raise AssertionError("what is only tried is not written")

    def set_aside(self) -> Path | None:
        return None


def _titrant(given: Given) -> TypedTitrant:
    return TypedTitrant(
        strength=given["titrant"],
        tolerance=given["tolerance"],
        age=given["age"],
        standard=given.get("standard", ""),
        masses=[given["standard_mass"]] if given.get("standard_mass") else [],
        runs=[given["standard_run"]] if given.get("standard_run") else [],
    )


def _sample(given: Given) -> TypedSample:
    thinned = [given[key] for key in ("first", "flask", "second")]
    if any(thinned) and not all(thinned):
        lacks = ("first", "flask", "second")[[bool(one) for one in thinned].index(False)]
        raise FormFault({lacks: term("say both pipettes and the flask, or none of the three")})
    if given["weighed"] and not given["bath_density"]:
        raise FormFault({"bath_density": term("a weighed sample needs the bath's density")})
    if not (any(thinned) or given["weighed"] or given["sample"] or given["pipette"]):
        raise FormFault({"sample": term("say how much bath was in the flask, such as '2 mL'")})
    return TypedSample(
        volume=given["sample"],
        pipette=given["pipette"],
        diluted=thinned if all(thinned) else (),
        mass=given["weighed"],
        scale=given["balance"],
        density=given["bath_density"],
    )


def _titrated(question: Question, given: Given) -> FoundReply:
    standard = [given[key] for key in ("standard", "standard_mass", "standard_run")]
    if any(standard) and not all(standard):
        lacks = ("standard", "standard_mass", "standard_run")[
            [bool(one) for one in standard].index(False)
        ]
        raise FormFault(
            {lacks: term("say the standard, its mass and what it took, or none of them")}
        )
    readings = [given[f"run{number}"] for number in range(1, RUNS + 1) if f"run{number}" in given]
    pairs = [line.strip() for line in given.get("pairs", "").splitlines()]
    return titrate(
        TitrateRequest(
            what=question.name,
            method=given.get("method", ""),
            readings=[one for one in (*readings, *pairs) if one],
            titrant=_titrant(given),
            sample=_sample(given),
            burette=given["burette"],
            blank=given.get("blank", ""),
            expected=given["expected"],
            copper=given.get("copper", ""),
            water=given.get("water", "100 mL"),
            indicator=given.get("indicator", "methyl orange"),
            sure=bool(given["sure"]),
        )
    )


def _by_cloud(question: Question, given: Given) -> FoundReply:
    clouds = [
        f"{given[f'standard{number}']}={given[f'looks{number}']}"
        for number in range(1, CLOUDS + 1)
        if given[f"standard{number}"]
    ]
    return titrate(TitrateRequest(what="chloride", clouds=clouds, thinned=given["thinned"]))


def _by_hydrometer(question: Question, given: Given) -> DensityReply:
    if given["copper"] and given["acid"]:
        raise FormFault({"acid": term("give copper or acid, to find the other from the density")})
    return read_density(
        DensityRequest(
            shown=given["shown"],
            temperature=given["temperature"],
            scale=given["scale"],
            division=given["division"],
            calibrated=given["calibrated"],
            plastic=bool(given["plastic"]),
            copper=given["copper"],
            acid=given["acid"],
        )
    )


def _by_ph_meter(question: Question, given: Given) -> MeterReply:
    buffers = []
    for number in range(1, BUFFERS + 1):
        value, shown = given[f"buffer{number}"], given[f"buffer_shown{number}"]
        if bool(value) != bool(shown):
            lacks = f"buffer_shown{number}" if value else f"buffer{number}"
            raise FormFault({lacks: term("say the buffer's pH and what the meter showed in it")})
        if value:
            buffers.append(f"{value}={shown}")
    return read_ph(
        PHRequest(shown=given["shown"], buffers=buffers, temperature=given["temperature"])
    )


def _by_conductivity(question: Question, given: Given) -> MeterReply:
    return read_conductivity(
        ConductivityRequest(
            shown=given["shown"],
            temperature=given["temperature"],
            full_scale=given["full_scale"],
            standard=given["standard"],
            standard_shown=given["standard_shown"],
            standard_temperature=given["standard_temperature"],
            compensates=not given["raw"],
        )
    )


MEASURED: dict[str, Callable[[Question, Given], MeasuredReply]] = {
    "copper": _titrated,
    "acid": _titrated,
    "chloride": _titrated,
    "cloud": _by_cloud,
    "density": _by_hydrometer,
    "conductivity": _by_conductivity,
    "pH": _by_ph_meter,
}
"""The ways to measure, in the order in which a bench has them."""
