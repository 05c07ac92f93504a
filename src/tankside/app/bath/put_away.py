"""Use case: a bath that was handed over is put away: it leaves the lists, and its ledger stays."""

from tankside.app.store_ports import Store
from tankside.app.store_records import BathRecord, Kept


def put_away(store: Store, bath: str) -> Kept[BathRecord]:
    """Out of the lists of baths in use; nothing of it is lost."""
    kept = store.baths.find(bath)
    return kept if kept.archived else store.baths.archive(kept)


def taken_back_into_use(store: Store, bath: str) -> Kept[BathRecord]:
    """The same the other way."""
    kept = store.baths.find(bath)
    return store.baths.unarchive(kept) if kept.archived else kept
