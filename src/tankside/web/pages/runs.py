"""Runs: begin one from a plan, watch it beside the tank, steer it, and type what the meters show
where it is done by hand."""

import time
from typing import Annotated, Any

from fastapi import APIRouter, Body, Form, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from tankside.app.work.begin_runs import begin_run
from tankside.app.work.live_runs import LiveRuns
from tankside.app.work.run_by_hand_kept import TypedReading, sent_readings, understood
from tankside.app.work.run_chart import table_of
from tankside.app.work.run_records import record_of
from tankside.app.work.run_view import RunView
from tankside.app.work.run_ways import BY_HAND, FAULTS, HURRIES, LOGGED, SIMULATED
from tankside.app.work.workplace import Workplace
from tankside.base.errors import BadInput
from tankside.web.frame import page
from tankside.web.pages.run_words import alarms_key, stage_words, step_key, step_of, supply_words
from tankside.web.words import spoken

router = APIRouter()


@router.get("/runs")
def runs(request: Request) -> HTMLResponse:
    """All runs."""
    found = [(run, stage_words(run.stage), supply_words(run)) for run in _runs(request).all()]
    return page(request, "runs.html", runs=found)


@router.get("/plans/{id}/run")
def form(request: Request, id: str) -> HTMLResponse:
    """How a plan is to be carried out."""
    work = request.app.state.desk.queue.get(id)
    ways = {"by_hand": BY_HAND, "simulated": SIMULATED, "logged": LOGGED}
    return page(request, "run_form.html", work=work, hurries=HURRIES, faults=FAULTS, ways=ways)


@router.get("/supplies")
def supplies(request: Request) -> HTMLResponse:
    """The supplies that answer on this machine, as a piece of the form."""
    return page(request, "run_supplies.html", supplies=_place(request).tools.runs().found())


@router.post("/plans/{id}/run")
def begin(
    request: Request,
    id: str,
    supply: Annotated[str, Form()],
    other: Annotated[str, Form()] = "",
    hurry: Annotated[float, Form()] = 1.0,
    fault: Annotated[str, Form()] = "",
) -> Response:
    """Makes the run; nothing is switched on yet. `other` names a supply that is not offered."""
    run = begin_run(_place(request), id, other.strip() or supply, hurry, fault)
    logged = _runs(request).how(run)["supply"] == LOGGED
    return RedirectResponse(f"/runs/{run}/log" if logged else f"/runs/{run}", status_code=303)


@router.get("/runs/{id}")
def run(request: Request, id: str) -> HTMLResponse:
    """The run beside the tank."""
    view = _runs(request).view(id)
    rows = table_of(_runs(request).chart(id))
    return page(request, "run.html", rows=rows, **_shown(view))


@router.get("/runs/{id}/now")
def now(request: Request, id: str, step: str = "", alarms: str = "") -> HTMLResponse:
    """The piece that asks for itself anew each second; with it, what has changed since the page
    had the step and the alarms of these keys."""
    shown = _shown(_runs(request).view(id))
    shown["changed"] = {
        "step": step != shown["step_key"],
        "alarms": alarms != shown["alarms_key"],
    }
    answer = page(request, "run_now.html", **shown)
    if shown["over"]:  # the page has other things to offer then
        answer.headers["hx-refresh"] = "true"
    return answer


@router.get("/runs/{id}/chart")
def chart(request: Request, id: str) -> dict[str, Any]:
    """Samples for the chart, and what the plan expects of the rest."""
    runs = _runs(request)
    return {**runs.chart(id), "to_come": runs.to_come(id)}


@router.get("/runs/{id}/table")
def table(request: Request, id: str) -> HTMLResponse:
    """Predicted against measured, as a table."""
    runs = _runs(request)
    return page(request, "run_table.html", run=runs.view(id), rows=table_of(runs.chart(id)))


@router.post("/runs/{id}/wish")
def wish(request: Request, id: str, word: Annotated[str, Form()]) -> Response:
    """Lets something be done."""
    _runs(request).wish(id, word)
    return RedirectResponse(f"/runs/{id}", status_code=303)


@router.post("/runs/{id}/read")
def read(
    request: Request,
    id: str,
    volts: Annotated[str, Form()],
    amps: Annotated[str, Form()],
    bath: Annotated[str, Form()] = "",
    level: Annotated[str, Form()] = "",
) -> Response:
    """One reading, from a page without scripts."""
    typed = TypedReading(volts=volts, amps=amps, bath=bath, level=level)
    units = _place(request).preferences.read().units
    _runs(request).read(id, [understood(typed, units)])
    return RedirectResponse(f"/runs/{id}", status_code=303)


@router.post("/runs/{id}/readings")
def readings(
    request: Request, id: str, readings: Annotated[list[dict[str, Any]], Body(embed=True)]
) -> Response:
    """Readings that a page kept while the server did not answer, and the one just typed: all are
    taken in, or none, with the place of the first that cannot be."""
    units = _place(request).preferences.read().units
    found, place = [], {}
    try:
        for number, typed in enumerate(sent_readings(readings)):
            place = {"place": number}
            found.append(understood(typed, units))
        place = {}
        _runs(request).read(id, found)
    except BadInput as error:
        return JSONResponse({"error": spoken(str(error)), **place}, status_code=400)
    return JSONResponse({"kept": len(found)})


@router.get("/runs/{id}/record.pdf")
def record(request: Request, id: str) -> Response:
    """The run's record, to print."""
    content = record_of(_place(request), id, time.strftime("%Y-%m-%d"))
    return Response(content, media_type="application/pdf")


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.desk.place
    return found


def _runs(request: Request) -> LiveRuns:
    return _place(request).runs


def _shown(view: RunView) -> dict[str, Any]:
    return {
        "run": view,
        "step": step_of(view),
        "stage": stage_words(view.stage),
        "supply": supply_words(view),
        "over": view.over,
        "step_key": step_key(view),
        "alarms_key": alarms_key(view),
        "due_in": None if view.reading_due is None else view.reading_due - time.time(),
        "changed": {"step": False, "alarms": False},
    }
