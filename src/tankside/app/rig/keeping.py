"""Use case: rigs are kept as jobs in the store: begun, revised, taken back, planned and searched.

A rig is a job file's text and the meshes that it names. Every change that is kept is a revision,
and every revision can be taken again.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any

from tankside.app.job import schema
from tankside.app.job.reading import read_job
from tankside.app.keep.keep_a_plan import keep_part
from tankside.app.keep.naming import free_name
from tankside.app.ports import Files
from tankside.app.rig.changing import changed
from tankside.app.rig.editing import (
    RigGroup,
    Tables,
    answers_of,
    groups_of,
    places_of,
    tables_of,
    text_of,
    with_answers,
)
from tankside.app.rig.meshes import RigMesh, RigMeshes, StoredFiles
from tankside.app.rig.scene import RigScene, meshes_of, scene_of
from tankside.app.store_ports import Store
from tankside.app.store_records import JobRecord, Kept
from tankside.app.work.order_plans import add_job, shop_tests
from tankside.app.work.plan_form import JOB_NAME, SHOP_TESTS, FormFault, check_job, job_from_form
from tankside.app.work.queue import WorkQueue
from tankside.app.work.work import Work, WorkKind, WorkState
from tankside.base.errors import BadInput, Impossible
from tankside.base.wording import quoting
from tankside.cell.description import Vector

Rig = Kept[JobRecord]


@dataclass(frozen=True, kw_only=True)
class RigDesk:
    """What rigs are kept and checked with."""

    store: Store
    queue: WorkQueue
    meshes: RigMeshes

    def files(self, rig: Rig) -> StoredFiles:
        """The meshes that a rig names."""
        return StoredFiles(self.store, rig.value)

    def loaded(self, rig: Rig, text: str) -> tuple[RigMesh, ...]:
        """The mesh of each part of a job's text."""
        return meshes_of(read_job(text, name=JOB_NAME), self.files(rig), self.meshes)

    def groups(self, rig: Rig, text: str) -> tuple[RigGroup, ...]:
        """The fields of a job's text."""
        boxes = [mesh.box for mesh in self.loaded(rig, text)]
        return groups_of(tables_of(text), boxes)

    def answered(self, rig: Rig, text: str, typed: Mapping[str, str]) -> str:
        """A job's text with other answers; FormFault where they are wrong."""
        return text_of(self._answered(rig, text, typed))

    def acted(
        self,
        rig: Rig,
        text: str,
        typed: Mapping[str, str],
        act: str,
        spot: Vector | None = None,
        part: int = 1,
    ) -> str:
        """A job's text with other answers, and a thing added, copied or taken away."""
        boxes = [mesh.box for mesh in self.loaded(rig, text)]
        return text_of(changed(self._answered(rig, text, typed), act, boxes, spot, part))

    def scene(self, rig: Rig, text: str) -> RigScene:
        """A job's text to draw, and why it cannot be."""
        return scene_of(text, self.files(rig), self.meshes)

    def checked(self, rig: Rig, text: str, typed: Mapping[str, str]) -> dict[str, Any]:
        """A job's text with other answers as a scene, the answers that follow, and where things
        are [m]; or what is wrong, by field."""
        try:
            new = self.answered(rig, text, typed)
        except FormFault as fault:
            return {"faults": fault.faults}
        boxes = [mesh.box for mesh in self.loaded(rig, new)]
        tables = tables_of(new)
        return {
            "faults": {},
            "base": new,
            "answers": answers_of(tables, boxes),
            "places": places_of(tables, boxes),
            **self.scene(rig, new).as_json(),
        }

    def _answered(self, rig: Rig, text: str, typed: Mapping[str, str]) -> Tables:
        boxes = [mesh.box for mesh in self.loaded(rig, text)]
        return with_answers(tables_of(text), typed, boxes)


def rig_of_part(desk: RigDesk, part: Work, typed: Mapping[str, str], name: str = "") -> Rig:
    """A rig begun from an examined part, hung as the plan's form would hang it."""
    if part.order.kind is not WorkKind.PART or part.state is not WorkState.DONE:
        raise BadInput("{order} is not examined yet; wait for its report", order=part.order.title)
    found = desk.queue.folder.result(part.id)
    if found["unit_guessed"]:
        raise BadInput(
            "{unit_explanation}; hand the file in again with its unit",
            unit_explanation=found["unit_explanation"],
        )
    text = job_from_form(dict(typed), found)
    return _begun(desk, text, name or part.order.title, desk.queue.folder.given(part.id))


def rig_of_file(desk: RigDesk, text: str, name: str) -> Rig:
    """A rig begun from a job file; the meshes that it names must have been handed in as parts."""
    check_job(text, name)
    return _begun(desk, text, PurePath(name).stem, _Handed(desk.queue))


def revised(desk: RigDesk, rig: Rig, text: str) -> Rig:
    """Keeps a new revision; the same one where nothing changed. StaleWrite where somebody else was
    quicker."""
    check_job(text)
    job = read_job(text, name=JOB_NAME)
    files = desk.files(rig)
    for number, body in enumerate(_meshed(job), 1):
        files.part(body.file, where=quoting("mesh {number}", number=number))
    if text == rig.value.text:
        return rig
    return desk.store.jobs.revise(rig, _with_text(rig.value, text))


def taken_again(desk: RigDesk, rig: Rig, version: int) -> Rig:
    """An earlier revision as the newest one."""
    known = {one.version for one in desk.store.jobs.history(rig.id)}
    if version not in known:
        raise BadInput(
            "this rig has no version {version}; it has 1 to {latest}",
            version=version,
            latest=max(known),
        )
    text = desk.store.jobs.find(rig.id, version).value.text
    return desk.store.jobs.revise(rig, _with_text(rig.value, text))


def plan_of_rig(desk: RigDesk, rig: Rig) -> Work:
    """Queues the plan of a rig as it is kept; Impossible where it cannot be."""
    scene = desk.scene(rig, rig.value.text)
    if scene.refusal:
        raise Impossible(scene.refusal)
    return add_job(
        desk.queue, rig.name, rig.value.text, given_of(desk, rig), options={"rig": rig.id}
    )


def given_of(desk: RigDesk, rig: Rig) -> dict[str, bytes]:
    """The files that a rig's job names, by name: its meshes, and the shop's own tests."""
    files = desk.files(rig)
    job = read_job(rig.value.text, name=JOB_NAME)
    names = {body.file for body in _meshed(job)}
    given = {name: files.read(name, where="the rig's meshes") for name in sorted(names)}
    if job.shop is None:
        return given
    if job.shop.file != SHOP_TESTS:
        raise BadInput(
            "{file!r} is not kept here; name {shop_tests!r}, this shop's own tests",
            file=job.shop.file,
            shop_tests=SHOP_TESTS,
            where="[shop] file",
        )
    return {**given, SHOP_TESTS: shop_tests(desk.queue)}


class _Handed:
    """Mesh files of the parts that were handed in, by name, the newest of each."""

    def __init__(self, queue: WorkQueue) -> None:
        self._queue = queue

    def read(self, name: str, *, where: str) -> bytes:
        for work in self._queue.all():
            if work.order.options.get("file") == name and work.state is WorkState.DONE:
                return self._queue.folder.given(work.id).read(name, where=where)
        raise BadInput(
            "the mesh {name!r} was not handed in; hand it in as a part", name=name, where=where
        )


def _begun(desk: RigDesk, text: str, name: str, files: Files) -> Rig:
    job = read_job(text, name=JOB_NAME)
    kept = [keep_part(desk.store, files, one.file, one.unit or "") for one in _meshed(job)]
    record = JobRecord(text=text, parts=tuple(dict.fromkeys(one.id for one in kept)))
    return desk.store.jobs.add(free_name(desk.store.jobs, name), record)


def _meshed(job: schema.Job) -> list[Any]:
    """The tables of a job that name a mesh file."""
    bodies = (*job.parts, *job.anode, *job.shield, *job.thief)
    return [body for body in bodies if hasattr(body, "file")]


def _with_text(record: JobRecord, text: str) -> JobRecord:
    return JobRecord(
        text=text, parts=record.parts, bath=record.bath, tank=record.tank, supply=record.supply
    )
