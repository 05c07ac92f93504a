"""Orders of long work: examine a part, plan it. They answer at once; the work goes on by itself."""

from pathlib import PurePath
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from pydantic import BaseModel, Field

from tankside.api.replies import WorkReply, work_reply
from tankside.app.work.example import add_example_part
from tankside.app.work.folder import plain_name
from tankside.app.work.order_plans import add_job, add_plan
from tankside.app.work.queue import WorkQueue
from tankside.app.work.work import WorkKind, WorkState
from tankside.base.errors import BadInput

router = APIRouter(tags=["orders"])


class PlanForm(BaseModel):
    """Answers of the plan's form, as typed; those left out stand at their defaults."""

    answers: dict[str, str] = Field(default_factory=dict)


@router.post("/parts", status_code=202)
def examine(
    request: Request, file: Annotated[UploadFile, File()], unit: Annotated[str, Form()] = ""
) -> WorkReply:
    """Examines a mesh file: stl, obj, ply, 3mf or glb; `unit` of its numbers, such as mm."""
    queue: WorkQueue = request.app.state.queue
    name = plain_name(PurePath(file.filename or "").name)
    options = {"file": name, "unit": unit}
    given = {name: file.file.read()}
    work = queue.add(WorkKind.PART, PurePath(name).stem, given, options=options)
    return work_reply(queue, work)


@router.post("/parts/example", status_code=202)
def examine_example(request: Request) -> WorkReply:
    """Examines the example part, a lantern finial."""
    queue: WorkQueue = request.app.state.queue
    return work_reply(queue, add_example_part(queue))


@router.post("/parts/{id}/plans", status_code=202)
def plan_part(request: Request, id: str, form: PlanForm) -> WorkReply:
    """Plans an examined part by the form's answers."""
    queue: WorkQueue = request.app.state.queue
    part = queue.get(id)
    if part.order.kind is not WorkKind.PART or part.state is not WorkState.DONE:
        raise BadInput("{id} is no part that has been examined; wait for its report", id=id)
    return work_reply(queue, add_plan(queue, part, form.answers))


@router.post("/plans", status_code=202)
def plan_job(
    request: Request,
    job: Annotated[str, Form()],
    files: Annotated[list[UploadFile], File()],
    title: Annotated[str, Form(max_length=80)] = "job",
) -> WorkReply:
    """Plans a job file, sent as text, with the mesh files that it names."""
    queue: WorkQueue = request.app.state.queue
    meshes = {plain_name(PurePath(one.filename or "").name): one.file.read() for one in files}
    return work_reply(queue, add_job(queue, title, job, meshes))
