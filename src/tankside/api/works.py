"""Long work: where it stands, its result and files, and the wish to stop or forget it."""

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse

from tankside.api.replies import WorkReply, work_reply
from tankside.app.work.queue import WorkQueue
from tankside.base.errors import UnknownName

router = APIRouter(prefix="/work", tags=["work"])


@router.get("")
def all_work(request: Request) -> list[WorkReply]:
    """All work, newest first."""
    queue: WorkQueue = request.app.state.queue
    return [work_reply(queue, work) for work in queue.all()]


@router.get("/{id}")
def one(request: Request, id: str) -> WorkReply:
    """One piece of work."""
    queue: WorkQueue = request.app.state.queue
    return work_reply(queue, queue.get(id))


@router.post("/{id}/cancel")
def cancel(request: Request, id: str) -> WorkReply:
    """Stops it: at once where it waits, soon where it runs."""
    queue: WorkQueue = request.app.state.queue
    return work_reply(queue, queue.cancel(id))


@router.delete("/{id}", status_code=204)
def remove(request: Request, id: str) -> None:
    """Forgets work that is over, and its files; for a month it can be taken up again."""
    request.app.state.queue.remove(id)


@router.post("/{id}/back")
def back(request: Request, id: str) -> WorkReply:
    """Takes up again what was forgotten."""
    queue: WorkQueue = request.app.state.queue
    return work_reply(queue, queue.bring_back(id))


@router.get("/{id}/result")
def result(request: Request, id: str) -> dict[str, Any]:
    """What came of it: the part's report, or the plan as `tankside plan --json` prints it."""
    queue: WorkQueue = request.app.state.queue
    return queue.folder.result(queue.get(id).id)


@router.get("/{id}/files/{name}", response_class=FileResponse)
def made(request: Request, id: str, name: str) -> FileResponse:
    """A file that came of it, such as map.glb or plan.pdf."""
    queue: WorkQueue = request.app.state.queue
    files = queue.folder.made(queue.get(id).id)
    if name not in files:
        raise UnknownName("the file", name[:60], files)
    return FileResponse(files[name], filename=name)
