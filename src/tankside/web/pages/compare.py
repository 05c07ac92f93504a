"""Two plans beside each other: their figures with what differs, and their copper by one camera."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from tankside.app.compare_plans import CompareReply
from tankside.app.work.compared_plans import (
    KEPT,
    Comparable,
    comparable,
    compared,
    kept_view,
    one_of,
)
from tankside.web.frame import page

router = APIRouter()
_PAIR = 2


@router.get("/plans/compare")
def compare(request: Request, plan: Annotated[list[str] | None, Query()] = None) -> HTMLResponse:
    """The choice of two plans, and the two beside each other once they are chosen."""
    place = request.app.state.desk.place
    known = comparable(place)
    keys = [key for key in plan or [] if key][:_PAIR]
    chosen = [one_of(place, key) for key in keys]
    reply: CompareReply | None = None
    if len(keys) == _PAIR and keys[0] != keys[1]:
        reply = compared(place, keys)
    return page(
        request,
        "compare.html",
        known=known,
        chosen=chosen,
        views=[view_of(one) for one in chosen],
        reply=reply,
        twice=len(keys) == _PAIR and keys[0] == keys[1],
    )


@router.get("/plans/kept/{key}/view.bin")
def seen(request: Request, key: str) -> Response:
    """What the picture of a plan in the store is drawn from."""
    return Response(
        kept_view(request.app.state.desk.place, key),
        media_type="application/octet-stream",
        headers={"cache-control": "private, max-age=31536000, immutable"},
    )


def view_of(one: Comparable) -> str:
    """The address of a plan's picture; "" where it has none."""
    if not one.seen:
        return ""
    kept = one.key.startswith(KEPT)
    return f"/plans/kept/{one.key}/view.bin" if kept else f"/work/{one.key}/view.bin"
