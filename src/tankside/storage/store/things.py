"""Things with names and revisions, over rows: the promises of `Collection`."""

import time
import uuid
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, Generic, TypeVar, cast

from tankside.app.store_ports import NothingKept, StaleWrite
from tankside.app.store_records import FIXED, KIND_WORDS, Kept, Kind
from tankside.base.errors import BadInput, UnknownName
from tankside.base.wording import quoting
from tankside.storage.store.forms import Link, files_of, links_of, text_of, value_of
from tankside.storage.store.names import name_key, plain_name
from tankside.storage.store.rows import (
    LinkRow,
    Reader,
    RevisionRow,
    Rows,
    ThingRow,
    Writer,
    written,
)

T = TypeVar("T")


def random_id() -> str:
    """An id that no other thing has, in any store."""
    return uuid.uuid4().hex


class KeptThings(Generic[T]):
    """The things of one kind in some rows."""

    def __init__(
        self,
        rows: Rows,
        kind: Kind,
        now: Callable[[], float] = time.time,
        new_id: Callable[[], str] = random_id,
    ) -> None:
        self._rows, self._kind, self._now, self._new_id = rows, kind, now, new_id

    def add(self, name: str, value: T) -> Kept[T]:
        return written(self._rows, lambda rows: self._added(rows, plain_name(name), value))

    def get(self, name: str) -> Kept[T]:
        with self._rows.reading() as rows:
            row = rows.named(self._kind, name_key(plain_name(name)))
            if row is None:
                known = [one.name for one in rows.things(self._kind)]
                if not known:
                    raise NothingKept(
                        "the store holds no {kind} yet, so none called {name!r}",
                        kind=KIND_WORDS[self._kind],
                        name=name,
                    )
                raise UnknownName(KIND_WORDS[self._kind], name, known)
            return self._kept(row, _revision(rows, row.id, row.version))

    def find(self, id: str, version: int | None = None) -> Kept[T]:
        with self._rows.reading() as rows:
            row = self._row(rows, id)
            return self._kept(row, _revision(rows, id, row.version if version is None else version))

    def all(self, *, archived: bool = False) -> tuple[Kept[T], ...]:
        with self._rows.reading() as rows:
            things = {row.id: row for row in rows.things(self._kind)}
            return tuple(
                self._kept(things[revision.thing], revision)
                for revision in rows.latest(self._kind)
                if archived or not revision.archived
            )

    def history(self, id: str) -> tuple[Kept[T], ...]:
        with self._rows.reading() as rows:
            row = self._row(rows, id)
            return tuple(self._kept(row, one) for one in rows.revisions(id))

    def revise(self, held: Kept[T], value: T) -> Kept[T]:
        if self._kind in FIXED:
            raise BadInput(
                "a {kind} stays as it was made; make another",
                kind=KIND_WORDS[self._kind],
                where=held.name,
            )

        def work(rows: Writer) -> Kept[T]:
            return self._moved(rows, self._latest(rows, held), text_of(value), value)

        return written(self._rows, work)

    def rename(self, held: Kept[T], name: str) -> Kept[T]:
        kept = plain_name(name)

        def work(rows: Writer) -> Kept[T]:
            row = self._latest(rows, held)
            if name_key(kept) != row.name_key:
                self._refuse_taken(rows, kept)
            return self._moved(rows, replace(row, name=kept, name_key=name_key(kept)))

        return written(self._rows, work)

    def archive(self, held: Kept[T]) -> Kept[T]:
        return self._filed(held, archived=True)

    def unarchive(self, held: Kept[T]) -> Kept[T]:
        return self._filed(held, archived=False)

    def remove(self, held: Kept[T]) -> None:
        def work(rows: Writer) -> None:
            self._refuse_needed(rows, self._latest(rows, held))
            rows.remove_thing(held.id)

        written(self._rows, work)

    def _added(self, rows: Writer, name: str, value: T) -> Kept[T]:
        self._refuse_taken(rows, name)
        row = ThingRow(
            id=self._new_id(),
            kind=self._kind,
            name=name,
            name_key=name_key(name),
            version=1,
            archived=False,
            created=self._now(),
        )
        rows.add_thing(row)
        return self._revised(rows, row, row.created, text_of(value), value)

    def _filed(self, held: Kept[T], *, archived: bool) -> Kept[T]:
        def work(rows: Writer) -> Kept[T]:
            return self._moved(rows, replace(self._latest(rows, held), archived=archived))

        return written(self._rows, work)

    def _row(self, rows: Reader, id: str) -> ThingRow:
        row = rows.thing(id)
        if row is None or row.kind != self._kind:
            raise BadInput(
                "the store holds no {kind} with the id {id!r}", kind=KIND_WORDS[self._kind], id=id
            )
        return row

    def _latest(self, rows: Reader, held: Kept[T]) -> ThingRow:
        row = self._row(rows, held.id)
        if row.version != held.version:
            raise _stale(self._kind, held.name, held.version, row.version)
        return row

    def _moved(self, rows: Writer, row: ThingRow, text: str = "", value: Any = None) -> Kept[T]:
        """The next revision of `row`; with the content of the last one where none is given."""
        if not text:
            text = _revision(rows, row.id, row.version).content
            value = value_of(self._kind, text, where=row.name)
        moved = replace(row, version=row.version + 1)
        if not rows.move_thing(moved, since=row.version):
            raise _stale(self._kind, row.name, row.version, row.version + 1)
        return self._revised(rows, moved, self._now(), text, value)

    def _revised(self, rows: Writer, row: ThingRow, at: float, text: str, value: Any) -> Kept[T]:
        links = links_of(value)
        _check_targets(rows, row, links)
        for file in files_of(value):
            if rows.file(file.sha256) is None:
                raise BadInput("the content of {file!r} is not kept; keep it first", file=file.name)
        revision = RevisionRow(
            thing=row.id,
            version=row.version,
            name=row.name,
            archived=row.archived,
            at=at,
            content=text,
        )
        rows.add_revision(revision, _link_rows(row, links))
        return self._kept(row, revision)

    def _kept(self, row: ThingRow, revision: RevisionRow) -> Kept[T]:
        place = quoting("{kind} {name!r}", kind=KIND_WORDS[self._kind], name=revision.name)
        return Kept(
            id=row.id,
            name=revision.name,
            version=revision.version,
            archived=revision.archived,
            created=row.created,
            changed=revision.at,
            value=cast(T, value_of(self._kind, revision.content, where=place)),
        )

    def _refuse_taken(self, rows: Reader, name: str) -> None:
        taken = rows.named(self._kind, name_key(name))
        if taken is not None:
            state = ", and archived" if taken.archived else ""
            raise BadInput(
                "a {kind} is called {taken!r} already{state}; give another name, or rename that "
                "one",
                kind=self._kind,
                taken=taken.name,
                state=state,
            )

    def _refuse_needed(self, rows: Reader, row: ThingRow) -> None:
        links = [link for link in rows.links_to(row.id) if link.thing != row.id]
        if links:
            user = rows.thing(links[0].thing)
            reason = (
                quoting("the {kind} {user!r} refers to it", kind=user.kind, user=user.name)
                if user
                else quoting("it is referred to")
            )
        elif (stream := rows.stream(row.id)) is not None and stream.length:
            reason = quoting("{length} events were added to it", length=stream.length)
        elif rows.last_chunk(row.id) is not None:
            reason = "samples were added to it"
        elif rows.costs(row.id):
            reason = "costs were booked on it"
        else:
            return
        raise BadInput(
            "{name!r} cannot be removed: {reason}; archive it instead", name=row.name, reason=reason
        )


def _revision(rows: Reader, id: str, version: int) -> RevisionRow:
    found = rows.revision(id, version)
    if found is None:
        raise BadInput(
            "there is no revision {version} of the thing with the id {id!r}", version=version, id=id
        )
    return found


def _check_targets(rows: Reader, row: ThingRow, links: Sequence[Link]) -> None:
    for link in links:
        target = rows.thing(link.id)
        if target is None or (link.kind is not None and target.kind != link.kind):
            raise BadInput(
                "it refers to a {kind} with the id {link!r}, which the store does not hold",
                kind=link.kind or "thing",
                link=link.id,
                where=row.name,
            )
        if link.version is not None and not 1 <= link.version <= target.version:
            raise BadInput(
                "it refers to revision {version} of {target!r}, which has {target_version}",
                version=link.version,
                target=target.name,
                target_version=target.version,
                where=row.name,
            )


def _link_rows(row: ThingRow, links: Sequence[Link]) -> tuple[LinkRow, ...]:
    pairs = dict.fromkeys((link.role, link.id) for link in links)
    return tuple(
        LinkRow(thing=row.id, version=row.version, role=role, target=target)
        for role, target in pairs
    )


def _stale(kind: Kind, name: str, yours: int, latest: int) -> StaleWrite:
    return StaleWrite(
        "the {kind} {name!r} was changed meanwhile (revision {latest}, and yours is {yours}); "
        "nothing was written, read it again and repeat your change",
        kind=kind,
        name=name,
        latest=latest,
        yours=yours,
    )
