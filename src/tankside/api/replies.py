"""What the API answers with: SI numbers, the unit in each key's name."""

from typing import Any

from pydantic import BaseModel

from tankside.app.work.queue import WorkQueue
from tankside.app.work.work import Fault, Work, WorkKind, WorkState


class WorkReply(BaseModel):
    """A piece of long work and where it stands; times in seconds since 1970, UTC."""

    id: str
    kind: WorkKind
    title: str
    part: str
    state: WorkState
    stage: str
    stage_fraction: float
    created_s: float
    started_s: float
    ended_s: float
    left_s: float | None
    ahead: int
    error: str
    fault: Fault
    files: list[str]


class Refusal(BaseModel):
    """Why something was not done, in one sentence; `fields` by key where a form was wrong."""

    error: str
    fields: dict[str, str] = {}


class QuantityReply(BaseModel):
    """A quantity as it was read: in SI, and told back in everyday units."""

    kind: str
    value_SI: float
    unit_SI: str
    told: str


class JobReply(BaseModel):
    """A job file that can be read."""

    readable: bool


def work_reply(queue: WorkQueue, work: Work) -> WorkReply:
    """One piece of work."""
    order, standing = work.order, work.standing
    return WorkReply(
        id=work.id,
        kind=order.kind,
        title=order.title,
        part=order.part,
        state=standing.state,
        stage=standing.stage,
        stage_fraction=standing.fraction,
        created_s=order.created,
        started_s=standing.started,
        ended_s=standing.ended,
        left_s=queue.seconds_left(work.id),
        ahead=queue.ahead(work.id),
        error=standing.error,
        fault=standing.fault,
        files=sorted(queue.folder.made(work.id)),
    )


REFUSALS: dict[int | str, dict[str, Any]] = {
    400: {"model": Refusal, "description": "What was sent is wrong"},
    403: {"description": "Another site, no key, or a key that may only look"},
    404: {"model": Refusal, "description": "Not known"},
    409: {"model": Refusal, "description": "The bench cannot do it, or it must not be done"},
    413: {"description": "Larger than the server takes"},
}
"""How every address may refuse, for its description."""
