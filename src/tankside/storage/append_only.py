"""A file of lines that is only ever added to, and that a kill at any moment cannot spoil.

A line is written at the end in one go, and is on the disk when `add` returns, or at the first `add`
after `delay` seconds. A kill leaves whole lines and at most one torn end, which `torn_end` moves
into a file of its own: never dropped in silence, never grown over.
"""

import os
import time
from collections.abc import Callable
from pathlib import Path

from tankside.base.errors import BadInput

_FLAGS = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0)


class AppendOnly:
    """The file at `path`, made by the first line; one program at a time writes."""

    def __init__(
        self, path: Path, *, delay: float = 0.0, now: Callable[[], float] = time.monotonic
    ) -> None:
        self.path, self.delay, self._now = path, delay, now
        self._descriptor: int | None = None
        self._flushed = now()

    def content(self) -> bytes:
        """Everything in the file, b"" where there is none."""
        try:
            return self.path.read_bytes()
        except FileNotFoundError:
            return b""
        except OSError as error:
            raise BadInput(
                "cannot be read: {error}", error=_reason(error), where=str(self.path)
            ) from error

    def add(self, lines: bytes) -> None:
        """Whole lines at the end; BadInput, with the file as it was, where the disk refuses."""
        if not lines.endswith(b"\n"):
            raise ValueError("only whole lines are added")
        try:
            descriptor = self._opened()
            before = os.fstat(descriptor).st_size
            try:
                left = memoryview(lines)
                while left:
                    left = left[os.write(descriptor, left) :]
                if self._now() - self._flushed >= self.delay:
                    self.flush()
            except OSError:
                os.ftruncate(descriptor, before)
                raise
        except OSError as error:
            raise BadInput(
                "nothing can be added: {error}; make room",
                error=_reason(error),
                where=str(self.path),
            ) from error

    def flush(self) -> None:
        """All that was added is on the disk."""
        if self._descriptor is not None:
            os.fsync(self._descriptor)
            self._flushed = self._now()

    def close(self) -> None:
        """Flushed, and given up."""
        if self._descriptor is not None:
            self.flush()
            os.close(self._descriptor)
            self._descriptor = None

    def torn_end(self) -> Path | None:
        """Moves what follows the last whole line into a file beside this; None where all is
        whole."""
        content = self.content()
        whole = content.rfind(b"\n") + 1
        if whole == len(content):
            return None
        return self.cut_off(whole)

    def cut_off(self, end: int) -> Path:
        """Moves all that follows the first `end` bytes into a file beside this."""
        content = self.content()
        number = 1
        while (aside := self.path.with_name(f"{self.path.name}.torn-{number}")).exists():
            number += 1
        with aside.open("xb") as file:
            file.write(content[end:])
            file.flush()
            os.fsync(file.fileno())
        with self.path.open("r+b") as file:
            file.truncate(end)
            os.fsync(file.fileno())
        return aside

    def _opened(self) -> int:
        if self._descriptor is None:
            new = not self.path.exists()
            self._descriptor = os.open(self.path, _FLAGS, 0o644)
            if new:
                _flush_folder(self.path.parent)
        return self._descriptor


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
