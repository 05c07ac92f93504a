"""Use case: from a job file's text to a plan.

Reads the job, refuses what is unsafe, works out the bath, reads the part and gives it an analysis
surface, assembles the cell, and plans. Every refusal is one sentence that names its place.
"""

import time
from dataclasses import dataclass
from pathlib import PurePath
from typing import TYPE_CHECKING

from tankside.app.hanging import hanging_warnings
from tankside.app.job import schema
from tankside.app.job.baths import electrolyte_of
from tankside.app.job.building import (
    BuiltPart,
    description_of,
    goal_of,
    parts_of,
    supply_of,
    surroundings_of,
    tallest,
)
from tankside.app.job.coat import coat_sentences
from tankside.app.job.reading import read_job
from tankside.app.ports import Files
from tankside.base.errors import BadInput, TanksideError
from tankside.base.messages import said
from tankside.base.progress import Progress, silent
from tankside.bath.boundary_layer import DEFAULT_HEIGHT
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.assembling import assembled
from tankside.plan.plan import Plan
from tankside.plan.planner import PlanTask, planned
from tankside.safety.gates import refuse_unsafe

if TYPE_CHECKING:
    from tankside.runs.calibration import Shop


@dataclass(frozen=True, kw_only=True)
class PlanRequest:
    """A job file's text, its name for sentences, where its mesh files are read from, and what a
    shop has learned of its cell, for a job that names no tests of its own."""

    job_text: str
    job_name: str
    files: Files
    shop: "Shop | None" = None


@dataclass(frozen=True, kw_only=True)
class PlanReply:
    """The plan, a title for its sheet, and how long it took [s]."""

    plan: Plan
    title: str
    seconds: float


def plan_a_job(request: PlanRequest, progress: Progress = silent) -> PlanReply:
    """Plans the job. BadInput or Impossible, placed in the job file, where that cannot be done."""
    start = time.monotonic()
    job = read_job(request.job_text, name=request.job_name)
    try:
        plan = _planned(job, request, progress)
    except TanksideError as error:
        raise _placed(error, request.job_name) from error
    title = PurePath(job.parts[0].file).stem.replace("_", " ")
    return PlanReply(plan=plan, title=title, seconds=time.monotonic() - start)


def _planned(job: schema.Job, request: PlanRequest, progress: Progress) -> Plan:
    files = request.files
    if job.shop is not None and request.shop is not None:
        raise BadInput(
            "the job names tests of its own; leave them out, or plan without a kept shop",
            where="[shop]",
        )
    refuse_unsafe(
        sulfuric_acid=job.bath.sulfuric_acid,
        temperature=job.bath.temperature,
        voltage_limit=job.supply.voltage_limit,
    )
    goal = goal_of(job)
    early = electrolyte_of(job.bath, height=DEFAULT_HEIGHT)  # refuses a bad bath before long work
    if job.shop is not None:
        from tankside.app.know_a_shop import know_a_shop

        know_a_shop(text_of(job.shop.file, files), job.shop.file, early)
    parts = parts_of(job, files, progress)
    electrolyte = _bath(job, parts, request)
    progress("assembling the cell", 0.0)
    description = description_of(
        job, tuple(one.placed for one in parts), files, electrolyte.density.best
    )
    cell = assembled(description, progress=progress)
    task = PlanTask(
        cell=cell,
        electrolyte=electrolyte,
        goal=goal,
        supply=supply_of(job),
        surroundings=surroundings_of(job),
        sulfuric_acid=job.bath.sulfuric_acid,
        air_agitation=job.bath.agitation is None or "air" in job.bath.agitation,
        assumptions=_assumptions(job, parts),
        warnings=hanging_warnings(parts, electrolyte.density.best, progress),
    )
    return planned(task, progress)


def _bath(job: schema.Job, parts: tuple[BuiltPart, ...], request: PlanRequest) -> Electrolyte:
    """The bath around these parts, narrowed by the shop's own tests where the job names them, or
    by what a shop has learned already."""
    electrolyte = electrolyte_of(job.bath, height=min(tallest(parts), job.tank.liquid_depth))
    if request.shop is not None:
        from tankside.plan.shop_tests import calibrated

        return calibrated(electrolyte, request.shop)
    if job.shop is None:
        return electrolyte
    from tankside.app.know_a_shop import narrowed

    return narrowed(text_of(job.shop.file, request.files), job.shop.file, electrolyte)


def text_of(file: str, files: Files, *, where: str = "[shop] file") -> str:
    """A file's text, such as a shop's tests; BadInput where it is none."""
    try:
        return files.read(file, where=where).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput("not a text file in UTF-8", where=file) from error


def _assumptions(job: schema.Job, parts: tuple[BuiltPart, ...]) -> tuple[str, ...]:
    """What the person must know of how the part was taken."""
    found: list[str] = []
    for part in parts:
        loaded, surface = part.loaded, part.surface
        found += [
            said("{file}: {note}", file=loaded.file_name, note=note)
            for note in (loaded.unit_explanation, *loaded.notes, *surface.notes)
        ]
        if part.coat is not None:
            found += coat_sentences(loaded.file_name, part.coat)
    return tuple(dict.fromkeys(found))


def _placed(error: TanksideError, name: str) -> TanksideError:
    """The same error with the job file's name before its place."""
    if not error.where.startswith(name):
        error.place_within(name)
    return error
