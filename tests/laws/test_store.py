"""A store in memory and one in SQLite, written apart, say the same to any sequence of calls: the
same answers, the same refusals word for word, and the same rows in the end."""

import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, initialize, invariant, multiple, rule

import tankside.app.store_records as r
from tankside.base.errors import TanksideError
from tankside.bath.inventory import AmpereHours, Retraction
from tankside.runs import events as e
from tankside.runs.series import Series
from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.opening import opened_rows
from tankside.storage.store.rows import Rows
from tankside.storage.store.store import KeptStore
from tests.contracts.scene import NOON, picture, ticking

NAMES = st.sampled_from(["cellar", "Cellar ", "attic", "ATTIC", "yard", "", "x" * 201])
FEW = st.integers(0, 5)


def store_in(rows: Rows) -> KeptStore:
    clock, numbers = ticking(), _counted()
    return KeptStore(rows, now=lambda: next(clock), new_id=lambda: next(numbers))


def _counted() -> Iterator[str]:
    number = 0
    while True:
        number += 1
        yield f"{number:032x}"


class TwoStores(RuleBasedStateMachine):
    tanks, baths, runs = Bundle("tanks"), Bundle("baths"), Bundle("runs")

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.all_rows: list[Rows] = [
            MemoryRows(),
            opened_rows(str(Path(self.folder.name) / "s.db")),
        ]
        self.stores = [store_in(rows) for rows in self.all_rows]

    def teardown(self) -> None:
        found = [picture(rows, identity=False) for rows in self.all_rows]
        faults = [list(store.check()) for store in self.stores]
        for rows in self.all_rows:
            rows.close()
        self.folder.cleanup()
        assert found[0] == found[1]
        assert faults == [[], []]

    def both(self, call: Callable[[KeptStore], Any]) -> Any:
        """What both say; hypothesis gets nothing where both refuse."""
        one, other = (_outcome(call, store) for store in self.stores)
        assert one == other
        return multiple() if isinstance(one, Refusal) or one is None else one

    @initialize(target=runs)
    def first_run(self) -> Any:
        return self.both(lambda store: store.runs.add("run", r.RunRecord(order=r.Document())))

    @rule(target=tanks, name=NAMES)
    def add_tank(self, name: str) -> Any:
        return self.both(lambda store: store.tanks.add(name, r.TankRecord(table="")))

    @rule(target=baths, name=NAMES, tank=tanks)
    def add_bath(self, name: str, tank: Any) -> Any:
        return self.both(
            lambda store: store.baths.add(name, r.BathRecord(family="acid sulfate", tank=tank.id))
        )

    @rule(target=baths, held=baths, notes=st.text(max_size=5))
    def revise(self, held: Any, notes: str) -> Any:
        return self.both(
            lambda store: store.baths.revise(held, replace(held.value, notes=notes, tank=""))
        )

    @rule(target=baths, held=baths, name=NAMES)
    def rename(self, held: Any, name: str) -> Any:
        return self.both(lambda store: store.baths.rename(held, name))

    @rule(target=tanks, held=tanks)
    def archive(self, held: Any) -> Any:
        return self.both(lambda store: store.tanks.archive(held))

    @rule(held=tanks)
    def remove_tank(self, held: Any) -> None:
        self.both(lambda store: store.tanks.remove(held))

    @rule(held=baths)
    def remove_bath(self, held: Any) -> None:
        self.both(lambda store: store.baths.remove(held))

    @rule(held=baths, ids=st.lists(FEW, max_size=4), charge=st.sampled_from([1.0, 1.0, 2.0]))
    def add_events(self, held: Any, ids: list[int], charge: float) -> None:
        events = [AmpereHours(at=NOON, id=f"e{id}", charge=charge) for id in ids]
        self.both(lambda store: store.add_to_ledger(held.id, events))
        self.both(lambda store: store.ledger(held.id))

    @rule(held=baths, number=FEW, of=FEW)
    def retract(self, held: Any, number: int, of: int) -> None:
        event = Retraction(at=NOON, id=f"r{number}", of=f"e{of}")
        self.both(lambda store: store.add_to_ledger(held.id, [event]))

    @rule(held=runs, after=st.none() | FEW, texts=st.lists(st.sampled_from("ab"), max_size=3))
    def add_run_events(self, held: Any, after: int | None, texts: list[str]) -> None:
        events = [e.Noted(at=NOON, text=text) for text in texts]
        self.both(lambda store: store.add_run_events(held.id, events, after=after))
        self.both(lambda store: store.run_events(held.id))

    @rule(held=runs, start=st.integers(0, 50), count=st.integers(0, 20))
    def add_samples(self, held: Any, start: int, count: int) -> None:
        time = NOON + np.arange(float(start), float(start + count))
        self.both(lambda store: store.add_samples(held.id, Series.of(time, time + 1, time + 2)))
        self.both(lambda store: store.series(held.id).time.tolist())

    @rule(number=FEW, cents=st.integers(-2, 2), held=tanks | baths)
    def add_cost(self, number: int, cents: int, held: Any) -> None:
        cost = r.Cost(
            id=f"{number}", at=NOON - number, what="copper", currency="EUR",
            amount=Decimal(cents) / 100, of=held.id,
        )  # fmt: skip
        self.both(lambda store: store.add_costs([cost]))
        self.both(lambda store: store.costs())
        self.both(lambda store: store.costs(held.id))

    @rule(content=st.binary(max_size=3))
    def keep_file(self, content: bytes) -> None:
        self.both(lambda store: store.keep_file(content, name="a", mime="text/plain"))

    @invariant()
    def they_list_the_same(self) -> None:
        self.both(lambda store: (store.baths.all(), store.tanks.all(archived=True)))
        self.both(lambda store: replace(store.summary(), where="", identity=""))


class Refusal(tuple):  # type: ignore[type-arg]
    """An error's type and words."""


def _outcome(call: Callable[[KeptStore], Any], store: KeptStore) -> Any:
    try:
        return call(store)
    except TanksideError as error:
        return Refusal((type(error).__name__, error.message))


TwoStores.TestCase.settings = settings(max_examples=20, stateful_step_count=30, deadline=None)
test_two_stores_agree = TwoStores.TestCase
