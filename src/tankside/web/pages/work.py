"""Where long work stands: a piece that asks for itself anew, the wish to stop, and files."""

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse, HTMLResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException

from tankside.app.work.first_plan import GUIDED
from tankside.app.work.work import Work, WorkKind, WorkState
from tankside.web.frame import page

router = APIRouter()

MEDIA = {
    ".glb": "model/gltf-binary",
    ".json": "application/json",
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".toml": "text/plain; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
}


def address(work: Work) -> str:
    """The page of a piece of work; a part in a first plan's guide leads on to that."""
    if work.order.options.get(GUIDED) and work.state in (
        WorkState.QUEUED,
        WorkState.RUNNING,
        WorkState.DONE,
    ):
        return f"/first/{work.id}"
    return f"/{PLACES[work.order.kind]}/{work.id}"


PLACES = {WorkKind.PART: "parts", WorkKind.PLAN: "plans", WorkKind.RIG: "searches"}
"""Where the pages of each kind of work are."""


SHOWN = (".bin", ".pdf", ".svg", ".toml", ".txt")
"""What a browser shows by itself; all else it saves."""


@router.get("/work/{id}/progress")
def progress(request: Request, id: str) -> Response:
    """The piece; once the work is over it sends the browser to its page."""
    queue = request.app.state.desk.queue
    work = queue.get(id)
    if work.state.over:
        return Response(headers={"HX-Redirect": address(work)})
    return page(request, "progress.html", **standing(request, work))


@router.post("/work/{id}/cancel")
def cancel(request: Request, id: str) -> Response:
    """Stops it."""
    work = request.app.state.desk.queue.cancel(id)
    return RedirectResponse(address(work), status_code=303)


@router.post("/work/{id}/remove")
def remove(request: Request, id: str) -> Response:
    """Forgets it; the page that follows offers to undo that."""
    request.app.state.desk.queue.remove(id)
    return RedirectResponse(f"/?forgotten={id}", status_code=303)


@router.post("/work/{id}/back")
def back(request: Request, id: str) -> Response:
    """Takes up again what was forgotten."""
    work = request.app.state.desk.queue.bring_back(id)
    return RedirectResponse(address(work), status_code=303)


@router.get("/work/{id}/{name}")
def made(request: Request, id: str, name: str) -> Response:
    """A file that came of it."""
    queue = request.app.state.desk.queue
    path = queue.folder.made(queue.get(id).id).get(name)
    if path is None:
        raise HTTPException(404)
    kind = MEDIA.get(path.suffix, "application/octet-stream")
    return FileResponse(
        path,
        media_type=kind,
        filename=f"{id}-{name}",
        content_disposition_type="inline" if path.suffix in SHOWN else "attachment",
        headers={"cache-control": "private, max-age=31536000, immutable"},
    )


def unfinished(request: Request, work: Work) -> HTMLResponse:
    """The page of work that is not done: its progress, or how it ended."""
    return page(request, "unfinished.html", **standing(request, work))


def standing(request: Request, work: Work) -> dict[str, Any]:
    """What the templates of progress show."""
    queue = request.app.state.desk.queue
    return {
        "work": work,
        "address": address(work),
        "seconds_left": queue.seconds_left(work.id),
        "ahead": queue.ahead(work.id),
    }
