"""Home: what is being worked out, what there is already, and how to begin."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from tankside.app.work.work import WorkKind, WorkState
from tankside.web.frame import page

router = APIRouter()
_SHOWN = 8


@router.get("/")
def home(request: Request) -> HTMLResponse:
    """The page."""
    works = request.app.state.desk.queue.all()
    busy = [work for work in works if not work.state.over]
    done = [work for work in works if work.state is WorkState.DONE]
    return page(
        request,
        "home.html",
        busy=busy,
        plans=[work for work in done if work.order.kind is WorkKind.PLAN][:_SHOWN],
        parts=[work for work in done if work.order.kind is WorkKind.PART][:_SHOWN],
        failed=[work for work in works if work.state is WorkState.FAILED][:3],
    )
