"""The store as the use cases see it: one protocol, whatever holds it.

The contract, which tests/contracts holds every store to:
- What a call has acknowledged by returning is kept, through any kill and with any number of
  programs at work; a call that raises has changed nothing.
- Names are unique within a kind, without regard to capitals and spaces, archived things included.
- A change is made to the revision that was read: where somebody else was quicker, `StaleWrite`.
  Every revision stays readable.
- Events, samples, files and costs are only ever added. Adding the same again changes nothing, so
  that a call may be repeated when its answer was lost; another under the same id is refused.
- What is referred to can be archived, never removed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, TypeVar

from tankside.app.store_records import (
    AuditRecord,
    BathRecord,
    Cost,
    File,
    JobRecord,
    Kept,
    Kind,
    PartRecord,
    PhotoRecord,
    PlanRecord,
    RunRecord,
    SupplyRecord,
    TankRecord,
)
from tankside.base.errors import BadInput
from tankside.bath.inventory.events import Event as BathEvent
from tankside.bath.inventory.events import Ledger
from tankside.runs.events import Event as RunEvent
from tankside.runs.series import Series
from tankside.substances.products import Product

if TYPE_CHECKING:
    from tankside.runs.calibration import Shop  # wakes scipy

T = TypeVar("T")


class StaleWrite(BadInput):
    """Somebody else has changed it since it was read; read it again."""


class NothingKept(BadInput):
    """The store holds nothing of this kind yet."""


class Collection(Protocol[T]):
    """The things of one kind."""

    def add(self, name: str, value: T) -> Kept[T]:
        """Keeps a new thing; BadInput where the name is taken or refers to what is not there."""
        ...

    def get(self, name: str) -> Kept[T]:
        """By name, archived or not; UnknownName with close names, NothingKept where there are
        none."""
        ...

    def find(self, id: str, version: int | None = None) -> Kept[T]:
        """By id: as it is now, or as it was at a revision; BadInput where there is none."""
        ...

    def all(self, *, archived: bool = False) -> tuple[Kept[T], ...]:
        """All that are in use, oldest first; with the archived ones too if asked."""
        ...

    def history(self, id: str) -> tuple[Kept[T], ...]:
        """Every revision, oldest first."""
        ...

    def revise(self, held: Kept[T], value: T) -> Kept[T]:
        """A new revision; StaleWrite where `held` is not the latest, BadInput for a fixed kind."""
        ...

    def rename(self, held: Kept[T], name: str) -> Kept[T]:
        """The same under another name."""
        ...

    def archive(self, held: Kept[T]) -> Kept[T]:
        """Put away."""
        ...

    def unarchive(self, held: Kept[T]) -> Kept[T]:
        """In use again."""
        ...

    def remove(self, held: Kept[T]) -> None:
        """Gone with its revisions; BadInput where anything refers to it or was added to it."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreSummary:
    """What a store holds: things in use and archived by kind, and how many of all else.

    where       file or address, without a password
    identity    made once with the store, and carried by its exports
    file_size   content of all kept files [bytes]
    samples     seconds sampled, of all runs
    """

    where: str
    identity: str
    things: dict[Kind, int]
    archived: dict[Kind, int]
    events: int
    samples: int
    files: int
    file_size: int
    costs: int


class Store(Protocol):
    """Everything that a shop keeps."""

    @property
    def where(self) -> str:
        """The file or address, without a password."""
        ...

    @property
    def products(self) -> Collection[Product]: ...
    @property
    def baths(self) -> Collection[BathRecord]: ...
    @property
    def parts(self) -> Collection[PartRecord]: ...
    @property
    def tanks(self) -> Collection[TankRecord]: ...
    @property
    def supplies(self) -> Collection[SupplyRecord]: ...
    @property
    def jobs(self) -> Collection[JobRecord]: ...
    @property
    def plans(self) -> Collection[PlanRecord]: ...
    @property
    def runs(self) -> Collection[RunRecord]: ...
    @property
    def audits(self) -> Collection[AuditRecord]: ...
    @property
    def shops(self) -> "Collection[Shop]": ...
    @property
    def photos(self) -> Collection[PhotoRecord]: ...

    def ledger(self, bath: str) -> Ledger:
        """All events of a bath by its id, in the order in which they were added."""
        ...

    def add_to_ledger(self, bath: str, events: Sequence[BathEvent]) -> None:
        """All of them or none; an event that is there already is not added twice."""
        ...

    def run_events(self, run: str) -> tuple[RunEvent, ...]:
        """All events of a run by its id."""
        ...

    def add_run_events(
        self, run: str, events: Sequence[RunEvent], *, after: int | None = None
    ) -> None:
        """All of them or none, behind the first `after` events; StaleWrite where others stand
        there, nothing to do where these stand there. Without `after`, at the end."""
        ...

    def series(self, run: str) -> Series:
        """All samples of a run by its id."""
        ...

    def add_samples(self, run: str, series: Series) -> None:
        """Samples at the end; those that are not later than the last held are held already, and
        left out."""
        ...

    def keep_file(self, content: bytes, *, name: str, mime: str) -> File:
        """Keeps a file's content, once however often it comes."""
        ...

    def content(self, sha256: str) -> bytes:
        """The content of a kept file; BadInput where it is not kept."""
        ...

    def costs(self, of: str | None = None) -> tuple[Cost, ...]:
        """All entries by moment, or those of one thing."""
        ...

    def add_costs(self, costs: Sequence[Cost]) -> None:
        """All of them or none; an entry that is there already is not added twice."""
        ...

    def summary(self) -> StoreSummary:
        """What it holds."""
        ...

    def check(self) -> Iterator[str]:
        """Reads everything again; a sentence for every fault, nothing where all is well."""
        ...

    def export_to(self, path: Path) -> None:
        """Everything as one archive of open formats; the file is whole, or not there."""
        ...

    def restore_from(self, path: Path) -> None:
        """Fills an empty store from an archive, wholly or not at all; BadInput in one sentence."""
        ...

    def close(self) -> None:
        """Given up."""
        ...
