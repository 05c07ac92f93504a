"""Rigs: begun from a part or a job file, checked, revised, planned, and searched from."""

from typing import Any, Literal

from fastapi import APIRouter, Request
from pydantic import BaseModel, Field

from tankside.api.replies import WorkReply, work_reply
from tankside.app.rig.keeping import (
    Rig,
    RigDesk,
    plan_of_rig,
    revised,
    rig_of_file,
    rig_of_part,
    taken_again,
)
from tankside.app.work.workplace import Workplace

router = APIRouter(tags=["rigs"])

_Metres = tuple[float, float, float]


class NewRig(BaseModel):
    """From an examined part, with answers of the plan's form; those left out stand at their
    defaults."""

    name: str = Field(default="", max_length=200)
    answers: dict[str, str] = Field(default_factory=dict)


class JobFile(BaseModel):
    """A job file's text and name; the meshes that it names were handed in as parts."""

    job: str
    name: str = Field(default="rig.toml", max_length=200)


class Answers(BaseModel):
    """Answers of the rig's fields by key, as typed; those left out stay as they are."""

    answers: dict[str, str] = Field(default_factory=dict)


class Change(Answers):
    """`version` is that which was read. `act` adds, copies or removes a thing, or changes the
    tank's shape, as "add:contact", "remove:anode.1", "tank:cylinder"; a contact is placed at
    `spot_m` of the part."""

    version: int = Field(ge=1, le=10**9)
    act: str = ""
    spot_m: _Metres | None = None
    part: int = Field(default=1, ge=1, le=1000)


class NewName(BaseModel):
    """What it is to be called."""

    name: str = Field(max_length=200)


class RigReply(BaseModel):
    """A rig as it is kept; moments in seconds since 1970, UTC."""

    id: str
    name: str
    version: int
    changed_s: float
    archived: bool
    job: str


class RigField(BaseModel):
    """A field of a rig."""

    key: str
    words: str
    answer: str


class Region(BaseModel):
    """A ball of a part's surface, in the tank's coordinates, where wires may hold only, never, or
    rather than elsewhere."""

    kind: Literal["allowed", "forbidden", "hidden"]
    centre_m: _Metres
    radius_m: float = Field(gt=0, le=10)
    part: int = Field(default=1, ge=1, le=1000)


class NewSearch(BaseModel):
    """What a search is to do; `within` is a time as typed, such as "8 h"."""

    goal: str = "thinnest"
    allow: list[str] = ["pose", "contacts", "anodes", "auxiliary", "turn"]
    within: str = ""
    minutes: float = 5.0
    rigs: int = 4
    seed: int = Field(default=1, ge=0, le=2**31)
    regions: list[Region] = []


@router.get("/rigs")
def all_rigs(request: Request) -> list[RigReply]:
    """All rigs in use, oldest first."""
    return [_reply(rig) for rig in _desk(request).store.jobs.all()]


@router.post("/parts/{id}/rigs", status_code=201)
def begin(request: Request, id: str, new: NewRig) -> RigReply:
    """Begins a rig for an examined part."""
    desk = _desk(request)
    return _reply(rig_of_part(desk, desk.queue.get(id), new.answers, new.name))


@router.post("/rigs", status_code=201)
def from_job(request: Request, sent: JobFile) -> RigReply:
    """Begins a rig from a job file."""
    return _reply(rig_of_file(_desk(request), sent.job, sent.name))


@router.get("/rigs/{id}")
def one(request: Request, id: str, version: int | None = None) -> RigReply:
    """A rig as it is, or as it was at a version."""
    return _reply(_found(request, id, version))


@router.get("/rigs/{id}/versions")
def versions(request: Request, id: str) -> list[RigReply]:
    """Every version, oldest first."""
    desk = _desk(request)
    return [_reply(rig) for rig in desk.store.jobs.history(_found(request, id).id)]


@router.get("/rigs/{id}/fields")
def fields(request: Request, id: str) -> list[RigField]:
    """Every field of a rig with its answer."""
    rig = _found(request, id)
    return [
        RigField(key=one.key, words=one.spec.words, answer=one.value)
        for group in _desk(request).groups(rig, rig.value.text)
        for one in group.fields
    ]


@router.get("/rigs/{id}/drawing")
def drawing(request: Request, id: str, version: int | None = None) -> dict[str, Any]:
    """How a rig hangs: tank, bodies and contacts with their distances, and the drawing's sheets as
    SVG text; a conflict where it cannot be."""
    from tankside.app.rig.drawing import drawn_rig  # wakes numba

    place: Workplace = request.app.state.place
    rig = _found(request, id, version)
    drawn = drawn_rig(_desk(request), rig, place.tools.sheets(), place.preferences.read())
    return {**drawn.told, "sheets_svg": [text.decode() for text in drawn.files.values()]}


@router.post("/rigs/{id}/check")
def check(request: Request, id: str, sent: Answers) -> dict[str, Any]:
    """A rig with other answers, not kept: what is wrong by field; else its bodies, and in one
    sentence why it cannot be."""
    rig = _found(request, id)
    return _desk(request).checked(rig, rig.value.text, sent.answers)


@router.put("/rigs/{id}")
def change(request: Request, id: str, sent: Change) -> RigReply:
    """Keeps other answers as a new version; refused where the rig was changed meanwhile."""
    desk = _desk(request)
    rig = _found(request, id, sent.version)
    text = rig.value.text
    if sent.act:
        new = desk.acted(rig, text, sent.answers, sent.act, sent.spot_m, sent.part)
    else:
        new = desk.answered(rig, text, sent.answers)
    return _reply(revised(desk, rig, new))


@router.put("/rigs/{id}/name")
def name(request: Request, id: str, sent: NewName) -> RigReply:
    """Another name; refused where a rig has it already."""
    jobs = _desk(request).store.jobs
    return _reply(jobs.rename(jobs.find(id), sent.name))


@router.delete("/rigs/{id}")
def away(request: Request, id: str) -> RigReply:
    """Puts it away: it is left out of the list, and what refers to it still reads it."""
    jobs = _desk(request).store.jobs
    return _reply(jobs.archive(jobs.find(id)))


@router.post("/rigs/{id}/back")
def back(request: Request, id: str) -> RigReply:
    """Takes a rig that was put away into use again."""
    jobs = _desk(request).store.jobs
    return _reply(jobs.unarchive(jobs.find(id)))


@router.post("/rigs/{id}/versions/{version}")
def again(request: Request, id: str, version: int) -> RigReply:
    """Takes an earlier version again, as a new one."""
    return _reply(taken_again(_desk(request), _found(request, id), version))


@router.post("/rigs/{id}/plans", status_code=202)
def plan(request: Request, id: str) -> WorkReply:
    """Plans a rig as it is kept."""
    desk = _desk(request)
    return work_reply(desk.queue, plan_of_rig(desk, _found(request, id)))


@router.post("/rigs/{id}/searches", status_code=202)
def search(request: Request, id: str, wish: NewSearch) -> WorkReply:
    """Looks for better rigs; the result has several, with what each gains and costs."""
    from tankside.app.rig.searching import Ball, SearchWish, order_search  # wakes numba

    desk = _desk(request)
    balls = tuple(
        Ball(kind=one.kind, centre=one.centre_m, radius=one.radius_m, part=one.part)
        for one in wish.regions
    )
    wanted = SearchWish(
        goal=wish.goal,
        allow=tuple(wish.allow),
        within=wish.within,
        minutes=wish.minutes,
        rigs=wish.rigs,
        seed=wish.seed,
        regions=balls,
    )
    return work_reply(desk.queue, order_search(desk, _found(request, id), wanted))


@router.post("/searches/{id}/rigs/{number}")
def take(request: Request, id: str, number: int) -> RigReply:
    """Makes a found rig the newest version of the rig that was searched from."""
    from tankside.app.rig.searching import take_rig

    desk = _desk(request)
    return _reply(take_rig(desk, desk.queue.get(id), number))


def _desk(request: Request) -> RigDesk:
    place: Workplace = request.app.state.place
    return RigDesk(store=place.store, queue=place.queue, meshes=place.meshes)


def _found(request: Request, id: str, version: int | None = None) -> Rig:
    return _desk(request).store.jobs.find(id, version)


def _reply(rig: Rig) -> RigReply:
    return RigReply(
        id=rig.id,
        name=rig.name,
        version=rig.version,
        changed_s=rig.changed,
        archived=rig.archived,
        job=rig.value.text,
    )
