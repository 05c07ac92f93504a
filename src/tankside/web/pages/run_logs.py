"""A logger's file of a run: handed in, looked at, its columns named, taken in."""

from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.take_a_log import LogReply
from tankside.app.work.run_logs import LARGEST, hand_in_log, heads_of_log, look_at_log, take_log
from tankside.base.errors import BadInput
from tankside.web.frame import page

router = APIRouter()
SHOWN = 5


@router.get("/runs/{id}/log")
def log(
    request: Request,
    id: str,
    time: str = "",
    voltage: str = "",
    current: str = "",
    start: str = "",
) -> HTMLResponse:
    """The form, and how the file that was handed in is understood."""
    place = request.app.state.desk.place
    heads = heads_of_log(place, id)
    columns = {"time": time, "voltage": voltage, "current": current}
    said, seen = "", None
    if heads:
        try:
            seen = look_at_log(place, id, time, voltage, current, start)
            columns = {key: getattr(seen.columns, key) for key in columns}
        except BadInput as error:
            said = str(error)
    return page(
        request,
        "run_log.html",
        run=place.runs.view(id),
        heads=heads,
        columns=columns,
        start=start,
        said=said,
        log=None if seen is None else _shown(seen),
    )


@router.post("/runs/{id}/log/file")
def hand_in(request: Request, id: str, file: UploadFile) -> Response:
    """Keeps the file beside the run."""
    hand_in_log(request.app.state.desk.place, id, file.file.read(LARGEST + 1))
    return RedirectResponse(f"/runs/{id}/log", status_code=303)


@router.post("/runs/{id}/log")
def take(
    request: Request,
    id: str,
    time: Annotated[str, Form()] = "",
    voltage: Annotated[str, Form()] = "",
    current: Annotated[str, Form()] = "",
    start: Annotated[str, Form()] = "",
) -> Response:
    """Takes it in."""
    take_log(request.app.state.desk.place, id, time, voltage, current, start)
    return RedirectResponse(f"/runs/{id}", status_code=303)


def _shown(log: LogReply) -> dict[str, Any]:
    series = log.series
    return {
        "series": series,
        "totals": log.totals,
        "first": float(series.time[0]),
        "last": float(series.time[-1]),
        "volts": float(series.voltage.mean()),
        "amps": float(series.current.mean()),
        "rows": [
            (float(series.time[k]), float(series.voltage[k]), float(series.current[k]))
            for k in range(min(SHOWN, len(series)))
        ],
    }
