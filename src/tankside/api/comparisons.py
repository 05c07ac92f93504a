"""Plans beside each other, and the alternatives of a plan."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response
from pydantic import BaseModel, Field

from tankside.api.replies import WorkReply, work_reply
from tankside.app.work.alternatives import offers, order_alternatives
from tankside.app.work.compared_plans import comparable, compared, kept_view
from tankside.app.work.work import WorkState

router = APIRouter(tags=["comparisons"])


class ComparablePlan(BaseModel):
    """A plan that can be compared: its key, title, moment [s since 1970], and what it is an
    alternative by."""

    key: str
    title: str
    made_s: float
    alternative: str


class AlternativeReply(BaseModel):
    """Another way to do a plan: what is changed, the form's answers that change, why, where that
    stands, and its plan if there is one."""

    kind: str
    answers: dict[str, str]
    words: str
    why: str
    source: str
    work: str
    state: WorkState | None


class Kinds(BaseModel):
    """Which alternatives are to be planned."""

    kinds: list[str] = Field(min_length=1, max_length=20)


@router.get("/plans")
def plans(request: Request) -> list[ComparablePlan]:
    """Plans that can be compared, newest first: made here, or in the store alone."""
    return [
        ComparablePlan(key=one.key, title=one.title, made_s=one.made, alternative=one.alternative)
        for one in comparable(request.app.state.place)
    ]


@router.get("/plans/compare")
def compare(
    request: Request, plan: Annotated[list[str], Query(min_length=2, max_length=8)]
) -> dict[str, Any]:
    """Plans beside each other by their keys, each against the first: figures in the unit of each
    key's name, differences, and costs at the prices that are noted."""
    return dict(compared(request.app.state.place, plan).as_json())


@router.get("/plans/kept/{key}/view", response_class=Response)
def seen(request: Request, key: str) -> Response:
    """What the picture of a plan in the store is drawn from."""
    content = kept_view(request.app.state.place, key)
    return Response(content, media_type="application/octet-stream")


@router.get("/plans/{id}/alternatives")
def alternatives(request: Request, id: str) -> list[AlternativeReply]:
    """What may be tried beside a plan, and what was asked for already."""
    return [
        AlternativeReply(
            kind=one.alternative.kind,
            answers=dict(one.answers),
            words=one.alternative.words,
            why=one.alternative.why,
            source=one.alternative.source,
            work=one.work.id if one.work else "",
            state=one.work.state if one.work else None,
        )
        for one in offers(request.app.state.queue, id)
    ]


@router.post("/plans/{id}/alternatives", status_code=202)
def work_out(request: Request, id: str, wanted: Kinds) -> list[WorkReply]:
    """Plans some of them; those that are there already are left alone."""
    queue = request.app.state.queue
    return [work_reply(queue, one) for one in order_alternatives(queue, id, wanted.kinds)]
