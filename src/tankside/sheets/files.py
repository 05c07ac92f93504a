"""Writes a set of files to a folder: all of them whole, or none.

The bytes are complete before this is called. Each file is first written under a hidden name in the
same folder and only then moved to its own; whatever stops it (ctrl-C, a full disk) takes back what
was moved, so that the folder is as it was before. Refuses names that lead out of the folder.
"""

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from tankside.base.errors import BadInput


def written(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Writes `files` (name to contents) into `folder`, making it where it is not there yet.

    Returns the paths in the order given. BadInput where a name is not a plain file name, or where
    the folder cannot be written to; then nothing has changed.
    """
    for name in files:
        if Path(name).name != name or name in ("", ".", ".."):
            raise BadInput("{name!r} is not a plain file name", name=name, where=str(folder))
    try:
        with _made(folder):
            return _all_or_none(folder, files)
    except OSError as error:
        reason = error.strerror or str(error)
        raise BadInput(
            "cannot write there: {reason}; nothing was changed, give another folder",
            reason=reason,
            where=str(folder),
        ) from error


@contextmanager
def _made(folder: Path) -> Iterator[None]:
    """The folder and those above it exist inside; what was made goes again if the work fails."""
    missing = [path for path in (folder, *folder.parents) if not path.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    try:
        yield
    except BaseException:
        for path in missing:
            path.rmdir()
        raise


def _all_or_none(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write all aside, then move all in place; undo every step when one fails."""
    undo: list[tuple[Path, Path | None]] = []
    try:
        for name, contents in files.items():
            _write_aside(_aside(folder, name), contents)
        for name in files:
            undo.append((folder / name, _kept(folder, name)))
            os.replace(_aside(folder, name), folder / name)
    except BaseException:
        for target, kept in reversed(undo):
            _put_back(target, kept)
        raise
    finally:
        for name in files:
            _aside(folder, name).unlink(missing_ok=True)
            _old(folder, name).unlink(missing_ok=True)
    return tuple(folder / name for name in files)


def _write_aside(path: Path, contents: bytes) -> None:
    with path.open("wb") as stream:
        stream.write(contents)
        stream.flush()
        os.fsync(stream.fileno())


def _kept(folder: Path, name: str) -> Path | None:
    """Moves a file of this name that is there already out of the way; None where there is none."""
    if not (folder / name).exists():
        return None
    os.replace(folder / name, _old(folder, name))
    return _old(folder, name)


def _put_back(target: Path, kept: Path | None) -> None:
    if kept is None:
        target.unlink(missing_ok=True)
    elif kept.exists():
        os.replace(kept, target)


def _aside(folder: Path, name: str) -> Path:
    return folder / f".{name}.{os.getpid()}.new"


def _old(folder: Path, name: str) -> Path:
    return folder / f".{name}.{os.getpid()}.old"
