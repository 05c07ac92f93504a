"""A first plan in a few steps: a page each, with what is asked, why, and defaults to go on with."""

from pathlib import PurePath
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.work import first_plan
from tankside.app.work.first_defaults import middle_height, recipes
from tankside.app.work.first_plan import UNITS, Draft, Step
from tankside.app.work.plan_form import FormFault
from tankside.app.work.work import WorkState
from tankside.web.frame import page
from tankside.web.pages.work import unfinished
from tankside.web.reader import begun
from tankside.web.words import N_

router = APIRouter()
UNIT_WORDS = {
    "mm": N_("millimetres"),
    "cm": N_("centimetres"),
    "m": N_("metres"),
    "in": N_("inches"),
}


@router.get("/first")
def first(request: Request) -> HTMLResponse:
    """The file to begin with, and what was begun before."""
    drafts = first_plan.open_drafts(request.app.state.desk.queue)
    return page(request, "first.html", drafts=drafts, units=UNITS)


@router.post("/first")
def begin(
    request: Request, file: Annotated[UploadFile, File()], unit: Annotated[str, Form()] = ""
) -> Response:
    """Takes the file in."""
    name = PurePath(file.filename or "").name
    queue = request.app.state.desk.queue
    work = first_plan.begin(queue, name, file.file.read(), unit)
    return RedirectResponse(f"/first/{work.id}", status_code=303)


@router.get("/first/{id}")
def go_on(request: Request, id: str) -> Response:
    """Where the guide stands: the part's progress, the next step, or the plan."""
    queue = request.app.state.desk.queue
    draft = first_plan.draft_of(queue, id)
    if draft.part.state is not WorkState.DONE:
        return unfinished(request, draft.part)
    if draft.plan:
        return RedirectResponse(_onward(draft.plan), status_code=303)
    step = draft.next_step(queue.folder.result(id))
    return RedirectResponse(f"/first/{id}/{step}", status_code=303)


@router.get("/first/{id}/{name}")
def step(request: Request, id: str, name: str) -> Response:
    """One step."""
    draft = first_plan.draft_of(request.app.state.desk.queue, id)
    if draft.part.state is not WorkState.DONE:
        return RedirectResponse(f"/first/{id}", status_code=303)
    return _shown(request, draft, name, {})


@router.post("/first/{id}/{name}")
async def take(request: Request, id: str, name: str) -> Response:
    """Takes a step's answers in, and goes on; the last one orders the plan."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    return await run_in_threadpool(_taken, request, id, name, typed)


def _taken(request: Request, id: str, name: str, typed: dict[str, str]) -> Response:
    place = request.app.state.desk.place
    draft = first_plan.draft_of(place.queue, id)
    found = place.queue.folder.result(id)
    step = first_plan.step_named(name, found)
    if typed.get("act") == "fill":
        filled = next((one for one in recipes(place) if one.name == typed.get("recipe")), None)
        return _shown(request, draft, name, {**typed, **begun(filled.answers if filled else {})})
    try:
        made = first_plan.take(place, id, name, typed)
    except FormFault as fault:
        return _shown(request, draft, name, typed, fault.faults)
    if made:
        return RedirectResponse(_onward(made), status_code=303)
    onward = "check" if typed.get("act") == "check" else ""
    return RedirectResponse(f"/first/{id}/{onward or _after(step, found)}", status_code=303)


def _after(step: Step, found: dict[str, object]) -> str:
    names = [one.name for one in first_plan.steps_for(found)]
    return names[names.index(step.name) + 1]


def _shown(
    request: Request,
    draft: Draft,
    name: str,
    typed: dict[str, str],
    faults: dict[str, str] | None = None,
) -> HTMLResponse:
    place = request.app.state.desk.place
    found = place.queue.folder.result(draft.part.id)
    step = first_plan.step_named(name, found)
    known = first_plan.all_answers(place, draft)
    answers = {**begun(known), **draft.answers, **typed}
    return page(
        request,
        "first_step.html",
        status=400 if faults else 200,
        draft=draft,
        found=found,
        step=step,
        steps=first_plan.steps_for(found),
        answers=answers,
        faults=faults or {},
        faulty={key: first_plan.step_of(key) for key in faults or {}},
        unit_words=UNIT_WORDS,
        sizes=first_plan.sizes_by_unit(found) if step.name == "unit" else {},
        recipes=recipes(place) if step.name == "bath" else (),
        middle=middle_height(answers["liquid_depth"]),
        seen="view.bin" in place.queue.folder.made(draft.part.id),
    )


def _onward(id: str) -> str:
    """Where a draft leads that is over: its plan, or the same part with its unit told."""
    return f"/plans/{id}" if id.startswith("plan-") else f"/first/{id}"
