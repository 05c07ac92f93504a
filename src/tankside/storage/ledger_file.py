"""A ledger in a file that is only ever added to, and that a kill at any moment cannot spoil.

An event is one line, written at the end of the file in one go and flushed to the disk before
`append` returns. A kill in between leaves whole lines and at most one torn end. That end is
reported by `read`, refused by `append`, and moved into a file of its own by `set_aside`: it is
never dropped in silence, and never grown over. One program at a time writes.
"""

import os
from collections.abc import Sequence
from pathlib import Path

from tankside.base.errors import BadInput
from tankside.bath.inventory.events import Event, ordered
from tankside.bath.inventory.text import Decoded, decoded, encoded

_FLAGS = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0)


class LedgerFile:
    """The ledger at `path`; the file is made by the first `append`."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def read(self) -> Decoded:
        """All events so far; an empty ledger where there is no file yet."""
        return decoded(self._content(), where=self._path.name)

    def append(self, events: Sequence[Event]) -> None:
        """Adds events for good; they are on the disk when this returns.

        BadInput, with nothing written, where the file's end is torn, an id is taken, or the events
        contradict the ledger; BadInput, with the file as it was, where the disk refuses.
        """
        held = self.read()
        if held.torn:
            raise BadInput(held.torn.sentence, where=self._path.name)
        ordered((*held.ledger, *events))
        self._write((b"\n" if held.unended else b"") + encoded(events))

    def set_aside(self) -> Path | None:
        """Moves a torn end into a file beside the ledger; that file, or None where all is whole."""
        torn = self.read().torn
        if torn is None:
            return None
        aside = self._free_name()
        _written_whole(aside, torn.content)
        with self._path.open("r+b") as file:
            file.truncate(torn.offset)
            os.fsync(file.fileno())
        return aside

    def _content(self) -> bytes:
        try:
            return self._path.read_bytes()
        except FileNotFoundError:
            return b""
        except OSError as error:
            raise BadInput(
                f"the ledger cannot be read: {_reason(error)}", where=str(self._path)
            ) from error

    def _write(self, content: bytes) -> None:
        new = not self._path.exists()
        try:
            descriptor = os.open(self._path, _FLAGS, 0o644)
            try:
                _appended(descriptor, content)
            finally:
                os.close(descriptor)
            if new:
                _flush_folder(self._path.parent)
        except OSError as error:
            raise BadInput(
                f"the events were not written: {_reason(error)}; make room and enter them again",
                where=str(self._path),
            ) from error

    def _free_name(self) -> Path:
        number = 1
        while (aside := self._path.with_name(f"{self._path.name}.torn-{number}")).exists():
            number += 1
        return aside


def _appended(descriptor: int, content: bytes) -> None:
    """Writes to the end and flushes; takes back what was written where the disk refuses."""
    before = os.fstat(descriptor).st_size
    try:
        left = memoryview(content)
        while left:
            left = left[os.write(descriptor, left) :]
        os.fsync(descriptor)
    except OSError:
        os.ftruncate(descriptor, before)
        raise


def _written_whole(path: Path, content: bytes) -> None:
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _flush_folder(folder: Path) -> None:
    """Makes the new file's name last; Windows has no such call and needs none."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _reason(error: OSError) -> str:
    return (error.strerror or type(error).__name__).lower()
