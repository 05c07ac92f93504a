"""Use case: the printable record of a run that the pages keep, on the bench's paper."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tankside.app.work.workplace import Workplace


def record_of(place: "Workplace", id: str, prepared: str) -> bytes:
    """A PDF, with the last audit if there is one; `prepared` is the date as text."""
    from tankside.app.record_a_run import RecordRequest, record_a_run
    from tankside.app.work.readers import how_liked
    from tankside.app.work.run_audits import last_audit

    audited = last_audit(place, id)
    request = RecordRequest(
        order=place.runs.order(id),
        keeper=place.runs.seen(id),
        audit=None if audited is None else audited.audit,
        how=how_liked(place.preferences.read(), prepared),
    )
    return record_a_run(request, place.tools.run_sheets())
