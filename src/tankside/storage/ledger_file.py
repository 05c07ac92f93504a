"""A ledger in a file that is only ever added to, and that a kill at any moment cannot spoil.

An event is one line, on the disk before `append` returns. A kill in between leaves whole lines and
at most one torn end. That end is reported by `read`, refused by `append`, and moved into a file of
its own by `set_aside`: it is never dropped in silence, and never grown over. One program at a time
writes.
"""

from collections.abc import Sequence
from pathlib import Path

from tankside.base.errors import BadInput
from tankside.bath.inventory.events import Event, ordered
from tankside.bath.inventory.text import Decoded, decoded, encoded
from tankside.storage.append_only import AppendOnly


class LedgerFile:
    """The ledger at `path`; the file is made by the first `append`."""

    def __init__(self, path: Path) -> None:
        self._file = AppendOnly(path)

    def read(self) -> Decoded:
        """All events so far; an empty ledger where there is no file yet."""
        return decoded(self._file.content(), where=self._file.path.name)

    def append(self, events: Sequence[Event]) -> None:
        """Adds events for good; they are on the disk when this returns.

        BadInput, with nothing written, where the file's end is torn, an id is taken, or the events
        contradict the ledger; BadInput, with the file as it was, where the disk refuses.
        """
        held = self.read()
        if held.torn:
            raise BadInput(held.torn.sentence, where=self._file.path.name)
        ordered((*held.ledger, *events))
        try:
            self._file.add((b"\n" if held.unended else b"") + encoded(events))
        finally:
            self._file.close()

    def set_aside(self) -> Path | None:
        """Moves a torn end into a file beside the ledger; that file, or None where all is whole."""
        torn = self.read().torn
        return None if torn is None else self._file.cut_off(torn.offset)
