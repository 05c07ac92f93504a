"""What stands where in an archive (a ZIP file), and how its rows are written.

manifest.json               form, program, store, moment; of every file its size and SHA-256
things/KIND.json            things of a kind, each with all its revisions, oldest first
events/ID.jsonl             a bath's or a run's events, one line each, as its ledger or journal
events/ID.csv               beside each line its number, id, moment and digest
samples/ID/NUMBER.parquet   samples of a run
files/SHA256.EXT            parts, photos, sheets, as they were
files.csv, costs.csv
"""

import csv
import io
import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields
from typing import Any, TypeVar

from tankside.base.errors import BadInput
from tankside.storage.store.rows import CostRow, EventRow, FileRow, RevisionRow, ThingRow

T = TypeVar("T")

FORMAT, VERSION = "tankside store", 1
MANIFEST, FILES, COSTS = "manifest.json", "files.csv", "costs.csv"

EVENT_HEAD = ("sequence", "id", "at_s", "digest")
COST_HEAD = ("id", "at_s", "what", "amount", "currency", "of", "words")
FILE_HEAD = ("sha256", "mime", "size_bytes")

_ENDINGS = {
    "model/stl": "stl",
    "model/obj": "obj",
    "model/ply": "ply",
    "model/3mf": "3mf",
    "model/gltf-binary": "glb",
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/webp": "webp",
    "application/pdf": "pdf",
    "application/vnd.apache.parquet": "parquet",
    "application/json": "json",
    "text/csv": "csv",
    "text/plain": "txt",
}
"""Endings of file names by type; any other type gets "bin"."""


def file_path(row: FileRow) -> str:
    """Where a kept file stands."""
    return f"files/{row.sha256}.{_ENDINGS.get(row.mime, 'bin')}"


def things_path(kind: str) -> str:
    return f"things/{kind}.json"


def event_paths(thing: str) -> tuple[str, str]:
    """Lines, and what stands beside them."""
    return f"events/{thing}.jsonl", f"events/{thing}.csv"


def chunk_path(run: str, number: int) -> str:
    return f"samples/{run}/{number:06d}.parquet"


def thing_entry(row: ThingRow, revisions: Sequence[RevisionRow]) -> dict[str, Any]:
    """A thing with its revisions, as JSON knows it."""
    return {
        "id": row.id,
        "name": row.name,
        "archived": row.archived,
        "created_s": row.created,
        "revisions": [
            {
                "version": one.version,
                "name": one.name,
                "archived": one.archived,
                "at_s": one.at,
                "content": json.loads(one.content),
            }
            for one in revisions
        ],
    }


def thing_rows(kind: str, entry: Any, name_key: str) -> tuple[ThingRow, list[RevisionRow]]:
    """The rows of such an entry."""
    revisions = [
        RevisionRow(
            thing=entry["id"],
            version=one["version"],
            name=one["name"],
            archived=one["archived"],
            at=float(one["at_s"]),
            content=json.dumps(one["content"], ensure_ascii=False, allow_nan=False),
        )
        for one in entry["revisions"]
    ]
    row = ThingRow(
        id=entry["id"],
        kind=kind,
        name=entry["name"],
        name_key=name_key,
        version=len(revisions),
        archived=entry["archived"],
        created=float(entry["created_s"]),
    )
    return row, revisions


def csv_of(head: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """A table with a head, in UTF-8."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return text.getvalue().encode()


def csv_rows(content: bytes, head: Sequence[str], where: str) -> Iterator[list[str]]:
    """The rows of such a table; BadInput where its head is another."""
    lines = csv.reader(io.StringIO(content.decode(), newline=""), strict=True)
    if next(lines, None) != list(head):
        raise BadInput("its head is not {head}", head=",".join(head), where=where)
    for line in lines:
        if len(line) != len(head):
            raise BadInput(
                "line {number} has {count} columns",
                number=lines.line_num,
                count=len(line),
                where=where,
            )
        yield line


def event_cells(row: EventRow) -> tuple[object, ...]:
    return row.sequence, row.id, repr(row.at), row.digest


def cost_cells(row: CostRow) -> tuple[object, ...]:
    return row.id, repr(row.at), row.what, row.amount, row.currency, row.of or "", row.words


def cost_row(cells: Sequence[str]) -> CostRow:
    id, at, what, amount, currency, of, words = cells
    return CostRow(
        id=id, at=float(at), what=what, amount=amount, currency=currency, of=of or None, words=words
    )


def file_cells(row: FileRow) -> tuple[object, ...]:
    return tuple(getattr(row, one.name) for one in fields(row))


def file_row(cells: Sequence[str]) -> FileRow:
    sha256, mime, size = cells
    return FileRow(sha256=sha256, mime=mime, size=int(size))
