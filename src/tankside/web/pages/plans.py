"""Plans: the form for one, and what came of it."""

from typing import Any

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.work.alternatives import order_alternatives
from tankside.app.work.compared_plans import Beside, beside
from tankside.app.work.first_defaults import begun_for
from tankside.app.work.order_plans import add_plan
from tankside.app.work.plan_fields import GROUPS
from tankside.app.work.plan_form import FormFault
from tankside.app.work.work import Work, WorkKind, WorkState
from tankside.base.errors import BadInput
from tankside.web.frame import page
from tankside.web.pages.work import unfinished
from tankside.web.reader import begun

router = APIRouter()


@router.get("/plans")
def plans(request: Request) -> HTMLResponse:
    """All plans."""
    works = [w for w in request.app.state.desk.queue.all() if w.order.kind is WorkKind.PLAN]
    return page(request, "plans.html", works=works)


@router.get("/parts/{id}/plan")
def form(request: Request, id: str, like: str = "") -> HTMLResponse:
    """The form of a plan for a part, filled in as an earlier plan was if one is named."""
    part = _examined(request, id)
    if like:
        typed = dict(request.app.state.desk.queue.get(like).order.options.get("form", {}))
    else:
        typed = begun(begun_for(request.app.state.desk.place, part))
    return _form(request, part, typed, {})


@router.post("/parts/{id}/plan")
async def plan_part(request: Request, id: str) -> Response:
    """Takes the form in; where answers are wrong, shows it again with a sentence at each."""
    part = _examined(request, id)
    typed = {key: str(value) for key, value in (await request.form()).items()}
    try:
        work = await run_in_threadpool(add_plan, request.app.state.desk.queue, part, typed)
    except FormFault as fault:
        return _form(request, part, typed, fault.faults)
    return RedirectResponse(f"/plans/{work.id}", status_code=303)


@router.get("/plans/{id}")
def plan(request: Request, id: str) -> HTMLResponse:
    """A plan: cautions, what to set, what comes of it, and its files."""
    queue = request.app.state.desk.queue
    work = queue.get(id)
    if work.state is not WorkState.DONE:
        return unfinished(request, work)
    files = [name for name in queue.folder.made(id) if name not in ("view.bin", "result.json")]
    return page(
        request,
        "plan.html",
        work=work,
        plan=queue.folder.result(id),
        files=files,
        shown=_beside(request, id),
        original=work.order.options.get("alternative", {}).get("of", ""),
    )


@router.get("/plans/{id}/alternatives")
def alternatives(request: Request, id: str) -> HTMLResponse:
    """The piece of a plan's page that shows its alternatives and how far they are."""
    work = request.app.state.desk.queue.get(id)
    return page(request, "plan_alternatives.html", work=work, shown=_beside(request, id))


@router.post("/plans/{id}/alternatives")
async def work_out(request: Request, id: str) -> Response:
    """Has the chosen alternatives worked out."""
    kinds = [str(kind) for kind in (await request.form()).getlist("kind")]
    await run_in_threadpool(order_alternatives, request.app.state.desk.queue, id, kinds)
    return RedirectResponse(f"/plans/{id}#alternatives", status_code=303)


def _beside(request: Request, id: str) -> Beside:
    return beside(request.app.state.desk.place, id)


def _examined(request: Request, id: str) -> Work:
    work: Work = request.app.state.desk.queue.get(id)
    if work.order.kind is not WorkKind.PART or work.state is not WorkState.DONE:
        raise BadInput("{order} is not examined yet; wait for its report", order=work.order.title)
    return work


def _form(
    request: Request, part: Work, typed: dict[str, Any], faults: dict[str, str]
) -> HTMLResponse:
    return page(
        request,
        "plan_form.html",
        status=400 if faults else 200,
        part=part,
        groups=GROUPS,
        typed=typed,
        faults=faults,
    )
