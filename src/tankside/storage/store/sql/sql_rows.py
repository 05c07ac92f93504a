"""Rows in SQLite or PostgreSQL."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import fields
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, Executable, Table, delete, func, insert, select, update

from tankside.storage.store import rows as r
from tankside.storage.store.sql import tables as t
from tankside.storage.store.sql.engine import shown_address, transaction

Row = TypeVar("Row")

_MOST_IN_LIST = 500
"""Values in one IN (...): every database takes so many."""

_THING = select(
    t.things.c.id,
    t.things.c.kind,
    t.things.c.name,
    t.things.c.name_key,
    t.things.c.version,
    t.things.c.archived,
    t.things.c.created,
)
_REVISION = select(
    t.revisions.c.thing,
    t.revisions.c.version,
    t.revisions.c.name,
    t.revisions.c.archived,
    t.revisions.c.at,
    t.revisions.c.content,
)
_LINK = select(t.links.c.thing, t.links.c.version, t.links.c.role, t.links.c.target)
_STREAM = select(t.streams.c.thing, t.streams.c.length, t.streams.c.head)
_EVENT = select(
    t.events.c.stream,
    t.events.c.sequence,
    t.events.c.id,
    t.events.c.at,
    t.events.c.line,
    t.events.c.digest,
)
_CHUNK = select(
    t.samples.c.run,
    t.samples.c.number,
    t.samples.c.first,
    t.samples.c.last,
    t.samples.c.count,
    t.samples.c.content,
)
_COST = select(
    t.costs.c.id,
    t.costs.c.at,
    t.costs.c.what,
    t.costs.c.amount,
    t.costs.c.currency,
    t.costs.c.of,
    t.costs.c.words,
)
_FILE = select(t.files.c.sha256, t.files.c.mime, t.files.c.size)


class SqlRows:
    """The rows of one database."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    @property
    def where(self) -> str:
        return shown_address(self._engine)

    @contextmanager
    def reading(self) -> Iterator[r.Reader]:
        with transaction(self._engine, writing=False) as connection:
            yield SqlReader(connection)

    @contextmanager
    def writing(self) -> Iterator[r.Writer]:
        with transaction(self._engine, writing=True) as connection:
            yield SqlWriter(connection)

    def faults(self) -> Iterator[str]:
        if self._engine.dialect.name != "sqlite":
            return
        with transaction(self._engine, writing=False) as connection:
            for (said,) in connection.exec_driver_sql("PRAGMA integrity_check"):
                if said != "ok":
                    yield f"the file is damaged: {said}"
            for row in connection.exec_driver_sql("PRAGMA foreign_key_check"):
                yield f"a row of {row[0]} refers to {row[2]} that are not there"

    def close(self) -> None:
        self._engine.dispose()


class SqlReader:
    """Reads within one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def identity(self) -> str:
        return str(self._connection.execute(select(t.store.c.identity)).scalar_one())

    def thing(self, id: str) -> r.ThingRow | None:
        return self._first(_THING.where(t.things.c.id == id), r.ThingRow)

    def named(self, kind: str, name_key: str) -> r.ThingRow | None:
        wanted = _THING.where(t.things.c.kind == kind, t.things.c.name_key == name_key)
        return self._first(wanted, r.ThingRow)

    def things(self, kind: str | None = None) -> list[r.ThingRow]:
        wanted = _THING if kind is None else _THING.where(t.things.c.kind == kind)
        return self._all(wanted.order_by(t.things.c.created, t.things.c.id), r.ThingRow)

    def latest(self, kind: str) -> list[r.RevisionRow]:
        wanted = _REVISION.join(
            t.things,
            (t.things.c.id == t.revisions.c.thing) & (t.things.c.version == t.revisions.c.version),
        ).where(t.things.c.kind == kind)
        return self._all(wanted.order_by(t.things.c.created, t.things.c.id), r.RevisionRow)

    def revision(self, thing: str, version: int) -> r.RevisionRow | None:
        wanted = _REVISION.where(t.revisions.c.thing == thing, t.revisions.c.version == version)
        return self._first(wanted, r.RevisionRow)

    def revisions(self, thing: str) -> list[r.RevisionRow]:
        wanted = _REVISION.where(t.revisions.c.thing == thing).order_by(t.revisions.c.version)
        return self._all(wanted, r.RevisionRow)

    def links(self, thing: str) -> list[r.LinkRow]:
        return self._links(_LINK.where(t.links.c.thing == thing))

    def links_to(self, target: str) -> list[r.LinkRow]:
        return self._links(_LINK.where(t.links.c.target == target))

    def stream(self, thing: str) -> r.StreamRow | None:
        return self._first(_STREAM.where(t.streams.c.thing == thing), r.StreamRow)

    def events(self, stream: str, after: int = 0, most: int | None = None) -> Iterator[r.EventRow]:
        wanted = _EVENT.where(t.events.c.stream == stream, t.events.c.sequence > after)
        return iter(self._all(wanted.order_by(t.events.c.sequence).limit(most), r.EventRow))

    def events_with(self, stream: str, ids: Sequence[str]) -> dict[str, r.EventRow]:
        found: dict[str, r.EventRow] = {}
        for some in _portions(ids):
            wanted = _EVENT.where(t.events.c.stream == stream, t.events.c.id.in_(some))
            found.update((row.id, row) for row in self._all(wanted, r.EventRow))
        return found

    def count_events(self) -> int:
        return self._sum(select(func.sum(t.streams.c.length)))

    def last_chunk(self, run: str) -> r.ChunkRow | None:
        wanted = _CHUNK.where(t.samples.c.run == run).order_by(t.samples.c.number.desc()).limit(1)
        return self._first(wanted, r.ChunkRow)

    def chunks(self, run: str) -> Iterator[r.ChunkRow]:
        wanted = _CHUNK.where(t.samples.c.run == run).order_by(t.samples.c.number)
        return iter(self._all(wanted, r.ChunkRow))

    def count_samples(self) -> int:
        return self._sum(select(func.sum(t.samples.c.count)))

    def costs(self, of: str | None = None) -> list[r.CostRow]:
        wanted = _COST if of is None else _COST.where(t.costs.c.of == of)
        found = self._all(wanted, r.CostRow)
        return sorted(found, key=lambda row: (row.at, row.id))  # databases sort texts differently

    def costs_with(self, ids: Sequence[str]) -> dict[str, r.CostRow]:
        found: dict[str, r.CostRow] = {}
        for some in _portions(ids):
            wanted = _COST.where(t.costs.c.id.in_(some))
            found.update((row.id, row) for row in self._all(wanted, r.CostRow))
        return found

    def files(self) -> list[r.FileRow]:
        return sorted(self._all(_FILE, r.FileRow), key=lambda row: row.sha256)

    def file(self, sha256: str) -> r.FileRow | None:
        return self._first(_FILE.where(t.files.c.sha256 == sha256), r.FileRow)

    def content(self, sha256: str) -> bytes | None:
        wanted = select(t.files.c.content).where(t.files.c.sha256 == sha256)
        found = self._connection.execute(wanted).scalar_one_or_none()
        return None if found is None else bytes(found)

    def _first(self, wanted: Executable, kind: type[Row]) -> Row | None:
        return next(iter(self._all(wanted, kind)), None)

    def _all(self, wanted: Executable, kind: type[Row]) -> list[Row]:
        names = _names(kind)
        found = self._connection.execute(wanted)
        return [kind(**dict(zip(names, row, strict=True))) for row in found]

    def _links(self, wanted: Executable) -> list[r.LinkRow]:
        found = self._all(wanted, r.LinkRow)
        return sorted(found, key=lambda row: (row.thing, row.version, row.role, row.target))

    def _sum(self, wanted: Executable) -> int:
        return int(self._connection.execute(wanted).scalar_one() or 0)


class SqlWriter(SqlReader):
    """Reads and adds within one transaction."""

    def adopt(self, identity: str) -> None:
        self._connection.execute(update(t.store).values(identity=identity))

    def add_thing(self, row: r.ThingRow) -> None:
        self._add(t.things, [row])

    def move_thing(self, row: r.ThingRow, *, since: int) -> bool:
        moved = self._connection.execute(
            update(t.things)
            .where(t.things.c.id == row.id, t.things.c.version == since)
            .values(
                name=row.name,
                name_key=row.name_key,
                version=row.version,
                archived=row.archived,
            )
        )
        return moved.rowcount == 1

    def remove_thing(self, id: str) -> None:
        for gone in (
            delete(t.links).where(t.links.c.thing == id),
            delete(t.revisions).where(t.revisions.c.thing == id),
            delete(t.streams).where(t.streams.c.thing == id),
            delete(t.things).where(t.things.c.id == id),
        ):
            self._connection.execute(gone)

    def add_revision(self, row: r.RevisionRow, links: Sequence[r.LinkRow]) -> None:
        self._add(t.revisions, [row])
        self._add(t.links, links)

    def lock_stream(self, thing: str) -> r.StreamRow:
        self._connection.execute(
            select(t.things.c.id).where(t.things.c.id == thing).with_for_update(key_share=True)
        )
        found = self.stream(thing)
        if found is None:
            found = r.StreamRow(thing=thing, length=0, head="")
            self._add(t.streams, [found])
        return found

    def add_events(self, stream: r.StreamRow, rows: Sequence[r.EventRow]) -> None:
        self._add(t.events, rows)
        self._connection.execute(
            update(t.streams)
            .where(t.streams.c.thing == stream.thing)
            .values(length=stream.length, head=stream.head)
        )

    def add_chunk(self, row: r.ChunkRow) -> None:
        self._add(t.samples, [row])

    def add_costs(self, rows: Sequence[r.CostRow]) -> None:
        self._add(t.costs, rows)

    def add_file(self, row: r.FileRow, content: bytes) -> None:
        values = {"sha256": row.sha256, "mime": row.mime, "size": row.size, "content": content}
        self._connection.execute(insert(t.files).values(values))

    def _add(self, table: Table, rows: Sequence[Any]) -> None:
        if rows:
            names = _names(type(rows[0]))
            values = [{name: getattr(row, name) for name in names} for row in rows]
            self._connection.execute(insert(table), values)


def _names(kind: type[Any]) -> tuple[str, ...]:
    """The fields of a frozen row, in the order in which the selects above name their columns."""
    return tuple(one.name for one in fields(kind))


def _portions(values: Sequence[str]) -> Iterator[Sequence[str]]:
    for start in range(0, len(values), _MOST_IN_LIST):
        yield values[start : start + _MOST_IN_LIST]
