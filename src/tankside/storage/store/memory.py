"""Rows in this program's memory: for trying things out, and as an independent opinion in the tests.

Written without any database, so that what both say is not said by one. A write that fails takes
back its steps in reverse.
"""

import threading
import uuid
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TypeVar

from tankside.storage.store import rows as r

T = TypeVar("T")


@dataclass
class _Held:
    identity: str = field(default_factory=lambda: uuid.uuid4().hex)
    things: dict[str, r.ThingRow] = field(default_factory=dict)
    revisions: dict[str, list[r.RevisionRow]] = field(default_factory=dict)
    links: list[r.LinkRow] = field(default_factory=list)
    streams: dict[str, r.StreamRow] = field(default_factory=dict)
    events: dict[str, list[r.EventRow]] = field(default_factory=dict)
    chunks: dict[str, list[r.ChunkRow]] = field(default_factory=dict)
    costs: dict[str, r.CostRow] = field(default_factory=dict)
    files: dict[str, tuple[r.FileRow, bytes]] = field(default_factory=dict)


class MemoryRows:
    """Rows that are gone with the program."""

    where = "memory"

    def __init__(self) -> None:
        self._held = _Held()
        self._lock = threading.RLock()

    @contextmanager
    def reading(self) -> Iterator[r.Reader]:
        with self._lock:
            yield _Reader(self._held)

    @contextmanager
    def writing(self) -> Iterator[r.Writer]:
        with self._lock:
            writer = _Writer(self._held)
            try:
                yield writer
            except BaseException:
                writer.take_back()
                raise

    def faults(self) -> Iterator[str]:
        return iter(())

    def close(self) -> None:
        """Nothing is held open."""


class _Reader:
    def __init__(self, held: _Held) -> None:
        self._held = held

    def identity(self) -> str:
        return self._held.identity

    def thing(self, id: str) -> r.ThingRow | None:
        return self._held.things.get(id)

    def named(self, kind: str, name_key: str) -> r.ThingRow | None:
        found = (row for row in self.things(kind) if row.name_key == name_key)
        return next(found, None)

    def things(self, kind: str | None = None) -> list[r.ThingRow]:
        found = (row for row in self._held.things.values() if kind in (None, row.kind))
        return sorted(found, key=lambda row: (row.created, row.id))

    def latest(self, kind: str) -> list[r.RevisionRow]:
        return [self._held.revisions[row.id][row.version - 1] for row in self.things(kind)]

    def revision(self, thing: str, version: int) -> r.RevisionRow | None:
        found = (row for row in self.revisions(thing) if row.version == version)
        return next(found, None)

    def revisions(self, thing: str) -> list[r.RevisionRow]:
        return list(self._held.revisions.get(thing, []))

    def links(self, thing: str) -> list[r.LinkRow]:
        return self._links(row for row in self._held.links if row.thing == thing)

    def links_to(self, target: str) -> list[r.LinkRow]:
        return self._links(row for row in self._held.links if row.target == target)

    def stream(self, thing: str) -> r.StreamRow | None:
        return self._held.streams.get(thing)

    def events(self, stream: str, after: int = 0, most: int | None = None) -> Iterator[r.EventRow]:
        held = self._held.events.get(stream, [])
        return iter(held[after : None if most is None else after + most])

    def events_with(self, stream: str, ids: Sequence[str]) -> dict[str, r.EventRow]:
        wanted = set(ids)
        return {row.id: row for row in self.events(stream) if row.id in wanted}

    def count_events(self) -> int:
        return sum(map(len, self._held.events.values()))

    def last_chunk(self, run: str) -> r.ChunkRow | None:
        held = self._held.chunks.get(run)
        return held[-1] if held else None

    def chunks(self, run: str) -> Iterator[r.ChunkRow]:
        return iter(list(self._held.chunks.get(run, [])))

    def count_samples(self) -> int:
        return sum(row.count for held in self._held.chunks.values() for row in held)

    def costs(self, of: str | None = None) -> list[r.CostRow]:
        found = (row for row in self._held.costs.values() if of in (None, row.of))
        return sorted(found, key=lambda row: (row.at, row.id))

    def costs_with(self, ids: Sequence[str]) -> dict[str, r.CostRow]:
        return {id: self._held.costs[id] for id in ids if id in self._held.costs}

    def files(self) -> list[r.FileRow]:
        return [self._held.files[key][0] for key in sorted(self._held.files)]

    def file(self, sha256: str) -> r.FileRow | None:
        found = self._held.files.get(sha256)
        return found and found[0]

    def content(self, sha256: str) -> bytes | None:
        found = self._held.files.get(sha256)
        return found and found[1]

    def _links(self, found: Iterator[r.LinkRow]) -> list[r.LinkRow]:
        return sorted(found, key=lambda row: (row.thing, row.version, row.role, row.target))


class _Writer(_Reader):
    def __init__(self, held: _Held) -> None:
        super().__init__(held)
        self._steps: list[Callable[[], object]] = []

    def take_back(self) -> None:
        while self._steps:
            self._steps.pop()()

    def adopt(self, identity: str) -> None:
        before = self._held.identity
        self._held.identity = identity
        self._steps.append(lambda: setattr(self._held, "identity", before))

    def add_thing(self, row: r.ThingRow) -> None:
        if self.named(row.kind, row.name_key) or row.id in self._held.things:
            raise r.Clash("another program changed the store at the same moment")
        self._put(self._held.things, row.id, row)
        self._put(self._held.revisions, row.id, [])

    def move_thing(self, row: r.ThingRow, *, since: int) -> bool:
        if self._held.things[row.id].version != since:
            return False
        self._put(self._held.things, row.id, row)
        return True

    def remove_thing(self, id: str) -> None:
        self._drop(self._held.things, id)
        self._drop(self._held.revisions, id)
        self._drop(self._held.streams, id)
        before = self._held.links
        self._held.links = [row for row in before if row.thing != id]
        self._steps.append(lambda: setattr(self._held, "links", before))

    def add_revision(self, row: r.RevisionRow, links: Sequence[r.LinkRow]) -> None:
        self._append(self._held.revisions[row.thing], row)
        for link in links:
            self._append(self._held.links, link)

    def lock_stream(self, thing: str) -> r.StreamRow:
        if thing not in self._held.streams:
            self._put(self._held.streams, thing, r.StreamRow(thing=thing, length=0, head=""))
        return self._held.streams[thing]

    def add_events(self, stream: r.StreamRow, rows: Sequence[r.EventRow]) -> None:
        held = self._held.events.setdefault(stream.thing, [])
        for row in rows:
            self._append(held, row)
        self._put(self._held.streams, stream.thing, stream)

    def add_chunk(self, row: r.ChunkRow) -> None:
        self._append(self._held.chunks.setdefault(row.run, []), row)

    def add_costs(self, rows: Sequence[r.CostRow]) -> None:
        for row in rows:
            self._put(self._held.costs, row.id, row)

    def add_file(self, row: r.FileRow, content: bytes) -> None:
        self._put(self._held.files, row.sha256, (row, content))

    def _append(self, held: list[T], row: T) -> None:
        held.append(row)
        self._steps.append(held.pop)

    def _put(self, held: dict[str, T], key: str, row: T) -> None:
        if key in held:
            before = held[key]
            self._steps.append(lambda: held.__setitem__(key, before))
        else:
            self._steps.append(lambda: held.__delitem__(key))
        held[key] = row

    def _drop(self, held: dict[str, T], key: str) -> None:
        if key in held:
            before = held.pop(key)
            self._steps.append(lambda: held.__setitem__(key, before))
