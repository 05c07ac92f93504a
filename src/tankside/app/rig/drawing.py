"""Use case: rigs as drawings to hang a part by: a kept one, and all that a search found."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from tankside.app.job import schema
from tankside.app.job.baths import electrolyte_of
from tankside.app.job.building import description_of, parts_of
from tankside.app.job.reading import read_job
from tankside.app.ports import Files, SheetRequest, Sheets
from tankside.app.rig.keeping import Rig as Kept
from tankside.app.rig.keeping import RigDesk
from tankside.app.rig.meshes import RigMesh
from tankside.app.rig.scene import FEW_PANELS, MOST_SHOWN
from tankside.app.work.plan_form import JOB_NAME
from tankside.app.work.preferences import Preferences
from tankside.app.work.readers import how_liked
from tankside.base.errors import MeshDefect
from tankside.base.messages import said, spoken
from tankside.base.progress import silent
from tankside.bath.boundary_layer import DEFAULT_HEIGHT
from tankside.cell.assembling import DEFAULT_PANELS, assembled
from tankside.cell.bodies import Cell
from tankside.cell.description import PlacedPart
from tankside.plan.rigs.rig import Rig

if TYPE_CHECKING:
    from tankside.app.rig_values import RigReply


@dataclass(frozen=True, kw_only=True)
class RigDrawing:
    """SVG files by name, the first one first; and how everything hangs as plain values."""

    files: dict[str, bytes]
    told: dict[str, Any]


def drawn_job(
    text: str, name: str, files: Files, sheets: Sheets, request: SheetRequest
) -> RigDrawing:
    """The rig of a job's text; BadInput or Impossible where it cannot be."""
    job = read_job(text, name=name)
    placed = tuple(part.placed for part in parts_of(job, files, silent))
    return _drawing(job, placed, files, sheets, request)


def drawn_rig(desk: RigDesk, rig: Kept, sheets: Sheets, liked: Preferences) -> RigDrawing:
    """A kept rig by the meshes of its files, on the reader's paper and in the reader's units;
    BadInput or Impossible where it cannot be."""
    text, files = rig.value.text, desk.files(rig)
    job, loaded = read_job(text, name=JOB_NAME), desk.loaded(rig, text)
    request = how_liked(liked, "", rig.name)
    try:
        return _drawing(job, _placed(job, loaded, whole=True), files, sheets, request)
    except MeshDefect:  # an open mesh bounds no solid; its analysis surface does
        return _drawing(job, _placed(job, loaded, whole=False), files, sheets, request)


def _placed(job: schema.Job, loaded: tuple[RigMesh, ...], *, whole: bool) -> tuple[PlacedPart, ...]:
    """The parts by the meshes of their files, or by their coarse surfaces where those are large."""
    return tuple(
        PlacedPart(
            surface=one.mesh if whole and len(one.mesh.triangles) <= MOST_SHOWN else one.surface,
            at=part.at,
            rotation=part.rotate,
        )
        for part, one in zip(job.parts, loaded, strict=True)
    )


def _drawing(
    job: schema.Job,
    placed: tuple[PlacedPart, ...],
    files: Files,
    sheets: Sheets,
    request: SheetRequest,
) -> RigDrawing:
    density = electrolyte_of(job.bath, height=DEFAULT_HEIGHT).density.best
    cell = assembled(
        description_of(job, placed, files, density), panels=DEFAULT_PANELS.scaled(FEW_PANELS)
    )
    return RigDrawing(files=dict(sheets.rig(cell, request)), told=sheets.rig_reply(cell))


def drawn_rigs(reply: "RigReply", sheets: Sheets, request: SheetRequest) -> dict[str, bytes]:
    """The drawings of a search: rig-own.svg, rig-1.svg and so on, one for each stage of a rig that
    is turned part-way."""
    files = dict(_drawn(reply.own_rig, "rig-own", said("your own rig"), sheets, request))
    for number, proposal in enumerate(reply.proposals, 1):
        words = said("rig {number}", number=number)
        files |= dict(_drawn(proposal.rig, f"rig-{number}", words, sheets, request))
    return files


def title_of(job_name: str) -> str:
    """What a drawing of a job's rig is called where it has no other name."""
    return PurePath(job_name).stem.replace("_", " ")


def _drawn(
    rig: Rig, name: str, words: str, sheets: Sheets, request: SheetRequest
) -> Iterator[tuple[str, bytes]]:
    stages = list(rig.stages())
    for number, (_, description) in enumerate(stages, 1):
        cell: Cell = assembled(description, panels=DEFAULT_PANELS.scaled(FEW_PANELS))
        several = len(stages) > 1
        file = f"{name}-{number}-of-{len(stages)}" if several else name
        which = words
        if several:
            which = said(
                "{rig}, stage {number} of {count}", rig=words, number=number, count=len(stages)
            )
        title = f"{request.title}, {spoken(which, request.reader)}"
        yield from sheets.rig(cell, replace(request, title=title), file).items()
