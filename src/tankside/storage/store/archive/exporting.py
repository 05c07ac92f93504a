"""Writes a whole store into one archive: at one moment, and whole or not at all."""

import hashlib
import json
import os
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

from tankside.app.store_records import Kind
from tankside.base.errors import BadInput
from tankside.storage.store.archive import layout
from tankside.storage.store.rows import Reader, Rows

_STORED = ("image/", "model/3mf", "application/pdf")
"""Types that are compressed already."""


def exported(rows: Rows, path: Path) -> None:
    """The archive at `path`; a file that was there before is kept if anything fails."""
    with _replaced(path) as part, rows.reading() as reader:
        with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as archive:
            _written(_Writer(archive), reader)


class _Writer:
    """Puts files into an archive and notes them for the manifest."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive
        self.files: dict[str, dict[str, object]] = {}

    def add(self, path: str, content: bytes, *, packed: bool = True) -> None:
        sha256 = hashlib.sha256(content).hexdigest()
        self.files[path] = {"bytes": len(content), "sha256": sha256}
        self._put(path, content, packed)

    def manifest(self, entries: dict[str, object]) -> None:
        text = json.dumps({**entries, "files": self.files}, indent=1, ensure_ascii=False)
        self._put(layout.MANIFEST, text.encode(), packed=True)

    def _put(self, path: str, content: bytes, packed: bool) -> None:
        how = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
        info = zipfile.ZipInfo(path, date_time=(1980, 1, 1, 0, 0, 0))
        self._archive.writestr(info, content, compress_type=how)


def _written(archive: _Writer, reader: Reader) -> None:
    for kind in Kind:
        entries = [layout.thing_entry(row, reader.revisions(row.id)) for row in reader.things(kind)]
        text = json.dumps(entries, indent=1, ensure_ascii=False, allow_nan=False)
        archive.add(layout.things_path(kind), text.encode())
    for row in reader.things():
        _write_events(archive, reader, row.id)
        for chunk in reader.chunks(row.id):
            path = layout.chunk_path(row.id, chunk.number)
            archive.add(path, chunk.content, packed=False)
    archive.add(
        layout.COSTS, layout.csv_of(layout.COST_HEAD, map(layout.cost_cells, reader.costs()))
    )
    files = reader.files()
    archive.add(layout.FILES, layout.csv_of(layout.FILE_HEAD, map(layout.file_cells, files)))
    for file in files:
        packed = not file.mime.startswith(_STORED)
        archive.add(layout.file_path(file), reader.content(file.sha256) or b"", packed=packed)
    archive.manifest(_head(reader.identity()))


def _write_events(archive: _Writer, reader: Reader, thing: str) -> None:
    rows = list(reader.events(thing))
    if rows:
        lines, beside = layout.event_paths(thing)
        archive.add(lines, "".join(f"{row.line}\n" for row in rows).encode())
        archive.add(beside, layout.csv_of(layout.EVENT_HEAD, map(layout.event_cells, rows)))


def _head(identity: str) -> dict[str, object]:
    return {
        "format": layout.FORMAT,
        "version": layout.VERSION,
        "made_by": f"Tankside {version('tankside')}",
        "made_at": datetime.now(UTC).isoformat(timespec="seconds"),
        "store": identity,
    }


@contextmanager
def _replaced(path: Path) -> Iterator[Path]:
    """A file beside `path` to write into, which takes its place once it is whole and on disk."""
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        yield part
        with part.open("rb+") as file:
            os.fsync(file.fileno())
        os.replace(part, path)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BadInput(
            "the export cannot be written: {reason}; give another place",
            reason=reason,
            where=str(path),
        ) from error
    finally:
        part.unlink(missing_ok=True)
