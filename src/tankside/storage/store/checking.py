"""Reads a whole store again and names every fault: what the database finds, what does not decode,
what refers to nothing, and where the chain of events is broken."""

import hashlib
from collections.abc import Iterator

from tankside.app.store_records import Kind
from tankside.base.errors import TanksideError
from tankside.bath.inventory import text as ledger_text
from tankside.runs import journal
from tankside.storage.store.forms import files_of, links_of, value_of
from tankside.storage.store.names import name_key
from tankside.storage.store.rows import Reader, RevisionRow, Rows, ThingRow
from tankside.storage.store.series_parquet import series_of
from tankside.storage.store.store import cost_of
from tankside.storage.store.streams import digest


def faults(rows: Rows) -> Iterator[str]:
    """A sentence for every fault; none where all is well."""
    yield from rows.faults()
    with rows.reading() as reader:
        yield from reader_faults(reader)


def reader_faults(reader: Reader) -> Iterator[str]:
    """The same, of what one reader sees."""
    for row in reader.things():
        yield from _thing(reader, row)
        yield from _events(reader, row)
        yield from _samples(reader, row)
    for cost in reader.costs():
        try:
            cost_of(cost)
        except TanksideError as error:
            yield str(error)
        if cost.of is not None and reader.thing(cost.of) is None:
            yield f"the cost {cost.id} belongs to {cost.of}, which is not there"
    for file in reader.files():
        content = reader.content(file.sha256) or b""
        if hashlib.sha256(content).hexdigest() != file.sha256 or len(content) != file.size:
            yield f"the file {file.sha256[:12]} is not what it was when it was kept"


def _thing(reader: Reader, row: ThingRow) -> Iterator[str]:
    where = f"{row.kind} {row.name!r}"
    if row.kind not in [kind.value for kind in Kind]:
        yield f"{where}: this kind is not known; a newer version of the program made it"
        return
    revisions = reader.revisions(row.id)
    if [one.version for one in revisions] != list(range(1, row.version + 1)):
        yield f"{where}: revisions are lacking"
        return
    last = revisions[-1]
    if (last.name, last.archived) != (row.name, row.archived) or name_key(row.name) != row.name_key:
        yield f"{where}: its last revision says otherwise"
    for revision in revisions:
        yield from _revision(reader, row, revision, f"{where}, revision {revision.version}")


def _revision(reader: Reader, row: ThingRow, revision: RevisionRow, where: str) -> Iterator[str]:
    try:
        value = value_of(Kind(row.kind), revision.content, where=where)
    except TanksideError as error:
        yield str(error)
        return
    links = links_of(value)
    held = [one for one in reader.links(row.id) if one.version == revision.version]
    if {(link.role, link.id) for link in links} != {(one.role, one.target) for one in held}:
        yield f"{where}: what it refers to is not as its content says"
    for link in links:
        if reader.thing(link.id) is None:
            yield f"{where}: it refers to {link.id}, which is not there"
    for file in files_of(value):
        if reader.file(file.sha256) is None:
            yield f"{where}: the content of {file.name!r} is not there"


def _events(reader: Reader, row: ThingRow) -> Iterator[str]:
    stream = reader.stream(row.id)
    if stream is None:
        return
    where, number, head, lines = f"events of {row.name!r}", 0, "", []
    for event in reader.events(row.id):
        number += 1
        head = digest(head, event.id, event.line)
        if event.sequence != number:
            yield f"{where}: number {number} is lacking"
            return
        if event.digest != head:
            yield f"{where}: number {number} was changed, or one before it was taken out"
            return
        lines.append(event.line)
    if (number, head) != (stream.length, stream.head):
        yield f"{where}: {stream.length} were added, and {number} are there"
    content = "".join(f"{line}\n" for line in lines).encode()
    try:
        if row.kind == Kind.BATH:
            ledger_text.decoded(content, where=where)
        else:
            journal.decoded(content, where=where)
    except TanksideError as error:
        yield str(error)


def _samples(reader: Reader, row: ThingRow) -> Iterator[str]:
    number, last = 0, float("-inf")
    for chunk in reader.chunks(row.id):
        number += 1
        where = f"samples of {row.name!r}, part {chunk.number}"
        if chunk.number != number:
            yield f"{where}: the part before it is lacking"
        try:
            series = series_of(chunk.content, where=where)
        except TanksideError as error:
            yield str(error)
            continue
        said = (chunk.count, chunk.first, chunk.last)
        if not len(series) or said != (len(series), series.time[0], series.time[-1]):
            yield f"{where}: it does not hold what it is said to hold"
        elif series.time[0] <= last:
            yield f"{where}: it begins before the last one ends"
        last = chunk.last
