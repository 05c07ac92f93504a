"""Use case: the audit of a stored run, kept with what was measured."""

from collections.abc import Mapping
from importlib.metadata import version
from typing import Any

from tankside.app.audit_a_run import AuditReply, AuditRequest
from tankside.app.keep.naming import added
from tankside.app.store_ports import Store
from tankside.app.store_records import AuditRecord, Document, Kept, RunRecord


def keep_an_audit(
    store: Store, run: Kept[RunRecord], request: AuditRequest, reply: AuditReply
) -> Kept[AuditRecord]:
    """Keeps it under the run's name, with a number from the second one on; the same again is not
    kept twice."""
    record = AuditRecord(
        measured=Document.of(measured(request)),
        found=Document.of(reply.as_json()),
        made_by=f"Tankside {version('tankside')}",
        run=run.id,
    )
    held = audits_of(store, run.id)
    if held and held[-1].value == record:
        return held[-1]
    return added(store.audits, run.name, record)


def audits_of(store: Store, run: str) -> tuple[Kept[AuditRecord], ...]:
    """All audits of a run by its id, oldest first."""
    return tuple(one for one in store.audits.all(archived=True) if one.value.run == run)


def measured(request: AuditRequest) -> Mapping[str, Any]:
    """What the person weighed and measured, as it was typed, and the charge that was counted."""
    return {
        "charge_C": request.charge,
        "before": request.before,
        "after": request.after,
        "scale": request.scale,
        "points": list(request.points),
        "resolution": request.resolution,
        "wires": request.wires,
        "seen": list(request.seen),
    }
