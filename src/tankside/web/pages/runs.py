"""Runs: begin one from a plan, watch it beside the tank, steer it."""

from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.work.folder import RUN_ORDER
from tankside.app.work.kept_json import read_json
from tankside.app.work.live_runs import FAULTS, HURRIES, SIMULATED, LiveRuns, RunView
from tankside.base.errors import BadInput
from tankside.web.frame import page

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Step:
    """What is to be done now, and the buttons for it: the wish's word and what it says."""

    words: str
    buttons: tuple[tuple[str, str], ...] = ()


@router.get("/runs")
def runs(request: Request) -> HTMLResponse:
    """All runs."""
    return page(request, "runs.html", runs=_runs(request).all())


@router.get("/plans/{id}/run")
def form(request: Request, id: str) -> HTMLResponse:
    """How a plan is to be carried out."""
    work = request.app.state.desk.queue.get(id)
    return page(request, "run_form.html", work=work, hurries=HURRIES, faults=FAULTS)


@router.post("/plans/{id}/run")
def begin(
    request: Request,
    id: str,
    supply: Annotated[str, Form()],
    hurry: Annotated[float, Form()] = 1.0,
    fault: Annotated[str, Form()] = "",
) -> Response:
    """Makes the run; nothing is switched on yet."""
    queue = request.app.state.desk.queue
    path = queue.folder.made(queue.get(id).id).get(RUN_ORDER)
    if path is None:
        raise BadInput("this plan is not done, or was made before runs were kept; plan anew")
    name = supply.strip() or SIMULATED
    trial = (hurry, fault) if name == SIMULATED else (1.0, "")
    run = _runs(request).begin(read_json(path), name, *trial)
    return RedirectResponse(f"/runs/{run}", status_code=303)


@router.get("/runs/{id}")
def run(request: Request, id: str) -> HTMLResponse:
    """The run beside the tank."""
    return page(request, "run.html", **_shown(_runs(request).view(id)))


@router.get("/runs/{id}/now")
def now(request: Request, id: str) -> HTMLResponse:
    """The piece that asks for itself anew each second."""
    return page(request, "run_now.html", **_shown(_runs(request).view(id)))


@router.get("/runs/{id}/chart")
def chart(request: Request, id: str) -> dict[str, Any]:
    """Samples for the chart."""
    return _runs(request).chart(id)


@router.post("/runs/{id}/wish")
def wish(request: Request, id: str, word: Annotated[str, Form()]) -> Response:
    """Lets something be done: begin, immersed, pause, resume, abort."""
    _runs(request).wish(id, word)
    return RedirectResponse(f"/runs/{id}", status_code=303)


def _runs(request: Request) -> LiveRuns:
    found: LiveRuns = request.app.state.desk.runs
    return found


def _shown(view: RunView) -> dict[str, Any]:
    return {"run": view, "step": step_of(view), "over": view.stage in ("ended", "aborted")}


def step_of(view: RunView) -> Step:
    """What is to be done now."""
    give_up = ("abort", "Give it up")
    if view.stage == "planned":
        words = "Hang the part over the tank with its wires on, not yet in the bath"
        return Step(words, (("begin", "Switch the output on"), give_up))
    if view.stage == "entry" and view.powered:
        words = "The output is on. Lower the part into the bath now"
        return Step(words, (("immersed", "It is in the bath"), give_up))
    if view.stage in ("entry", "paused"):
        words = "The output is off. Take the part out of the bath, or go on soon"
        return Step(words, (("resume", "Go on: output on"), give_up))
    if view.stage in ("ramp", "plating") and view.connected:
        words = "Nothing to do: the recipe is followed, and the output goes off by itself"
        return Step(words, (("pause", "Pause: output off"), give_up))
    if view.stage in ("ramp", "plating"):
        words = "The server was stopped while this ran. Look at the supply, then go on"
        return Step(words, (("resume", "Go on: output on"), give_up))
    if view.stage == "ended":
        return Step("Done, and the output is off. Lift the part, rinse it, dry it, and weigh it")
    return Step("Given up, and the output is off. Lift the part and rinse it")
