"""The test panel: zones marked on a ruler, or proposed from a photo; limits; earlier panels."""

import time
from typing import Annotated, Any

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.read_a_panel import PanelReply
from tankside.app.trouble.known import baths
from tankside.app.trouble.panels import (
    PanelTyped,
    cell_names,
    earlier_panels,
    keep_a_panel,
    looks,
    panel_length,
    panel_of,
    stretches_of_photo,
    zones_of_photo,
)
from tankside.app.work.workplace import Workplace
from tankside.base.errors import TanksideError
from tankside.web.frame import page, sentence_alone

router = APIRouter()

ROWS = 6
"""Zones that the form has room for; more than six looks are on no panel."""
CORNERS = ("high_top", "low_top", "low_bottom", "high_bottom")


@router.get("/trouble/panel")
def panel(request: Request) -> HTMLResponse:
    """The form; where zones are named, what they say."""
    form = dict(request.query_params)
    if not form.get("go"):
        return _shown(request, form)
    typed = _typed(form)
    try:
        reply = panel_of(_place(request), typed)
    except TanksideError as error:
        return _shown(request, form, fault=sentence_alone(error))
    return _shown(request, form, reply=reply, typed=typed)


@router.post("/trouble/panel/photo")
async def photo(
    request: Request,
    file: Annotated[UploadFile, File()],
    high_top: Annotated[str, Form()],
    low_top: Annotated[str, Form()],
    low_bottom: Annotated[str, Form()],
    high_bottom: Annotated[str, Form()],
    cell: Annotated[str, Form()] = "267 mL",
) -> HTMLResponse:
    """Zones proposed from a photo, put into the form to be named and moved."""
    corners = (high_top, low_top, low_bottom, high_bottom)
    content = await file.read()
    try:
        found = await run_in_threadpool(stretches_of_photo, _place(request), content, corners, cell)
    except TanksideError as error:
        return _shown(request, {"cell": cell}, fault=sentence_alone(error))
    form = {"cell": cell}
    for number, zone in enumerate(zones_of_photo(found)[:ROWS]):
        form |= {f"look{number}": zone.look, f"from{number}": zone.start, f"to{number}": zone.end}
    return _shown(request, form, proposed=len(found.stretches))


@router.post("/trouble/panel/keep")
async def keep(request: Request) -> Response:
    """Keeps the panel with its bath."""
    form = {key: str(value) for key, value in (await request.form()).items()}
    kept = keep_a_panel(_place(request), _typed(form), time.time())
    return RedirectResponse(f"/trouble/panel?kept={kept.id}", status_code=303)


def _typed(form: dict[str, str]) -> PanelTyped:
    """The form's rows as the words of a panel; rows without a look are left out."""
    rows = [
        f"{form[f'look{row}']} {_between(form.get(f'from{row}', ''), form.get(f'to{row}', ''))}"
        for row in range(ROWS)
        if form.get(f"look{row}")
    ]
    zones = form.get("panel", "") if form.get("panel") and not rows else ", ".join(rows)
    return PanelTyped(
        zones=zones,
        current=form.get("panel_current", ""),
        duration=form.get("panel_minutes", "") or "5 min",
        cell=form.get("cell", "") or "267 mL",
        bath=form.get("bath", ""),
    )


def _between(start: str, end: str) -> str:
    """Both ends with one unit; centimetres where none is typed. A comma counts as a point, since
    commas part the zones."""
    start, end = (text.strip().replace(",", ".") for text in (start, end))
    number = end.rstrip("abcdefghijklmnopqrstuvwxyzµ ")
    unit = end[len(number) :].strip() or "cm"
    return f"{start.removesuffix(unit).strip()}-{number.strip()} {unit}"


def _shown(
    request: Request,
    form: dict[str, str],
    *,
    fault: str = "",
    proposed: int = 0,
    reply: PanelReply | None = None,
    typed: PanelTyped | None = None,
) -> HTMLResponse:
    place = _place(request)
    shown: dict[str, Any] = {
        "form": form,
        "fault": fault,
        "proposed": proposed,
        "rows": range(ROWS),
        "corners": CORNERS,
        "looks": looks(),
        "cells": cell_names(),
        "baths": baths(place),
        "reply": reply,
        "typed": typed,
        "length": panel_length(form.get("cell", "") or "267 mL") if not fault else 0.1,
        "earlier": earlier_panels(place.store, typed) if typed else [],
    }
    return page(request, "panel.html", status=400 if fault else 200, **shown)


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.desk.place
    return found
