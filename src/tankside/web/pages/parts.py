"""Parts: hand a file in, and read what it holds."""

from pathlib import PurePath
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.work.example import add_example_part
from tankside.app.work.first_plan import part_with_unit, sizes_by_unit
from tankside.app.work.folder import VIEW, plain_name
from tankside.app.work.work import WorkKind, WorkState
from tankside.base.errors import BadInput
from tankside.web.frame import page
from tankside.web.pages.work import unfinished

router = APIRouter()
UNITS = ("mm", "cm", "m", "in")


@router.get("/parts")
def parts(request: Request) -> HTMLResponse:
    """All parts, and the form for another."""
    works = [w for w in request.app.state.desk.queue.all() if w.order.kind is WorkKind.PART]
    return page(request, "parts.html", works=works, units=UNITS)


@router.post("/parts")
def add(
    request: Request, file: Annotated[UploadFile, File()], unit: Annotated[str, Form()] = ""
) -> Response:
    """Takes a file in and has it examined."""
    name = PurePath(file.filename or "").name
    if not name:
        raise BadInput("no file was chosen; choose the part's mesh first")
    if unit and unit not in UNITS:
        raise BadInput(
            "{unit!r} is not a unit of this form; choose one of {units}",
            unit=unit,
            units=", ".join(UNITS),
        )
    work = request.app.state.desk.queue.add(
        WorkKind.PART,
        PurePath(name).stem,
        {plain_name(name): file.file.read()},
        options={"file": name, "unit": unit},
    )
    return RedirectResponse(f"/parts/{work.id}", status_code=303)


@router.post("/parts/example")
def add_example(request: Request) -> Response:
    """Takes the example part in."""
    work = add_example_part(request.app.state.desk.queue)
    return RedirectResponse(f"/parts/{work.id}", status_code=303)


@router.get("/parts/{id}")
def part(request: Request, id: str) -> HTMLResponse:
    """What a part's file holds."""
    queue = request.app.state.desk.queue
    work = queue.get(id)
    if work.state is not WorkState.DONE:
        return unfinished(request, work)
    plans = [one for one in queue.all() if one.order.part == id]
    return page(
        request,
        "part.html",
        work=work,
        found=queue.folder.result(id),
        plans=plans,
        seen=VIEW in queue.folder.made(id),
        sizes=sizes_by_unit(queue.folder.result(id)),
    )


@router.post("/parts/{id}/unit")
def say_unit(request: Request, id: str, unit: Annotated[str, Form()]) -> Response:
    """Examines the same file anew with the unit of its numbers."""
    work = part_with_unit(request.app.state.desk.queue, id, unit)
    return RedirectResponse(f"/parts/{work.id}", status_code=303)
