"""Runs: begin one from a plan, see where it stands, steer it."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Body, Request
from pydantic import BaseModel

from tankside.app.work.folder import RUN_ORDER
from tankside.app.work.kept_json import read_json
from tankside.app.work.live_runs import SIMULATED, LiveRuns, RunView
from tankside.app.work.queue import WorkQueue
from tankside.base.errors import BadInput

router = APIRouter(tags=["runs"])


class NewRun(BaseModel):
    """The supply by the name that `tankside run supplies` lists, or "simulated"; a simulated run
    may go 60 or 600 times faster than life, and be given a fault half an hour in."""

    supply: str = SIMULATED
    hurry: float = 1.0
    fault: str = ""


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


@router.post("/plans/{id}/runs", status_code=201)
def begin(request: Request, id: str, new: NewRun) -> RunReply:
    """Makes a run of a plan that is done; nothing is switched on yet."""
    queue: WorkQueue = request.app.state.queue
    path = queue.folder.made(queue.get(id).id).get(RUN_ORDER)
    if path is None:
        raise BadInput(f"{id} is no plan that is done; wait for it, or plan anew")
    runs = _runs(request)
    return run_reply(runs.view(runs.begin(read_json(path), new.supply, new.hurry, new.fault)))


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


@router.post("/runs/{id}/wishes")
def wish(
    request: Request,
    id: str,
    word: Annotated[Literal["begin", "immersed", "pause", "resume", "abort"], Body(embed=True)],
) -> RunReply:
    """Lets something be done: output on, the part is in the bath, pause, go on, give up."""
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
    )


def _runs(request: Request) -> LiveRuns:
    found: LiveRuns = request.app.state.runs
    return found
