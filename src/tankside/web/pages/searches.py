"""Searches for better rigs: the form for one, and the rigs that came of it."""

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.rig.editing import tables_of
from tankside.app.rig.keeping import Rig, RigDesk
from tankside.app.work.plan_form import FormFault
from tankside.app.work.work import WorkState
from tankside.base.errors import BadInput, Impossible
from tankside.web.curve import Curve, curve_of
from tankside.web.frame import page
from tankside.web.pages.rigs import desk_of, spot_of, whole
from tankside.web.pages.work import unfinished
from tankside.web.words import N_

router = APIRouter()

GOAL_WORDS = {
    "thinnest": N_("most copper at the thinnest place"),
    "even": N_("least difference, thick to thin"),
    "time": N_("fewest hours to the job's thickness"),
    "copper": N_("least copper for the thickness"),
    "burning": N_("lowest peaks: nothing burns"),
    "start": N_("coat covered soonest"),
    "all": N_("thin places, evenness and copper"),
}
"""Short enough for a phone's list."""
FREEDOM_WORDS = {
    "pose": N_("how the part hangs"),
    "contacts": N_("where wires hold it"),
    "anodes": N_("anodes: places and sizes"),
    "auxiliary": N_("a small anode near a recess"),
    "shields": N_("shields"),
    "thieves": N_("thieves"),
    "turn": N_("turning it half way through"),
    "current": N_("less current than it bears"),
}
KINDS = {
    "allowed": N_("only here"),
    "forbidden": N_("not here"),
    "hidden": N_("rather here: nobody sees it"),
}
REASONS = {
    "copper does not cover the coat in time": N_("leave places of the coat bare for too long"),
    "a collar burns while it starts": N_("burn the copper round a wire while it starts"),
    "would float": N_("float"),
    "traps air": N_("trap air"),
    "two things in one place": N_("have two things in one place"),
    "two things touch": N_("have two things that touch"),
    "leaves the liquid": N_("leave the liquid"),
    "leaves the tank": N_("leave the tank"),
    "a wire finds no way": N_("have a wire that finds no way"),
    "beyond the supply": N_("ask more than the supply gives"),
    "another reason": N_("fail for another reason"),
}
"""Words of why rigs were not tried further, by the search's own."""


@router.get("/rigs/{id}/search")
def form(request: Request, id: str) -> HTMLResponse:
    """The form of a search, as the last one from this rig was asked for."""
    from tankside.app.rig_options import USUALLY  # this and all of a search wakes numba

    desk = desk_of(request)
    rig = desk.store.jobs.find(id)
    typed = {"minutes": "5", "rigs": "4", "goal": "thinnest", "within": "", "start_within": ""}
    return _form(request, desk, rig, {**typed, **dict.fromkeys(_boxes(USUALLY), "on")})


@router.post("/rigs/{id}/search")
async def begin(request: Request, id: str) -> Response:
    """Takes the form in: a region more or less, or the search itself."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    return await run_in_threadpool(_begun, request, id, typed)


@router.get("/searches/{id}")
def search(request: Request, id: str) -> HTMLResponse:
    """What a search found, against the person's own rig."""
    desk = desk_of(request)
    work = desk.queue.get(id)
    if work.state is not WorkState.DONE:
        return unfinished(request, work)
    found = desk.queue.folder.result(id)
    rig = desk.store.jobs.find(str(work.order.options["rig"]))
    return page(
        request,
        "search.html",
        work=work,
        rig=rig,
        found=found,
        drawings=[name for name in desk.queue.folder.made(id) if name.endswith(".svg")],
        goals=GOAL_WORDS,
        reasons=REASONS,
        curve=curve_of(found["pareto"], found["own"], found["proposals"]),
        start_curve=_start_curve(found),
    )


@router.post("/searches/{id}/take")
async def take(request: Request, id: str) -> Response:
    """Makes a found rig the rig's newest version."""
    from tankside.app.rig.searching import take_rig

    sent = await request.form()
    desk = desk_of(request)
    number = whole(str(sent.get("rig", "")))
    rig = await run_in_threadpool(take_rig, desk, desk.queue.get(id), number)
    return RedirectResponse(f"/rigs/{rig.id}", status_code=303)


def _start_curve(found: Mapping[str, Any]) -> Curve | None:
    """Of the minutes until copper covers the coat, where a part has one."""
    if not found.get("coated") or not found["pareto"]:
        return None
    return curve_of(found["pareto"], found["own"], found["proposals"], "cover_minutes")


def _begun(request: Request, id: str, typed: dict[str, str]) -> Response:
    from tankside.app.rig.search_form import typed_regions, wish_of
    from tankside.app.rig.searching import order_search

    desk = desk_of(request)
    rig = desk.store.jobs.find(id)
    act = typed.get("act", "")
    try:
        if act == "add:contact":
            part = whole(typed.get("spot_part") or "1")
            return _form(request, desk, rig, typed_regions(typed, add=(spot_of(typed), part)))
        if act.startswith("remove:"):
            return _form(request, desk, rig, typed_regions(typed, drop=whole(act[7:])))
        work = order_search(desk, rig, wish_of(typed))
    except FormFault as fault:
        return _form(request, desk, rig, typed, fault.faults)
    except (BadInput, Impossible) as error:
        return _form(request, desk, rig, typed, {"": str(error)})
    return RedirectResponse(f"/searches/{work.id}", status_code=303)


def _form(
    request: Request,
    desk: RigDesk,
    rig: Rig,
    typed: Mapping[str, str],
    faults: Mapping[str, str] | None = None,
) -> HTMLResponse:
    from tankside.app.rig.search_form import regions_in
    from tankside.app.rig_options import FREEDOMS, GOALS

    swapped = request.headers.get("hx-request") == "true"
    values: dict[str, Any] = dict(typed)
    coated = any("seed" in part for part in tables_of(rig.value.text)["part"])
    return page(
        request,
        "search_form.html",
        status=400 if faults and not swapped else 200,
        rig=rig,
        parts=len(desk.loaded(rig, rig.value.text)),
        typed=values,
        faults=faults or {},
        regions=regions_in(values),
        goals={goal: GOAL_WORDS[goal] for goal in GOALS if coated or goal != "start"},
        coated=coated,
        freedoms={f"allow_{one}": FREEDOM_WORDS[one] for one in FREEDOMS},
        kinds=KINDS,
    )


def _boxes(words: str) -> list[str]:
    return [f"allow_{word}" for word in words.split(",")]
