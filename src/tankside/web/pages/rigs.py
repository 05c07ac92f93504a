"""Rigs: where the part, its wires and the anodes are, as fields and as a picture to work in."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Body, File, Request, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from markupsafe import Markup

from tankside.app.job.reading import read_job
from tankside.app.rig.changing import ADDED, SHAPES
from tankside.app.rig.editing import tables_of
from tankside.app.rig.keeping import (
    Rig,
    RigDesk,
    plan_of_rig,
    revised,
    rig_of_file,
    rig_of_part,
    taken_again,
)
from tankside.app.rig.scene import meshes_of, view_of_mesh
from tankside.app.work.first_defaults import begun_for
from tankside.app.work.plan_form import JOB_NAME, FormFault
from tankside.app.work.work import WorkKind
from tankside.base.errors import BadInput, Impossible
from tankside.web.frame import page, sentence
from tankside.web.reader import begun, example

if TYPE_CHECKING:
    from tankside.app.rig.drawing import RigDrawing  # wakes numba

router = APIRouter()


def desk_of(request: Request) -> RigDesk:
    """What rigs are kept and checked with."""
    place = request.app.state.desk.place
    return RigDesk(store=place.store, queue=place.queue, meshes=place.meshes)


@router.get("/rigs")
def rigs(request: Request, away: str = "") -> HTMLResponse:
    """All rigs, newest first, and the form for a job file; with the id of one that was just put
    away, the page offers to undo that."""
    jobs = desk_of(request).store.jobs
    gone = [one for one in jobs.all(archived=True) if one.id == away and one.archived]
    return page(request, "rigs.html", rigs=sorted(jobs.all(), key=lambda r: -r.changed), gone=gone)


@router.post("/parts/{id}/rig")
def begin(request: Request, id: str) -> Response:
    """Begins a rig for an examined part."""
    desk = desk_of(request)
    part = desk.queue.get(id)
    rig = rig_of_part(desk, part, begun(begun_for(request.app.state.desk.place, part)))
    return RedirectResponse(f"/rigs/{rig.id}", status_code=303)


@router.post("/rigs")
def from_file(request: Request, file: Annotated[UploadFile, File()]) -> Response:
    """Begins a rig from a job file."""
    name = file.filename or JOB_NAME
    try:
        text = file.file.read().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput("not a text file in UTF-8", where=name) from error
    rig = rig_of_file(desk_of(request), text, name)
    return RedirectResponse(f"/rigs/{rig.id}", status_code=303)


@router.get("/rigs/{id}")
def rig(request: Request, id: str) -> HTMLResponse:
    """A rig."""
    desk = desk_of(request)
    found = desk.store.jobs.find(id)
    return _page(request, desk, found, found.value.text)


@router.post("/rigs/{id}")
async def change(request: Request, id: str) -> Response:
    """Takes the form in: its answers, and an act besides. What is right is a new revision."""
    typed = {key: str(value) for key, value in (await request.form()).items()}
    return await run_in_threadpool(_changed, request, id, typed)


@router.post("/rigs/{id}/check")
def check(
    request: Request, id: str, answers: Annotated[dict[str, str], Body(embed=True)]
) -> JSONResponse:
    """The form's answers as a scene; what is wrong, by field; and the answers that follow."""
    desk = desk_of(request)
    found = desk.store.jobs.find(id)
    base = answers.get("base") or found.value.text
    reply = desk.checked(found, base, _as_kept(desk, found, base, answers))
    if "answers" in reply:
        reply["answers"] = {key: example(text) for key, text in reply["answers"].items()}
    for told in ("faults", "refusal", "notes"):
        if told in reply:
            reply[told] = _spoken(reply[told])
    return JSONResponse(reply)


@router.get("/rigs/{id}/job.toml")
def job(request: Request, id: str, version: int | None = None) -> Response:
    """The job file of a rig, as it is or was."""
    found = desk_of(request).store.jobs.find(id, version)
    headers = {"content-disposition": 'attachment; filename="rig.toml"'}
    return Response(found.value.text, media_type="text/plain; charset=utf-8", headers=headers)


@router.get("/rigs/{id}/drawing")
def drawing(request: Request, id: str, version: int | None = None) -> HTMLResponse:
    """How a rig hangs: its drawing with lengths, and the same as tables."""
    rig, drawn = _drawn(request, id, version)
    sheets = [Markup(text.decode()) for text in drawn.files.values()]  # our own, escaped there
    return page(request, "rig_drawing.html", rig=rig, sheets=sheets, hung=drawn.told)


@router.get("/rigs/{id}/drawing.svg")
def drawing_file(request: Request, id: str, version: int | None = None, sheet: int = 1) -> Response:
    """The drawing as a file: its first sheet, or another where its tables are long."""
    _, drawn = _drawn(request, id, version)
    files = list(drawn.files.values())
    if not 1 <= sheet <= len(files):
        raise BadInput(
            "this drawing has no sheet {sheet}; it has {count}", sheet=sheet, count=len(files)
        )
    headers = {"content-disposition": 'attachment; filename="rig.svg"'}
    return Response(files[sheet - 1], media_type="image/svg+xml", headers=headers)


def _drawn(request: Request, id: str, version: int | None) -> "tuple[Rig, RigDrawing]":
    from tankside.app.rig.drawing import drawn_rig

    desk, place = desk_of(request), request.app.state.desk.place
    rig = desk.store.jobs.find(id, version)
    return rig, drawn_rig(desk, rig, place.tools.sheets(), place.preferences.read())


@router.get("/rigs/{id}/parts/{number}/view.bin")
def view(request: Request, id: str, number: int) -> Response:
    """A part's mesh, packed for a view, in the coordinates of its file."""
    desk = desk_of(request)
    found = desk.store.jobs.find(id)
    known = meshes_of(read_job(found.value.text, name=JOB_NAME), desk.files(found), desk.meshes)
    if not 1 <= number <= len(known):
        raise BadInput(
            "this rig has no part {number}; it has {count}", number=number, count=len(known)
        )
    tools = request.app.state.desk.place.tools
    packed = view_of_mesh(known[number - 1], tools.sheets())
    return Response(packed, media_type="application/octet-stream")


@router.post("/rigs/{id}/again")
async def again(request: Request, id: str) -> Response:
    """Takes an earlier version again."""
    form = await request.form()
    desk = desk_of(request)
    found = desk.store.jobs.find(id)
    taken_again(desk, found, whole(str(form.get("version", ""))))
    return RedirectResponse(f"/rigs/{id}", status_code=303)


@router.post("/rigs/{id}/name")
async def name(request: Request, id: str) -> Response:
    """Another name."""
    form = await request.form()
    jobs = desk_of(request).store.jobs
    jobs.rename(jobs.find(id), str(form.get("name", "")))
    return RedirectResponse(f"/rigs/{id}", status_code=303)


@router.post("/rigs/{id}/away")
def away(request: Request, id: str) -> Response:
    """Puts it away: it is left out of the list, and what refers to it still reads it."""
    jobs = desk_of(request).store.jobs
    jobs.archive(jobs.find(id))
    return RedirectResponse(f"/rigs?away={id}", status_code=303)


@router.post("/rigs/{id}/back")
def back(request: Request, id: str) -> Response:
    """Takes it into use again."""
    jobs = desk_of(request).store.jobs
    jobs.unarchive(jobs.find(id))
    return RedirectResponse(f"/rigs/{id}", status_code=303)


def whole(text: str) -> int:
    """A whole number that a form sends; BadInput where it is none."""
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise BadInput("{text!r} is not a whole number", text=text[:40])
    return int(text)


def _as_kept(desk: RigDesk, rig: Rig, base: str, typed: Mapping[str, str]) -> dict[str, str]:
    """The answers, those as the job has them that the reader left as they were shown: what was told
    in another unit is not rounded by that."""
    known = {one.key: one.value for group in desk.groups(rig, base) for one in group.fields}
    return {
        key: known[key] if key in known and text.strip() == example(known[key]) else text
        for key, text in typed.items()
    }


def _spoken(told: Any) -> Any:
    """What the core says, by the reader's words and units: one sentence, a list, or by field."""
    if isinstance(told, str):
        return sentence(told)
    if isinstance(told, Mapping):
        return {key: sentence(text) for key, text in told.items()}
    return [sentence(text) for text in told]


def spot_of(typed: Mapping[str, str]) -> tuple[float, float, float] | None:
    """Where the surface was clicked [m], or None where it was not."""
    found = [typed.get(f"spot_{k}", "") for k in range(3)]
    if not all(found):
        return None
    try:
        x, y, z = (float(text) for text in found)
    except ValueError as error:
        raise BadInput("{text!r} is not a place", text=", ".join(found)[:60]) from error
    return (x, y, z)


def _changed(request: Request, id: str, typed: Mapping[str, str]) -> Response:
    desk = desk_of(request)
    found = desk.store.jobs.find(id, whole(typed.get("version", "")))
    base, act = typed.get("base") or found.value.text, typed.get("act", "keep")
    try:
        typed = _as_kept(desk, found, base, typed)
        if act.partition(":")[0] in ("add", "copy", "remove", "tank"):
            part = whole(typed.get("spot_part") or "1")
            text = desk.acted(found, base, typed, act, spot_of(typed), part)
        else:
            text = desk.answered(found, base, typed)
        if act == "check":
            return _page(request, desk, found, text, refusal=desk.scene(found, text).refusal)
        found = revised(desk, found, text)
        if act == "plan":
            return RedirectResponse(f"/plans/{plan_of_rig(desk, found).id}", status_code=303)
        if act == "search":
            return RedirectResponse(f"/rigs/{id}/search", status_code=303)
    except FormFault as fault:
        return _page(request, desk, found, base, typed, fault.faults)
    except Impossible as error:
        return _page(request, desk, found, found.value.text, refusal=str(error))
    except BadInput as error:
        return _page(request, desk, found, base, typed, {"": str(error)})
    return RedirectResponse(f"/rigs/{id}", status_code=303)


def _page(
    request: Request,
    desk: RigDesk,
    rig: Rig,
    text: str,
    typed: Mapping[str, str] | None = None,
    faults: Mapping[str, str] | None = None,
    refusal: str = "",
) -> HTMLResponse:
    history = desk.store.jobs.history(rig.id)
    swapped = request.headers.get("hx-request") == "true"
    works: list[Any] = [w for w in desk.queue.all() if w.order.options.get("rig") == rig.id]
    return page(
        request,
        "rig.html",
        status=400 if (faults or refusal) and not swapped else 200,
        rig=rig,
        base=text,
        groups=desk.groups(rig, text),
        typed=typed or {},
        faults=faults or {},
        refusal=refusal,
        history=history,
        plans=[work for work in works if work.order.kind is WorkKind.PLAN],
        searches=[work for work in works if work.order.kind is WorkKind.RIG],
        added=ADDED,
        shapes=SHAPES,
        parts=len(tables_of(text)["part"]),
    )
