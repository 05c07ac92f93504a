"""The ledger of a bath in the store, to the use cases the same as a ledger's file."""

from collections.abc import Sequence
from pathlib import Path

from tankside.app.store_ports import Store
from tankside.bath.inventory.events import Event
from tankside.bath.inventory.text import Decoded


class StoredLedger:
    """A stored bath's ledger, by the bath's id."""

    def __init__(self, store: Store, bath: str) -> None:
        self._store, self._bath = store, bath

    def read(self) -> Decoded:
        """All events so far; a store leaves no torn end."""
        return Decoded(ledger=self._store.ledger(self._bath), torn=None)

    def append(self, events: Sequence[Event]) -> None:
        """Adds events for good; BadInput where another event has an id of theirs."""
        self._store.add_to_ledger(self._bath, events)

    def set_aside(self) -> Path | None:
        """Nothing ever is."""
        return None
