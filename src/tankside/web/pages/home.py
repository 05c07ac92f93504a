"""Home: what runs, what is due, what is being worked out, what there is, and how to begin."""

from starlette.requests import Request
from starlette.responses import HTMLResponse

from tankside.app.work.first_plan import open_drafts
from tankside.app.work.work import WorkKind, WorkState
from tankside.web.frame import page

_SHOWN = 8


def home(request: Request) -> HTMLResponse:
    """The page; with the id of what was just forgotten, it offers to undo that."""
    desk, forgotten = request.app.state.desk, request.query_params.get("forgotten", "")
    works = desk.queue.all()
    busy = [work for work in works if not work.state.over]
    done = [work for work in works if work.state is WorkState.DONE]
    return page(
        request,
        "home.html",
        forgotten=desk.queue.folder.forgotten(forgotten) if forgotten else None,
        busy=busy,
        drafts=open_drafts(desk.queue),
        going=[run for run in desk.runs.all() if not run.over],
        baths=desk.store.baths.all()[:_SHOWN],
        plans=[work for work in done if work.order.kind is WorkKind.PLAN][:_SHOWN],
        parts=[work for work in done if work.order.kind is WorkKind.PART][:_SHOWN],
        failed=[work for work in works if work.state is WorkState.FAILED][:3],
    )
