"""Rows of the store as frozen values, and what anything that holds rows can do.

Three implementations stand behind this: SQLite and PostgreSQL by one set of statements (sql/), and
a plain one in memory (memory.py), which is also the independent opinion in the tests. Work is done
inside `reading()`, which sees one state of everything, or `writing()`, which is done wholly or not
at all; what `writing()` did is on the disk when it ends.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Protocol, TypeVar

from tankside.base.errors import BadInput

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class ThingRow:
    """A thing's latest revision: `name_key` is its name for comparing. Moments [s since 1970]."""

    id: str
    kind: str
    name: str
    name_key: str
    version: int
    archived: bool
    created: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionRow:
    """What a thing was at one version; `at` [s since 1970]."""

    thing: str
    version: int
    name: str
    archived: bool
    at: float
    content: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkRow:
    """A revision refers to another thing in a role."""

    thing: str
    version: int
    role: str
    target: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StreamRow:
    """How many events were added to a thing, and the digest that the last one carries."""

    thing: str
    length: int
    head: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EventRow:
    """An event: its number in the stream from 1, its id there, its moment [s since 1970], its line
    of text, and the digest over it and all before it."""

    stream: str
    sequence: int
    id: str
    at: float
    line: str
    digest: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChunkRow:
    """Samples of a run as a Parquet file: number from 1, first and last moment [s since 1970]."""

    run: str
    number: int
    first: float
    last: float
    count: int
    content: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class CostRow:
    """A cost; `amount` is a decimal number as text, `of` the id of a thing or None."""

    id: str
    at: float
    what: str
    amount: str
    currency: str
    of: str | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FileRow:
    """A kept file without its content; `size` in bytes."""

    sha256: str
    mime: str
    size: int


class Reader(Protocol):
    """Rows as they stand at one moment. Lists come in the order of their keys."""

    def identity(self) -> str: ...
    def thing(self, id: str) -> ThingRow | None: ...
    def named(self, kind: str, name_key: str) -> ThingRow | None: ...
    def things(self, kind: str | None = None) -> list[ThingRow]: ...
    def latest(self, kind: str) -> list[RevisionRow]:
        """The latest revision of every thing of a kind."""
        ...

    def revision(self, thing: str, version: int) -> RevisionRow | None: ...
    def revisions(self, thing: str) -> list[RevisionRow]: ...
    def links(self, thing: str) -> list[LinkRow]: ...
    def links_to(self, target: str) -> list[LinkRow]: ...
    def stream(self, thing: str) -> StreamRow | None: ...
    def events(
        self, stream: str, after: int = 0, most: int | None = None
    ) -> Iterator[EventRow]: ...
    def events_with(self, stream: str, ids: Sequence[str]) -> dict[str, EventRow]: ...
    def count_events(self) -> int: ...
    def last_chunk(self, run: str) -> ChunkRow | None: ...
    def chunks(self, run: str) -> Iterator[ChunkRow]: ...
    def count_samples(self) -> int: ...
    def costs(self, of: str | None = None) -> list[CostRow]: ...
    def costs_with(self, ids: Sequence[str]) -> dict[str, CostRow]: ...
    def files(self) -> list[FileRow]: ...
    def file(self, sha256: str) -> FileRow | None: ...
    def content(self, sha256: str) -> bytes | None: ...


class Writer(Reader, Protocol):
    """Rows that can be added to. There is no way to change an event, a chunk, a cost or a file."""

    def adopt(self, identity: str) -> None:
        """Takes over an export's identity, on restoring it."""
        ...

    def add_thing(self, row: ThingRow) -> None: ...
    def move_thing(self, row: ThingRow, *, since: int) -> bool:
        """Makes `row` the latest where the version still is `since`; says whether it was."""
        ...

    def remove_thing(self, id: str) -> None:
        """With its revisions and links."""
        ...

    def add_revision(self, row: RevisionRow, links: Sequence[LinkRow]) -> None: ...
    def lock_stream(self, thing: str) -> StreamRow:
        """A thing's stream, made if needed; nobody else adds to it until the work is done."""
        ...

    def add_events(self, stream: StreamRow, rows: Sequence[EventRow]) -> None:
        """Events behind the last, with the stream as it then is."""
        ...

    def add_chunk(self, row: ChunkRow) -> None: ...
    def add_costs(self, rows: Sequence[CostRow]) -> None: ...
    def add_file(self, row: FileRow, content: bytes) -> None: ...


class Rows(Protocol):
    """Whatever holds rows."""

    @property
    def where(self) -> str: ...
    def reading(self) -> AbstractContextManager[Reader]: ...
    def writing(self) -> AbstractContextManager[Writer]: ...
    def faults(self) -> Iterator[str]:
        """What the database itself finds wrong with its file."""
        ...

    def close(self) -> None: ...


class Clash(BadInput):
    """Two programs did the same at the same moment; nothing was written by this one."""


def written(rows: Rows, work: Callable[[Writer], T]) -> T:
    """What `work` gives, done wholly or not at all; after a clash it is done once more, and then
    sees what the other program did."""
    try:
        with rows.writing() as writer:
            return work(writer)
    except Clash:
        with rows.writing() as writer:
            return work(writer)
