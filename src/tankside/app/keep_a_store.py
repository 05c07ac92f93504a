"""Use cases: what the store holds, whether it is sound, out of it and back, and into it from files.

A run's folder and a bath's ledger file work without any store. Taken into it, they are there for
every program of the shop; taken again, only what is new is added.
"""

import dataclasses
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tankside.app.keep.naming import found
from tankside.app.ledger_port import BathLedger
from tankside.app.run_ports import RunKeeper
from tankside.app.store_ports import Store, StoreSummary
from tankside.app.store_records import BathRecord, Document, RunRecord
from tankside.base.errors import BadInput


@dataclass(frozen=True, kw_only=True)
class StoreReply:
    """What a store holds, in words and as JSON."""

    summary: StoreSummary

    def as_json(self) -> dict[str, Any]:
        """Counts by kind; sizes with their unit in the key."""
        found = dataclasses.asdict(self.summary)
        found["file_size_bytes"] = found.pop("file_size")
        for key in ("things", "archived"):
            found[key] = {kind.value: count for kind, count in found[key].items()}
        return found

    def text(self) -> str:
        """The same for a terminal."""
        held = self.summary
        lines = [f"The store is {held.where}", ""]
        for kind, count in held.things.items():
            away = held.archived[kind]
            if count or away:
                lines.append(
                    _counted(kind.value, count) + (f" and {away} archived" if away else "")
                )
        lines += [
            _counted("event", held.events),
            f"{held.samples / 3600:.1f} h of samples ({held.samples:,})",
            _counted("file", held.files) + f" of {held.file_size / 1e6:.1f} MB",
            _counted("cost", held.costs),
        ]
        return "\n".join(lines) + "\n"


@dataclass(frozen=True, kw_only=True)
class Taken:
    """What came into the store: the thing's name, whether it is new, events and samples added."""

    name: str
    new: bool
    events: int
    samples: int = 0

    def text(self) -> str:
        """In one sentence."""
        how = "is in the store now" if self.new else "was in the store"
        added = f"{_counted('event', self.events)} and {_counted('sample', self.samples)}"
        return f"{self.name!r} {how}; added: {added}.\n"


def show_a_store(store: Store) -> StoreReply:
    """What it holds."""
    return StoreReply(summary=store.summary())


def check_a_store(store: Store) -> tuple[str, ...]:
    """A sentence for every fault; none where all is well."""
    return tuple(store.check())


def export_a_store(store: Store, path: Path) -> None:
    """Everything as one archive; refuses to write over a file that is there."""
    if path.exists():
        raise BadInput("there is a file of this name already; give another", where=str(path))
    store.export_to(path)


def restore_a_store(store: Store, path: Path) -> StoreReply:
    """An empty store filled from an archive."""
    store.restore_from(path)
    return show_a_store(store)


def take_a_run(store: Store, name: str, run: RunKeeper, plan: str = "") -> Taken:
    """A run with its order, events and samples, under a name, of the plan with this id if it has
    one in the store; BadInput where that name belongs to another run."""
    order = Document.of(run.order())
    held = found(store.runs, name)
    if held is not None and held.value.order != order:
        raise BadInput(
            "the store holds another run called {name!r}; give this one another name",
            name=held.name,
        )
    kept = held or store.runs.add(name, RunRecord(order=order, plan=plan))
    before = len(store.run_events(kept.id)), len(store.series(kept.id))
    store.add_run_events(kept.id, run.events(), after=0)
    store.add_samples(kept.id, run.series())
    return Taken(
        name=kept.name,
        new=held is None,
        events=len(store.run_events(kept.id)) - before[0],
        samples=len(store.series(kept.id)) - before[1],
    )


def take_a_bath(store: Store, name: str, family: str, ledger: BathLedger) -> Taken:
    """A bath's ledger under a name; a new bath is of `family`. BadInput where the ledger's end is
    torn, or an event of the same id is another one."""
    read = ledger.read()
    if read.torn is not None:
        raise BadInput(read.torn.sentence)
    held = found(store.baths, name)
    if held is None and not family:
        raise BadInput(
            "the store holds no bath called {name!r}; say its family to add it", name=name
        )
    kept = held or store.baths.add(name, BathRecord(family=family))
    before = len(store.ledger(kept.id))
    store.add_to_ledger(kept.id, read.ledger)
    return Taken(name=kept.name, new=held is None, events=len(store.ledger(kept.id)) - before)


def _counted(what: str, count: int) -> str:
    plural = {"supply": "supplies"}.get(what, f"{what}s")
    return f"{count:,} {what if count == 1 else plural}"
