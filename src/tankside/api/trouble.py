"""Troubles: what is behind what is seen, its record, test panels, and what turned out to be."""

import time
from datetime import date
from typing import Annotated, Any, Literal

from fastapi import APIRouter, File, Form, Request, Response, UploadFile
from pydantic import BaseModel, Field

from tankside.app.diagnose import DiagnoseReply, likely_faults_of
from tankside.app.record_a_diagnosis import record_a_diagnosis
from tankside.app.trouble.ask import TroubleAsked, ask, place_names
from tankside.app.trouble.corrections import keep_a_correction, lessons
from tankside.app.trouble.known import baths, plans, runs
from tankside.app.trouble.panels import (
    PanelTyped,
    keep_a_panel,
    panel_of,
    stretches_of_photo,
    zones_of_photo,
)
from tankside.app.trouble.pictures import picture_of_fault
from tankside.app.trouble.words import numbers_asked
from tankside.app.work.readers import how_liked
from tankside.app.work.workplace import Workplace

router = APIRouter(tags=["trouble"])
Answer = Literal["yes", "slight", "no", "unsure"]
Words = Annotated[str, Field(max_length=2000)]


class Panel(BaseModel):
    """A slanted test panel: zones such as "burnt 0-1.2 cm, bright 1.2-7 cm" from the high-current
    edge, the cell's current, how long, the cell, and the stored bath that it was taken of."""

    zones: Words
    current: Words
    duration: Words = "5 min"
    cell: Words = "267 mL"
    bath: Words = ""


class Case(BaseModel):
    """What is seen (ids of faults), answers by id of a fault or check, numbers with units, and
    what is known: ids of a stored bath, a plan, a run; where on the part, by a name or as three
    lengths with semicolons between."""

    seen: list[Words] = Field(max_length=60)
    answers: dict[str, Answer] = Field(default_factory=dict)
    values: dict[str, Words] = Field(default_factory=dict)
    family: Words = ""
    bath: Words = ""
    plan: Words = ""
    run: Words = ""
    place: Words = ""
    panel: Panel | None = None


class Correction(BaseModel):
    """What turned out: causes found and ruled out, by id; and the case, as you like to keep it."""

    found: list[str] = Field(default_factory=list)
    ruled_out: list[str] = Field(default_factory=list)
    case: dict[str, Any] = Field(default_factory=dict)


@router.get("/trouble/faults")
def faults(words: str = "") -> list[dict[str, str]]:
    """All faults, or those that words may mean, the best first."""
    found = likely_faults_of(words)
    return [{"id": id, "name": name, "look": look} for id, name, look in found]


@router.get("/trouble/faults/{fault}/picture", response_class=Response)
def picture(request: Request, fault: str) -> Response:
    """The drawing of a fault, SVG."""
    content = picture_of_fault(_place(request).tools, fault)
    return Response(content, media_type="image/svg+xml")


@router.get("/trouble/known")
def known(request: Request) -> dict[str, Any]:
    """What a case can lean on: stored baths, plans and runs by id; places; numbers to give."""
    place = _place(request)
    return {
        "baths": dict(baths(place)),
        "plans": dict(plans(place)),
        "runs": dict(runs(place)),
        "places": list(place_names()),
        "numbers": {name: words for name, words, _ in numbers_asked()},
    }


@router.post("/trouble")
def diagnosed(request: Request, case: Case) -> dict[str, Any]:
    """Ranked causes with why, what is not explained, the next checks, and advice."""
    return _asked(request, case).as_json()


@router.post("/trouble/record", response_class=Response)
def record(request: Request, case: Case) -> Response:
    """The record of a case, PDF."""
    place = _place(request)
    how = how_liked(place.preferences.read(), date.today().isoformat())
    content = record_a_diagnosis(_asked(request, case), how, place.tools.diagnosis_sheets())
    return Response(content, media_type="application/pdf")


@router.post("/trouble/corrections", status_code=201)
def correct(request: Request, said: Correction) -> dict[str, str]:
    """Keeps what turned out; it counts in this shop's priors from then on."""
    kept = keep_a_correction(
        _place(request).store,
        case=said.case,
        found=said.found,
        ruled_out=said.ruled_out,
        at=time.time(),
    )
    return {"id": kept.id, "name": kept.name}


@router.get("/trouble/learned")
def learned(request: Request) -> list[dict[str, Any]]:
    """What corrections have taught: counts and priors by cause."""
    return [
        {
            "cause": one.cause,
            "found": one.found,
            "ruled_out": one.ruled_out,
            "prior": one.prior,
            "prior_before": one.prior_before,
        }
        for one in lessons(_place(request).store)
    ]


@router.post("/trouble/panels")
def panel(request: Request, panel: Panel) -> dict[str, Any]:
    """What a test panel says, beside the earlier ones of its bath; nothing is kept."""
    return panel_of(_place(request), _typed(panel)).as_json()


@router.post("/trouble/panels/kept", status_code=201)
def keep(request: Request, panel: Panel) -> dict[str, str]:
    """Keeps a panel with its bath."""
    kept = keep_a_panel(_place(request), _typed(panel), time.time())
    return {"id": kept.id, "name": kept.name}


@router.post("/trouble/panels/photo")
def photo(
    request: Request,
    file: Annotated[UploadFile, File()],
    corners: Annotated[str, Form(max_length=200)],
    cell: Annotated[str, Form(max_length=80)] = "267 mL",
) -> list[dict[str, str]]:
    """Zones proposed from a photo; `corners` are four "column,row" in pixels with spaces between:
    high-current top, low-current top, low-current bottom, high-current bottom."""
    content = file.file.read()
    found = stretches_of_photo(_place(request), content, tuple(corners.split()), cell)
    return [{"look": one.look, "start": one.start, "end": one.end} for one in zones_of_photo(found)]


def _asked(request: Request, case: Case) -> DiagnoseReply:
    return ask(
        _place(request),
        TroubleAsked(
            seen=tuple(case.seen),
            answers=dict(case.answers),
            values=case.values,
            family=case.family,
            bath=case.bath,
            plan=case.plan,
            run=case.run,
            place=case.place,
            panel=None if case.panel is None else _typed(case.panel),
        ),
    )


def _typed(panel: Panel) -> PanelTyped:
    return PanelTyped(**panel.model_dump())


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.place
    return found
