"""The store over rows: what app/store_ports.py promises, whatever holds the rows."""

import hashlib
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

import tankside.app.store_records as r
from tankside.app.store_ports import StoreSummary
from tankside.app.store_records import Cost, File, Kind
from tankside.base.errors import BadInput
from tankside.base.wording import quoting
from tankside.bath.inventory.events import Event as BathEvent
from tankside.bath.inventory.events import Ledger
from tankside.runs.events import Event as RunEvent
from tankside.runs.series import Series
from tankside.storage.store import streams
from tankside.storage.store.names import checked_text, checked_words
from tankside.storage.store.rows import CostRow, FileRow, Rows, ThingRow, Writer, written
from tankside.storage.store.things import KeptThings, random_id
from tankside.substances.products import Product

if TYPE_CHECKING:
    from tankside.runs.calibration import Shop

LARGEST_FILE = 256 * 2**20
"""Of one kept file [bytes]; every database takes so much in one value."""


class KeptStore:
    """A store in some rows."""

    def __init__(
        self,
        rows: Rows,
        now: Callable[[], float] = time.time,
        new_id: Callable[[], str] = random_id,
    ) -> None:
        self._rows = rows
        self.where = rows.where
        self.products = KeptThings[Product](rows, Kind.PRODUCT, now, new_id)
        self.baths = KeptThings[r.BathRecord](rows, Kind.BATH, now, new_id)
        self.parts = KeptThings[r.PartRecord](rows, Kind.PART, now, new_id)
        self.tanks = KeptThings[r.TankRecord](rows, Kind.TANK, now, new_id)
        self.supplies = KeptThings[r.SupplyRecord](rows, Kind.SUPPLY, now, new_id)
        self.jobs = KeptThings[r.JobRecord](rows, Kind.JOB, now, new_id)
        self.plans = KeptThings[r.PlanRecord](rows, Kind.PLAN, now, new_id)
        self.runs = KeptThings[r.RunRecord](rows, Kind.RUN, now, new_id)
        self.audits = KeptThings[r.AuditRecord](rows, Kind.AUDIT, now, new_id)
        self.shops: KeptThings[Shop] = KeptThings(rows, Kind.SHOP, now, new_id)
        self.photos = KeptThings[r.PhotoRecord](rows, Kind.PHOTO, now, new_id)

    def ledger(self, bath: str) -> Ledger:
        with self._rows.reading() as rows:
            return streams.ledger_of(rows, bath)

    def add_to_ledger(self, bath: str, events: Sequence[BathEvent]) -> None:
        written(self._rows, lambda rows: streams.add_to_ledger(rows, bath, events))

    def run_events(self, run: str) -> tuple[RunEvent, ...]:
        with self._rows.reading() as rows:
            return streams.run_events_of(rows, run)

    def add_run_events(
        self, run: str, events: Sequence[RunEvent], *, after: int | None = None
    ) -> None:
        written(self._rows, lambda rows: streams.add_run_events(rows, run, events, after))

    def series(self, run: str) -> Series:
        with self._rows.reading() as rows:
            return streams.samples_of(rows, run)

    def add_samples(self, run: str, series: Series) -> None:
        written(self._rows, lambda rows: streams.add_samples(rows, run, series))

    def keep_file(self, content: bytes, *, name: str, mime: str) -> File:
        if len(content) > LARGEST_FILE:
            raise BadInput(
                "{name} is larger than {most} MiB; make it smaller",
                name=name,
                most=LARGEST_FILE // 2**20,
            )
        sha256 = hashlib.sha256(content).hexdigest()
        row = FileRow(sha256=sha256, mime=checked_text(mime, "file's type"), size=len(content))
        kept = File(name=checked_text(name, "file's name"), mime=mime, sha256=sha256, size=row.size)
        written(self._rows, lambda rows: _add_file(rows, row, content))
        return kept

    def content(self, sha256: str) -> bytes:
        with self._rows.reading() as rows:
            found = rows.content(sha256)
        if found is None:
            raise BadInput("the store keeps no file with the hash {sha256!r}", sha256=sha256)
        if hashlib.sha256(found).hexdigest() != sha256:
            raise BadInput(
                "the file {sha256} in the store is damaged; restore an export", sha256=sha256[:12]
            )
        return found

    def costs(self, of: str | None = None) -> tuple[Cost, ...]:
        with self._rows.reading() as rows:
            return tuple(cost_of(row) for row in rows.costs(of))

    def add_costs(self, costs: Sequence[Cost]) -> None:
        new = {cost.id: _cost_row(cost) for cost in costs}
        if len(new) != len(costs):
            raise BadInput("two costs have one id; nothing was added")
        written(self._rows, lambda rows: _add_costs(rows, new))

    def summary(self) -> StoreSummary:
        with self._rows.reading() as rows:
            things, files = rows.things(), rows.files()
            return StoreSummary(
                where=self.where,
                identity=rows.identity(),
                things={kind: _count(things, kind, archived=False) for kind in Kind},
                archived={kind: _count(things, kind, archived=True) for kind in Kind},
                events=rows.count_events(),
                samples=rows.count_samples(),
                files=len(files),
                file_size=sum(file.size for file in files),
                costs=len(rows.costs()),
            )

    def check(self) -> Iterator[str]:
        from tankside.storage.store.checking import faults

        return faults(self._rows)

    def export_to(self, path: Path) -> None:
        from tankside.storage.store.archive.exporting import exported

        exported(self._rows, path)

    def restore_from(self, path: Path) -> None:
        from tankside.storage.store.archive.restoring import restored

        restored(self._rows, path)

    def close(self) -> None:
        self._rows.close()


def _add_file(rows: Writer, row: FileRow, content: bytes) -> None:
    if rows.file(row.sha256) is None:
        rows.add_file(row, content)


def _add_costs(rows: Writer, new: Mapping[str, CostRow]) -> None:
    held = rows.costs_with(list(new))
    for row in new.values():
        if held.get(row.id, row) != row:
            raise BadInput("another cost has the id {id!r}; nothing was added", id=row.id)
        if row.of is not None and rows.thing(row.of) is None:
            raise BadInput("a cost belongs to {of!r}, which the store does not hold", of=row.of)
    rows.add_costs([row for row in new.values() if row.id not in held])


def cost_of(row: CostRow) -> Cost:
    """A cost from its row."""
    try:
        amount = Decimal(row.amount)
    except InvalidOperation as error:
        raise BadInput(
            "{amount!r} is no amount", amount=row.amount, where=quoting("cost {id}", id=row.id)
        ) from error
    return Cost(
        id=row.id,
        at=row.at,
        what=row.what,
        amount=amount,
        currency=row.currency,
        of=row.of or "",
        words=row.words,
    )


def _cost_row(cost: Cost) -> CostRow:
    amount = str(cost.amount)
    if len(amount) > 40:
        raise BadInput(
            "a cost's amount has at most 40 characters", where=quoting("cost {id}", id=cost.id)
        )
    return CostRow(
        id=checked_text(cost.id, "cost's id"),
        at=cost.at,
        what=checked_text(cost.what, "cost's purpose"),
        amount=amount,
        currency=cost.currency,
        of=cost.of or None,
        words=checked_words(cost.words, "a cost's words"),
    )


def _count(things: Sequence[ThingRow], kind: Kind, *, archived: bool) -> int:
    return sum(row.kind == kind and row.archived is archived for row in things)
