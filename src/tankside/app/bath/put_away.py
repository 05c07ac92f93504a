"""Use case: a bath that was handed over is put away: it leaves the lists, and its ledger stays."""

from dataclasses import replace

from tankside.app.bath.moments import told_day
from tankside.app.store_ports import Store
from tankside.app.store_records import BathRecord, Kept
from tankside.base.errors import BadInput

LONGEST = 200
"""Characters that say to whom."""


def put_away(store: Store, bath: str, *, to: str = "", at: float) -> Kept[BathRecord]:
    """Out of the lists of baths in use; `to` whom it was handed, and the day of `at` [s since
    1970-01-01 UTC], stand in its remarks. Nothing of it is lost."""
    kept = store.baths.find(bath)
    if kept.archived:
        return kept
    whom = " ".join(to.split())
    if len(whom) > LONGEST:
        raise BadInput(
            "say to whom in {longest} letters, not {given}", longest=LONGEST, given=len(whom)
        )
    said = f"Handed over on {told_day(at)}{f' to {whom}' if whom else ''}."
    notes = f"{kept.value.notes} {said}".strip()
    return store.baths.archive(store.baths.revise(kept, replace(kept.value, notes=notes)))


def taken_back_into_use(store: Store, bath: str) -> Kept[BathRecord]:
    """The same the other way; what was said of it stays in its remarks."""
    kept = store.baths.find(bath)
    return store.baths.unarchive(kept) if kept.archived else kept
