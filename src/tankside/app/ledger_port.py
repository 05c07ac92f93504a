"""What the use cases need of the place where a bath's ledger is kept.

Apart from the other ports, so that only the bath's own use cases load the inventory.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from tankside.bath.inventory.events import Event
from tankside.bath.inventory.text import Decoded


class BathLedger(Protocol):
    """One bath's ledger; events are only ever added."""

    def read(self) -> Decoded:
        """All events so far, and the torn end that a kill left, if any."""
        ...

    def append(self, events: Sequence[Event]) -> None:
        """Adds events for good; BadInput where the end is torn or an id is taken."""
        ...

    def set_aside(self) -> Path | None:
        """Moves a torn end into a file of its own; that file, or None where all is whole."""
        ...
