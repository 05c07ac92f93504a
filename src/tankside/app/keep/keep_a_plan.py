"""Use case: a plan into the store, with all that it stood on, so that it can be read again as it
was: the job's text, the parts' files, the shop, the reply, and its sheets."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any

from tankside.app.job.reading import read_job
from tankside.app.job.schema import ShopFile
from tankside.app.keep.naming import added, found
from tankside.app.ports import Files
from tankside.app.store_ports import Store
from tankside.app.store_records import (
    Document,
    File,
    JobRecord,
    Kept,
    PartRecord,
    PlanRecord,
    Reference,
)

MEDIA = {
    ".3mf": "model/3mf",
    ".glb": "model/gltf-binary",
    ".obj": "model/obj",
    ".parquet": "application/vnd.apache.parquet",
    ".pdf": "application/pdf",
    ".ply": "model/ply",
    ".stl": "model/stl",
    ".vtu": "application/xml",
}
"""Types of the files that a plan comes with."""


@dataclass(frozen=True, kw_only=True)
class PlanToKeep:
    """A plan's job (its text, and where its mesh files are), the reply as JSON with the version
    that made it, the sheets by name, the revision of the shop that narrowed it if one did, and the
    names of the stored bath and supply that it is for, if it is for any."""

    job_text: str
    job_name: str
    files: Files
    reply: Mapping[str, Any]
    sheets: Mapping[str, bytes]
    shop: Reference | None = None
    bath: str = ""
    supply: str = ""


def keep_a_plan(store: Store, name: str, plan: PlanToKeep) -> Kept[PlanRecord]:
    """Keeps it under a name, or that name with a number where it is taken. Its parts are kept
    under the names of their files, its job under the plan's; where they have changed, as new
    revisions. What was kept already is not kept twice. UnknownName or NothingKept, before anything
    is kept, where the bath or the supply is not there."""
    job = read_job(plan.job_text, name=plan.job_name)
    bath = store.baths.get(plan.bath) if plan.bath else None
    supply = store.supplies.get(plan.supply) if plan.supply else None
    parts = [keep_part(store, plan.files, one.file, one.unit or "") for one in job.parts]
    wish = name.strip() or PurePath(plan.job_name).stem
    wanted = JobRecord(
        text=plan.job_text,
        parts=tuple(part.id for part in parts),
        bath=bath.id if bath else "",
        supply=supply.id if supply else "",
    )
    used = [_job(store, wish, wanted).reference, *(one.reference for one in parts)]
    used += [one.reference for one in (bath, supply) if one is not None]
    used += [plan.shop] if plan.shop is not None else []
    record = PlanRecord(
        job_text=plan.job_text,
        reply=Document.of(plan.reply),
        made_by=str(plan.reply["made_by"]),
        used=tuple(used),
        inputs=_inputs(job.shop, plan.files),
        files=tuple(_file(store, one, content) for one, content in plan.sheets.items()),
    )
    return added(store.plans, wish, record)


def _inputs(shop: ShopFile | None, files: Files) -> Document:
    """What the plan stood on beside what is stored: the tests that its job names."""
    if shop is None:
        return Document()
    from tankside.app.plan_a_job import text_of  # wakes numba

    return Document.of({"shop_tests": text_of(shop.file, files)})


def keep_part(store: Store, files: Files, path: str, unit: str) -> Kept[PartRecord]:
    """The part as it is now; a new revision where its file has changed."""
    file = _file(store, PurePath(path).name, files.read(path, where="the part"))
    name = PurePath(path).stem
    held = found(store.parts, name)
    if held is None:
        return store.parts.add(name, PartRecord(file=file, unit=unit))
    if (held.value.file.sha256, held.value.unit) == (file.sha256, unit):
        return held
    was = held.value
    return store.parts.revise(
        held, PartRecord(file=file, unit=unit, seeds=was.seeds, notes=was.notes)
    )


def _job(store: Store, name: str, wanted: JobRecord) -> Kept[JobRecord]:
    held = found(store.jobs, name)
    if held is None:
        return store.jobs.add(name, wanted)
    return held if held.value == wanted else store.jobs.revise(held, wanted)


def _file(store: Store, name: str, content: bytes) -> File:
    mime = MEDIA.get(PurePath(name).suffix.lower(), "application/octet-stream")
    return store.keep_file(content, name=name, mime=mime)
