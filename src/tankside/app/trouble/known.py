"""What the workplace knows of a case: a stored bath's ledger, a plan's field, a run's log."""

from collections.abc import Sequence
from pathlib import Path

from tankside.app.known_of_a_case import known_of_bath, known_of_run
from tankside.app.store_ports import Store
from tankside.app.store_records import BathRecord, Kept
from tankside.app.trouble.kept_field import FIELD, Planned, unpacked
from tankside.app.work.work import WorkKind, WorkState
from tankside.app.work.workplace import Workplace
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.bath.inventory.events import Event
from tankside.bath.inventory.text import Decoded
from tankside.diagnosis.known_numbers import BathNumbers, RunNumbers

Choice = tuple[str, str]
"""An id, and how a person calls it."""


class _Read:
    """A stored bath's ledger, to be read only."""

    def __init__(self, store: Store, bath: str) -> None:
        self._store, self._bath = store, bath

    def read(self) -> Decoded:
        return Decoded(ledger=self._store.ledger(self._bath))

    def append(self, events: Sequence[Event]) -> None:
        raise BadInput("a diagnosis adds nothing to a ledger")

    def set_aside(self) -> Path | None:
        return None


def baths(place: Workplace) -> list[Choice]:
    """The baths in use."""
    return [(one.id, one.name) for one in place.store.baths.all()]


def plans(place: Workplace) -> list[Choice]:
    """Plans that can speak, the newest first."""
    done = [
        work
        for work in place.queue.all()
        if work.order.kind is WorkKind.PLAN and work.state is WorkState.DONE
    ]
    newest = sorted(done, key=lambda work: -work.order.created)
    return [(w.id, w.order.title) for w in newest if FIELD in place.queue.folder.made(w.id)]


def runs(place: Workplace) -> list[Choice]:
    """Runs that no supply follows now, the newest first."""
    return [(view.id, view.title) for view in place.runs.all() if not view.connected]


def bath_numbers(place: Workplace, bath: str) -> tuple[Kept[BathRecord], BathNumbers]:
    """A bath and what its ledger says; BadInput where that is nothing yet."""
    held = place.store.baths.find(bath)
    return held, known_of_bath(_Read(place.store, held.id))


def plan_field(place: Workplace, plan: str) -> Planned:
    """What a finished plan says; BadInput where it was made before such was kept."""
    path = place.queue.folder.made(place.queue.get(plan).id).get(FIELD)
    if path is None:
        raise BadInput(
            "this plan is not done, or was made before plans spoke of troubles; plan anew",
            where="plan",
        )
    return unpacked(path.read_bytes())


def run_log(place: Workplace, run: str) -> tuple[RunNumbers, Interval | None]:
    """What the log of a run says, and the bath's temperature over it [K] if it was recorded."""
    return place.runs.looked_into(run, known_of_run)
