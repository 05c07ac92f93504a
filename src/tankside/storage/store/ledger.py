"""A bath's ledger in the store, for the use cases that know only a ledger."""

from collections.abc import Sequence
from pathlib import Path

from tankside.app.store_ports import Store
from tankside.bath.inventory.events import Event
from tankside.bath.inventory.text import Decoded


class StoredLedger:
    """The ledger of the bath with this id; a database tears nothing, so nothing is set aside."""

    def __init__(self, store: Store, bath: str) -> None:
        self._store, self._bath = store, bath

    def read(self) -> Decoded:
        """All events so far."""
        return Decoded(ledger=self._store.ledger(self._bath))

    def append(self, events: Sequence[Event]) -> None:
        """Adds events for good."""
        self._store.add_to_ledger(self._bath, events)

    def set_aside(self) -> Path | None:
        """None: all is whole."""
        return None
