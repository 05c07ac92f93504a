"""What is only ever added to a thing: a bath's events, a run's events and samples.

Each event carries a digest over itself and all before it, so that a line that was changed, left out
or slipped in later shows on checking. Events are numbered under a lock on their thing: programs
that add at the same time wait for each other, and each event gets one number.
"""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tankside.app.store_ports import StaleWrite
from tankside.app.store_records import Kind
from tankside.base.errors import BadInput
from tankside.base.wording import quoting
from tankside.bath.inventory import text as ledger_text
from tankside.bath.inventory.events import Event as BathEvent
from tankside.bath.inventory.events import Ledger, Retraction
from tankside.runs import journal
from tankside.runs.events import Event as RunEvent
from tankside.runs.series import Series
from tankside.storage.store.names import checked_text
from tankside.storage.store.rows import ChunkRow, EventRow, Reader, StreamRow, Writer
from tankside.storage.store.series_parquet import MOST_SAMPLES, parquet_of, series_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """An event as it is to be added: its id, its moment [s since 1970], and its line of text."""

    id: str
    at: float
    line: str


def ledger_of(rows: Reader, bath: str) -> Ledger:
    """All events of a bath."""
    name = _thing(rows, bath, Kind.BATH)
    lines = "".join(f"{row.line}\n" for row in rows.events(bath))
    return ledger_text.decoded(lines.encode(), where=quoting("ledger of {name}", name=name)).ledger


def add_to_ledger(rows: Writer, bath: str, events: Sequence[BathEvent]) -> None:
    """Adds events that are not there yet."""
    name = _thing(rows, bath, Kind.BATH)
    stream = rows.lock_stream(bath)
    entries = _single([_ledger_entry(event) for event in events], name)
    held = rows.events_with(bath, [entry.id for entry in entries])
    for entry in entries:
        if entry.id in held and held[entry.id].line != entry.line:
            raise BadInput(
                "another event has the id {id!r} already; nothing was added, give this one an id "
                "of its own",
                id=entry.id,
                where=name,
            )
    _check_retractions(rows, bath, events, name)
    _add(rows, stream, [entry for entry in entries if entry.id not in held])


def run_events_of(rows: Reader, run: str) -> tuple[RunEvent, ...]:
    """All events of a run."""
    name = _thing(rows, run, Kind.RUN)
    lines = "".join(f"{row.line}\n" for row in rows.events(run))
    return journal.decoded(lines.encode(), where=quoting("events of {name}", name=name)).events


def add_run_events(rows: Writer, run: str, events: Sequence[RunEvent], after: int | None) -> None:
    """Adds events behind the first `after`, or at the end."""
    name = _thing(rows, run, Kind.RUN)
    stream = rows.lock_stream(run)
    lines = [journal.encoded(event).decode().rstrip("\n") for event in events]
    held = 0
    if after is not None:
        there = [row.line for row in rows.events(run, after, len(lines))]
        if stream.length < after or there != lines[: len(there)]:
            raise StaleWrite(
                "other events were added meanwhile ({length} are held, {after} were expected); "
                "nothing was written, read them again",
                length=stream.length,
                after=after,
                where=name,
            )
        held = len(there)
    numbers = range(stream.length + 1, stream.length + 1 + len(lines) - held)
    _add(
        rows,
        stream,
        [
            Entry(id=str(number), at=event.at, line=line)
            for number, event, line in zip(numbers, events[held:], lines[held:], strict=True)
        ],
    )


def samples_of(rows: Reader, run: str) -> Series:
    """All samples of a run."""
    name = _thing(rows, run, Kind.RUN)
    parts = [
        series_of(
            row.content,
            where=quoting("samples of {name}, part {number}", name=name, number=row.number),
        )
        for row in rows.chunks(run)
    ]
    columns = ("time", "voltage", "current", "temperature")
    return Series(
        **{
            column: np.concatenate([np.empty(0), *(getattr(part, column) for part in parts)])
            for column in columns
        }
    )


def add_samples(rows: Writer, run: str, series: Series) -> None:
    """Adds the samples that are later than the last held."""
    _thing(rows, run, Kind.RUN)
    rows.lock_stream(run)
    last = rows.last_chunk(run)
    number = last.number if last else 0
    new = series.part(series.time > last.last) if last else series
    for start in range(0, len(new), MOST_SAMPLES):
        part = new.part(slice(start, start + MOST_SAMPLES))
        number += 1
        rows.add_chunk(
            ChunkRow(
                run=run,
                number=number,
                first=float(part.time[0]),
                last=float(part.time[-1]),
                count=len(part),
                content=parquet_of(part),
            )
        )


def chained(stream: StreamRow, entries: Iterable[Entry]) -> tuple[StreamRow, list[EventRow]]:
    """The rows of new events, and the stream as it is with them."""
    length, head = stream.length, stream.head
    rows = []
    for entry in entries:
        length += 1
        head = digest(head, entry.id, entry.line)
        rows.append(
            EventRow(
                stream=stream.thing,
                sequence=length,
                id=entry.id,
                at=entry.at,
                line=entry.line,
                digest=head,
            )
        )
    return StreamRow(thing=stream.thing, length=length, head=head), rows


def digest(before: str, id: str, line: str) -> str:
    """SHA-256 over the digest before, the event's id and its line."""
    return hashlib.sha256(f"{before}\n{id}\n{line}".encode()).hexdigest()


def _add(rows: Writer, stream: StreamRow, entries: Sequence[Entry]) -> None:
    if entries:
        rows.add_events(*chained(stream, entries))


def _thing(rows: Reader, id: str, kind: Kind) -> str:
    row = rows.thing(id)
    if row is None or row.kind != kind:
        raise BadInput("the store holds no {kind} with the id {id!r}", kind=kind, id=id)
    return row.name


def _ledger_entry(event: BathEvent) -> Entry:
    line = ledger_text.encoded([event]).decode().rstrip("\n")
    return Entry(id=checked_text(event.id, "event's id"), at=event.at, line=line)


def _single(entries: Sequence[Entry], where: str) -> list[Entry]:
    """Each id once; BadInput where two events share one."""
    found: dict[str, Entry] = {}
    for entry in entries:
        if found.setdefault(entry.id, entry) != entry:
            raise BadInput("two of the events have the id {id!r}", id=entry.id, where=where)
    return list(found.values())


def _check_retractions(rows: Reader, bath: str, events: Sequence[BathEvent], where: str) -> None:
    wanted = {event.of for event in events if isinstance(event, Retraction)}
    wanted -= {event.id for event in events}
    unknown = wanted - set(rows.events_with(bath, sorted(wanted)))
    if unknown:
        raise BadInput(
            "a retraction names the event {unknown!r}, which is not in the ledger",
            unknown=min(unknown),
            where=where,
        )
