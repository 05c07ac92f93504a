"""Things as the text that the database holds, and what they refer to.

A text is one JSON object: `form` is the version of this writing, `value` holds the fields. A newer
form is refused in one sentence; when a form changes, its older ones stay readable here.
"""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import tankside.app.store_records as r
from tankside.app.store_records import File, Kind
from tankside.base.errors import BadInput
from tankside.storage.store.plain import built, plain
from tankside.substances.products import Product

FORM = 1
"""Of the texts that are written."""


def text_of(value: Any) -> str:
    """A thing's value as text."""
    try:
        row = {"form": FORM, "value": plain(value)}
        text = json.dumps(row, ensure_ascii=False, allow_nan=False)
        text.encode()
    except ValueError as error:
        raise BadInput("this cannot be kept: {error}", error=error) from error
    return text


def value_of(kind: Kind, text: str, *, where: str) -> Any:
    """A thing's value from its text; BadInput where it is damaged or of a newer form."""
    try:
        row = json.loads(text)
        form, value = row["form"], row["value"]
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise BadInput("its text is damaged; restore it from an export", where=where) from error
    if form != FORM:
        raise BadInput(
            "it is written in form {form!r}, and this program reads form {ours}; use the "
            "version that wrote it, or a newer one",
            form=form,
            ours=FORM,
            where=where,
        )
    return built(type_of(kind), value, where)


def type_of(kind: Kind) -> type[Any]:
    """The type of a kind's values."""
    if kind is Kind.SHOP:
        from tankside.runs.calibration import Shop  # wakes scipy, so only when a shop is read

        return Shop
    return _TYPES[kind]


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A thing refers to another: `role` says as what, `kind` what it must be (None: anything), and
    `version` at which revision (None: as it is)."""

    role: str
    id: str
    kind: Kind | None = None
    version: int | None = None


def links_of(value: Any) -> tuple[Link, ...]:
    """What a value refers to."""
    finder = _LINKS.get(type(value))
    return tuple(finder(value)) if finder else ()


def files_of(value: Any) -> tuple[File, ...]:
    """The files of a value whose content the store must hold."""
    if isinstance(value, r.PlanRecord):
        found = value.files
    elif isinstance(value, r.PartRecord | r.PhotoRecord):
        found = (value.file,)
    else:
        found = ()
    return tuple(file for file in found if not file.path)


_TYPES: dict[Kind, type[Any]] = {
    Kind.PRODUCT: Product,
    Kind.BATH: r.BathRecord,
    Kind.PART: r.PartRecord,
    Kind.TANK: r.TankRecord,
    Kind.SUPPLY: r.SupplyRecord,
    Kind.JOB: r.JobRecord,
    Kind.PLAN: r.PlanRecord,
    Kind.RUN: r.RunRecord,
    Kind.AUDIT: r.AuditRecord,
    Kind.PHOTO: r.PhotoRecord,
}


def _one(role: str, id: str, kind: Kind) -> Iterator[Link]:
    if id:
        yield Link(role=role, id=id, kind=kind)


def _of_job(job: r.JobRecord) -> Iterator[Link]:
    for part in dict.fromkeys(job.parts):
        yield from _one("part", part, Kind.PART)
    yield from _one("bath", job.bath, Kind.BATH)
    yield from _one("tank", job.tank, Kind.TANK)
    yield from _one("supply", job.supply, Kind.SUPPLY)


def _of_plan(plan: r.PlanRecord) -> Iterator[Link]:
    for used in dict.fromkeys(plan.used):
        yield Link(role="used", id=used.id, version=used.version)


def _of_photo(photo: r.PhotoRecord) -> Iterator[Link]:
    for id in dict.fromkeys(photo.of):
        yield Link(role="shows", id=id)


_LINKS: dict[type[Any], Callable[[Any], Iterator[Link]]] = {
    r.BathRecord: lambda bath: _one("tank", bath.tank, Kind.TANK),
    r.JobRecord: _of_job,
    r.PlanRecord: _of_plan,
    r.RunRecord: lambda run: _one("plan", run.plan, Kind.PLAN),
    r.AuditRecord: lambda audit: _one("run", audit.run, Kind.RUN),
    r.PhotoRecord: _of_photo,
}
