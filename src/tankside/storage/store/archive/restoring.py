"""Fills an empty store from an archive: everything is checked first, then written in one go, then
checked again as any store is, before it counts."""

import binascii
import csv
import json
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from typing import Any

from tankside.app.store_records import Kind
from tankside.base.errors import BadInput
from tankside.base.wording import quoting, term
from tankside.storage.store.archive import layout
from tankside.storage.store.archive.opening import Limits, OpenedArchive
from tankside.storage.store.checking import reader_faults
from tankside.storage.store.forms import links_of, value_of
from tankside.storage.store.names import checked_text, name_key
from tankside.storage.store.rows import (
    ChunkRow,
    EventRow,
    LinkRow,
    Reader,
    RevisionRow,
    Rows,
    StreamRow,
    ThingRow,
    Writer,
)
from tankside.storage.store.series_parquet import series_of
from tankside.storage.store.streams import digest


def restored(rows: Rows, path: Path, limits: Limits | None = None) -> None:
    """The store holds what the archive holds; BadInput, with the store as it was, where it is not
    empty or the archive is not sound."""
    with OpenedArchive(path, limits) as archive:
        archive.check_all()
        with rows.writing() as writer, _told(archive.where):
            _refuse_full(writer)
            _fill(writer, archive)
            for fault in reader_faults(writer):
                raise BadInput("{fault}; nothing was restored", fault=fault, where=archive.where)


def _refuse_full(reader: Reader) -> None:
    if reader.things() or reader.files() or reader.costs():
        raise BadInput(
            "this store holds something already, and an archive goes into an empty one: give the "
            "name of a new store"
        )


def _fill(writer: Writer, archive: OpenedArchive) -> None:
    left = set(archive.paths)

    def take(path: str) -> bytes:
        left.discard(path)
        return archive.read(path)

    writer.adopt(checked_text(archive.manifest["store"], "store's identity"))
    for cells in layout.csv_rows(take(layout.FILES), layout.FILE_HEAD, layout.FILES):
        file = layout.file_row(cells)
        writer.add_file(file, take(layout.file_path(file)))
    things = [row for kind in Kind for row in _things(kind, take(layout.things_path(kind)))]
    for thing, _ in things:
        writer.add_thing(thing)
    for thing, revisions in things:
        for revision in revisions:
            writer.add_revision(revision, _links(thing, revision))
    for thing, _ in things:
        _fill_events(writer, thing, left, take)
        _fill_samples(writer, thing, left, take)
    costs = layout.csv_rows(take(layout.COSTS), layout.COST_HEAD, layout.COSTS)
    writer.add_costs([layout.cost_row(cells) for cells in costs])
    if left:
        raise BadInput("{left!r} belongs to nothing in the archive", left=min(left))


def _things(kind: Kind, content: bytes) -> Iterator[tuple[ThingRow, list[RevisionRow]]]:
    for entry in json.loads(content):
        checked_text(entry["id"], "thing's id")
        row, revisions = layout.thing_rows(
            kind, entry, name_key(checked_text(entry["name"], "name"))
        )
        if not revisions:
            raise BadInput("the {kind} {name!r} has no revision", kind=kind, name=row.name)
        yield row, revisions


def _links(thing: ThingRow, revision: RevisionRow) -> tuple[LinkRow, ...]:
    value = value_of(
        Kind(thing.kind),
        revision.content,
        where=quoting("{kind} {name!r}", kind=term(thing.kind), name=thing.name),
    )
    pairs = dict.fromkeys((link.role, link.id) for link in links_of(value))
    return tuple(
        LinkRow(thing=thing.id, version=revision.version, role=role, target=target)
        for role, target in pairs
    )


def _fill_events(writer: Writer, thing: ThingRow, left: set[str], take: Any) -> None:
    lines_path, beside_path = layout.event_paths(thing.id)
    if lines_path not in left:
        return
    lines = take(lines_path).decode().split("\n")[:-1]
    beside = list(layout.csv_rows(take(beside_path), layout.EVENT_HEAD, beside_path))
    if len(lines) != len(beside):
        raise BadInput(
            "{beside_path} does not fit {lines_path}",
            beside_path=beside_path,
            lines_path=lines_path,
        )
    rows = [
        EventRow(
            stream=thing.id,
            sequence=int(sequence),
            id=checked_text(id, "event's id"),
            at=float(at),
            line=line,
            digest=chain,
        )
        for line, (sequence, id, at, chain) in zip(lines, beside, strict=True)
    ]
    writer.lock_stream(thing.id)
    head = ""
    for row in rows:
        head = digest(head, row.id, row.line)
    writer.add_events(StreamRow(thing=thing.id, length=len(rows), head=head), rows)


def _fill_samples(writer: Writer, thing: ThingRow, left: set[str], take: Any) -> None:
    for number in count(1):
        path = layout.chunk_path(thing.id, number)
        if path not in left:
            return
        content = take(path)
        series = series_of(content, where=path)
        if not len(series):
            raise BadInput("{path} holds no samples", path=path)
        writer.add_chunk(
            ChunkRow(
                run=thing.id,
                number=number,
                first=float(series.time[0]),
                last=float(series.time[-1]),
                count=len(series),
                content=content,
            )
        )


@contextmanager
def _told(where: str) -> Iterator[None]:
    """What is wrong in the archive becomes one sentence with its name."""
    try:
        yield
    except BadInput as error:
        place = f"{where}: {error.where}" if error.where else where
        raise BadInput(error.message, where=place) from error
    except (
        ValueError, KeyError, TypeError, AttributeError, RecursionError, csv.Error, binascii.Error,
    ) as error:  # fmt: skip
        said = str(error).splitlines()[0] if str(error) else type(error).__name__
        raise BadInput(
            "it is not in the form of an archive ({said}); nothing was restored",
            said=said,
            where=where,
        ) from error
