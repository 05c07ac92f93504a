"""Runs: begin one from a plan, see where it stands, steer it."""

import time
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Body, Request, Response
from pydantic import BaseModel, Field

from tankside.app.work.begin_runs import begin_run
from tankside.app.work.live_runs import LiveRuns
from tankside.app.work.run_by_hand_kept import OLDEST_S, HandReading
from tankside.app.work.run_records import record_of
from tankside.app.work.run_view import RunView
from tankside.app.work.run_ways import SIMULATED
from tankside.app.work.workplace import Workplace
from tankside.base.units import Kind
from tankside.base.units.factors import from_everyday

router = APIRouter(tags=["runs"])
PDF: dict[int | str, dict[str, Any]] = {200: {"content": {"application/pdf": {}}}}


class NewRun(BaseModel):
    """The supply: "by hand", "a logger" for a run that is done already, "simulated", or an address
    that GET /supplies lists; a simulated run may go 60 or 600 times faster than life, and be given
    a fault half an hour in."""

    supply: str = SIMULATED
    hurry: float = 1.0
    fault: str = ""


class NewReading(BaseModel):
    """What the meters showed `ago_s` seconds before this is sent, and the bath where it was looked
    at."""

    voltage_V: float
    current_A: float
    bath_temperature_degC: float | None = Field(default=None, ge=-20.0, le=120.0)
    level_drop_mm: float | None = Field(default=None, ge=0.0, le=10_000.0)
    ago_s: float = Field(default=0.0, ge=0.0, le=OLDEST_S)


class RecipeRowReply(BaseModel):
    """One setting of the recipe, and whether it is done, holds now, or comes later."""

    number: int
    words: str
    current_A: float
    voltage_limit_V: float
    duration_s: float
    charge_Ah: float
    standing: Literal["done", "now", "later"]


class RunReply(BaseModel):
    """A run and where it stands; moments in seconds since 1970, UTC."""

    id: str
    title: str
    supply: str
    stage: str
    connected: bool
    powered: bool
    voltage_V: float | None
    expected_voltage_V: float | None
    current_A: float | None
    set_current_A: float
    charge_Ah: float
    planned_charge_Ah: float
    share: float
    to_go_s: float
    alarms: list[dict[str, Any]]
    warning: str
    told: str
    set_voltage_V: float
    by_hand: bool
    immersed: bool
    unpowered_s: float
    unseen_alarms: int
    reading_due_s: float | None
    readings: int
    recipe: list[RecipeRowReply]
    plan: str
    kept: str


@router.get("/supplies")
def supplies(request: Request) -> list[str]:
    """Addresses of the supplies that answer on this machine."""
    return list(_place(request).tools.runs().found())


@router.post("/plans/{id}/runs", status_code=201)
def begin(request: Request, id: str, new: NewRun) -> RunReply:
    """Makes a run of a plan that is done; nothing is switched on yet."""
    run = begin_run(_place(request), id, new.supply, new.hurry, new.fault)
    return run_reply(_runs(request).view(run))


@router.get("/runs")
def all_runs(request: Request) -> list[RunReply]:
    """All runs, newest first."""
    return [run_reply(view) for view in _runs(request).all()]


@router.get("/runs/{id}")
def one(request: Request, id: str) -> RunReply:
    """One run, as it stands now."""
    return run_reply(_runs(request).view(id))


@router.get("/runs/{id}/samples")
def samples(request: Request, id: str) -> dict[str, list[float]]:
    """Samples since the part went in, thinned so that no spike is lost; units in the keys."""
    return _runs(request).chart(id)


@router.get("/runs/{id}/expected")
def expected(request: Request, id: str) -> dict[str, list[float]]:
    """What the plan expects of the rest of the run; units in the keys, hours from now."""
    return _runs(request).to_come(id)


@router.get("/runs/{id}/record", response_class=Response, responses=PDF)
def record(request: Request, id: str) -> Response:
    """The run's record, to print."""
    content = record_of(_place(request), id, time.strftime("%Y-%m-%d"))
    return Response(content, media_type="application/pdf")


@router.post("/runs/{id}/readings")
def readings(
    request: Request,
    id: str,
    readings: Annotated[list[NewReading], Body(embed=True, min_length=1, max_length=200)],
) -> RunReply:
    """Takes in what a person read off the meters of a run by hand, oldest first; the same reading
    sent again is kept once."""
    runs = _runs(request)
    runs.read(id, [_reading(one) for one in readings])
    return run_reply(runs.view(id))


@router.post("/runs/{id}/wishes")
def wish(
    request: Request,
    id: str,
    word: Annotated[
        Literal["begin", "immersed", "pause", "resume", "lifted", "answered", "end", "abort"],
        Body(embed=True),
    ],
) -> RunReply:
    """Lets something be done: output on, the part is in the bath, pause, go on, the part is out,
    the alarms are seen, end (by hand), give up."""
    runs = _runs(request)
    runs.wish(id, word)
    return run_reply(runs.view(id))


def run_reply(view: RunView) -> RunReply:
    """A view with the API's units."""
    return RunReply(
        id=view.id,
        title=view.title,
        supply=view.supply,
        stage=view.stage,
        connected=view.connected,
        powered=view.powered,
        voltage_V=view.voltage,
        expected_voltage_V=view.expected_voltage,
        current_A=view.current,
        set_current_A=view.set_current,
        charge_Ah=view.charge / 3600,
        planned_charge_Ah=view.planned_charge / 3600,
        share=view.share,
        to_go_s=view.to_go,
        alarms=[{"at_s": at, "seen": seen, "do": act} for at, seen, act in view.alarms],
        warning=view.warning,
        told=view.told,
        set_voltage_V=view.set_voltage,
        by_hand=view.by_hand,
        immersed=view.immersed,
        unpowered_s=view.unpowered,
        unseen_alarms=view.unseen,
        reading_due_s=view.reading_due,
        readings=view.readings,
        recipe=[
            RecipeRowReply(
                number=one.number,
                words=one.words,
                current_A=one.current,
                voltage_limit_V=one.voltage_limit,
                duration_s=one.duration,
                charge_Ah=one.charge / 3600,
                standing=one.standing,
            )
            for one in view.rows
        ],
        plan=view.plan,
        kept=view.kept,
    )


def _reading(sent: NewReading) -> HandReading:
    warm, drop = sent.bath_temperature_degC, sent.level_drop_mm
    return HandReading(
        voltage=sent.voltage_V,
        current=sent.current_A,
        temperature=None if warm is None else from_everyday(warm, "degC", Kind.TEMPERATURE),
        level_drop=None if drop is None else from_everyday(drop, "mm", Kind.LENGTH),
        ago=sent.ago_s,
    )


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.place
    return found


def _runs(request: Request) -> LiveRuns:
    return _place(request).runs
