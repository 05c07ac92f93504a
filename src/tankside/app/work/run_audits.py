"""Use case: the audit of a run that the pages keep: what was weighed, measured and seen, and what
follows from it. It is kept in the store, each time anew."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import Kind, told
from tankside.runs.audit_words import SURPRISING

if TYPE_CHECKING:
    from tankside.app.audit_a_run import AuditReply, AuditRequest
    from tankside.app.store_records import Kept, PhotoRecord, RunRecord
    from tankside.app.work.workplace import Workplace

PLANNED_PLACES = {"mean": "anywhere", "min": "the thinnest place", "max": "the thickest place"}
"""Places that every plan names, by the key of its thickness there."""


@dataclass(frozen=True, kw_only=True)
class TypedAudit:
    """As it was typed: weights before and after, what wires gained that were weighed with the part,
    the scale's division and the callipers' resolution ("" for the usual ones), calliper readings as
    (place, thickness, planned thickness or ""), and what was seen."""

    before: str = ""
    after: str = ""
    wires: str = ""
    scale: str = ""
    resolution: str = ""
    points: Sequence[tuple[str, str, str]] = ()
    seen: Sequence[str] = field(default=())


def audit_run(place: "Workplace", id: str, typed: TypedAudit) -> "AuditReply":
    """Audits and keeps it; BadInput, placed at what was typed, where that cannot be."""
    from tankside.app.audit_a_run import audit_a_run
    from tankside.app.keep.keep_an_audit import keep_an_audit

    run = kept_run(place, id)
    request = _request(place, id, typed)
    reply = audit_a_run(request)
    keep_an_audit(place.store, run, request, reply)
    return reply


def last_audit(place: "Workplace", id: str) -> "AuditReply | None":
    """The last audit kept of a run, computed anew from what was measured."""
    from tankside.app.audit_a_run import audit_a_run, request_of

    measured = last_measured(place, id)
    if measured is None:
        return None
    return audit_a_run(request_of(place.runs.order(id), measured))


def contradicts(found: "AuditReply") -> bool:
    """Whether mass, charge and area disagree beyond chance."""
    return found.audit.chance < SURPRISING


def last_measured(place: "Workplace", id: str) -> Mapping[str, Any] | None:
    """What was measured for the last audit of a run; None where there is none."""
    from tankside.app.keep.keep_an_audit import audits_of

    kept = str(place.runs.how(id).get("kept", ""))
    held = audits_of(place.store, kept) if kept else ()
    return held[-1].value.measured.entries() if held else None


def kept_run(place: "Workplace", id: str) -> "Kept[RunRecord]":
    """The run in the store; BadInput where it is not there yet."""
    kept = str(place.runs.how(id).get("kept", ""))
    if not kept:
        place.runs.changed(id)
        kept = str(place.runs.how(id).get("kept", ""))
    if not kept:
        raise BadInput("this run is not in the store yet; end it first")
    return place.store.runs.find(kept)


def planned_places(place: "Workplace", id: str) -> dict[str, float]:
    """Thickness [m] that the plan gives at the places it names."""
    planned: dict[str, float] = {}
    stored = str(place.runs.how(id).get("stored_plan", ""))
    if stored:
        spread = place.store.plans.find(stored).value.reply.entries().get("thickness_um", {})
        planned = {
            words: 1e-6 * float(spread[key])
            for key, words in PLANNED_PLACES.items()
            if spread.get(key, 0.0) > 0.0
        }
    return planned or {PLANNED_PLACES["mean"]: place.runs.order(id).planned_thickness}


def photos_of(place: "Workplace", id: str) -> "tuple[Kept[PhotoRecord], ...]":
    """Photos that show a run, oldest first."""
    kept = str(place.runs.how(id).get("kept", ""))
    return tuple(one for one in place.store.photos.all() if kept and kept in one.value.of)


def photo_of(place: "Workplace", id: str) -> "tuple[PhotoRecord, bytes]":
    """A photo and its content by its id in the store."""
    record = next(
        (one.value for one in place.store.photos.all(archived=True) if one.id == id), None
    )
    if record is None:
        raise UnknownName("the photo", id[:60], ())
    return record, place.store.content(record.file.sha256)


def keep_photo(place: "Workplace", id: str, name: str, content: bytes, words: str = "") -> None:
    """A photo of what came of a run; BadInput where it is none, or too large."""
    from tankside.app.keep.keep_a_photo import keep_a_photo

    run = kept_run(place, id)
    keep_a_photo(place.store, name, content, of=(f"run:{run.name}",), words=words)


def _request(place: "Workplace", id: str, typed: TypedAudit) -> "AuditRequest":
    from tankside.app.audit_a_run import AuditRequest
    from tankside.app.show_a_run import show_a_run

    order = place.runs.order(id)
    named = planned_places(place, id)
    return AuditRequest(
        order=order,
        charge=show_a_run(order, place.runs.seen(id)).charge,
        before=typed.before.strip(),
        after=typed.after.strip(),
        wires=typed.wires.strip(),
        scale=typed.scale.strip() or AuditRequest.scale,
        resolution=typed.resolution.strip() or AuditRequest.resolution,
        points=tuple(
            _point(place_, thickness, planned, named)
            for place_, thickness, planned in typed.points
            if place_.strip() or thickness.strip()
        ),
        seen=tuple(one.strip() for one in typed.seen if one.strip()),
    )


def _point(place: str, thickness: str, planned: str, named: Mapping[str, float]) -> str:
    """As the audit reads it; the plan's thickness is looked up where the place is one it names."""
    if not place.strip() or not thickness.strip():
        raise BadInput("a calliper reading needs a place and a thickness", where=place or thickness)
    wanted = planned.strip()
    if not wanted and place.strip() in named:
        wanted = told(named[place.strip()], Kind.LENGTH, digits=6)
    shown = place.strip().replace("=", " ")
    return f"{shown}={thickness.strip()}" + (f"/{wanted}" if wanted else "")
