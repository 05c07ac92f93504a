"""A run whose place is the store: the same as a run's folder to all that carries it out."""

import time
from collections.abc import Callable, Sequence
from math import nan

import numpy as np

from tankside.app.keep.naming import added
from tankside.app.store_ports import Store
from tankside.app.store_records import Document, Kept, RunRecord
from tankside.runs.events import Event
from tankside.runs.series import Series

KEPT_WITHIN_S = 1.0
"""Samples wait this long at most [s] for the next one to take them into the store."""


class StoredRun:
    """Keeps a run's events and samples in the store, under the run's id.

    Events are there when `add_events` returns. Samples go in together, the first of them not
    later than a second after it came, as long as others follow or the run is closed.
    """

    def __init__(
        self, store: Store, run: Kept[RunRecord], now: Callable[[], float] = time.monotonic
    ) -> None:
        self._store, self._run, self._now = store, run, now
        self._waiting: list[tuple[float, float, float, float]] = []
        self._since = 0.0
        self._count = len(store.run_events(run.id))

    @property
    def run(self) -> Kept[RunRecord]:
        """As the store holds it."""
        return self._run

    def order(self) -> dict[str, object]:
        """The order as it was given."""
        return self._run.value.order.entries()

    def events(self) -> tuple[Event, ...]:
        """All events so far."""
        return self._store.run_events(self._run.id)

    def add_events(self, events: Sequence[Event]) -> None:
        """Events at the end, kept when this returns; waiting samples go before them. StaleWrite
        where another program carries out the same run."""
        self._keep_samples()
        self._store.add_run_events(self._run.id, events, after=self._count)
        self._count += len(events)

    def series(self) -> Series:
        """All samples so far."""
        self._keep_samples()
        return self._store.series(self._run.id)

    def add_sample(
        self, time: float, voltage: float, current: float, temperature: float = nan
    ) -> None:
        """One sample at the end."""
        if not self._waiting:
            self._since = self._now()
        self._waiting.append((time, voltage, current, temperature))
        if self._now() - self._since >= KEPT_WITHIN_S:
            self._keep_samples()

    def close(self) -> None:
        """Everything is in the store; the store itself stays open."""
        self._keep_samples()

    def _keep_samples(self) -> None:
        if not self._waiting:
            return
        rows = np.array(self._waiting, dtype=float)
        self._store.add_samples(self._run.id, Series(**dict(zip(_COLUMNS, rows.T, strict=True))))
        self._waiting.clear()


_COLUMNS = ("time", "voltage", "current", "temperature")


def begun(store: Store, name: str, order: dict[str, object], plan: str = "") -> StoredRun:
    """A new run under a name, or that name with a number where it is taken; `plan` is the id of
    its plan in the store if it has one."""
    record = RunRecord(order=Document.of(order), plan=plan)
    return StoredRun(store, added(store.runs, name, record))


def opened(store: Store, name: str) -> StoredRun:
    """A run by its name; UnknownName or NothingKept where there is none."""
    return StoredRun(store, store.runs.get(name))
