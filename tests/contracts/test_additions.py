"""Events, samples, files and costs are only ever added: the promises that every store keeps."""

import threading
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

import tankside.app.store_records as r
from tankside.app.store_ports import StaleWrite
from tankside.base.errors import BadInput
from tankside.bath.inventory import AmpereHours, Retraction
from tankside.runs import events as e
from tankside.storage.store.rows import Rows
from tankside.storage.store.store import KeptStore
from tests.contracts.scene import NOON, STL, fill, happened, ledger, picture, sampled


@pytest.fixture
def bath(store: KeptStore) -> str:
    return store.baths.add("Cellar bath", r.BathRecord(family="acid sulfate")).id


@pytest.fixture
def run(store: KeptStore) -> str:
    return store.runs.add("Run", r.RunRecord(order=r.Document())).id


def charge(id: str, coulombs: float = 3600.0) -> AmpereHours:
    return AmpereHours(at=NOON, id=id, charge=coulombs)


def test_a_ledger_comes_back_in_its_order(store: KeptStore, bath: str) -> None:
    assert store.ledger(bath) == ()
    store.add_to_ledger(bath, ledger()[3:6])
    store.add_to_ledger(bath, ledger()[:3])
    assert store.ledger(bath) == (*ledger()[3:6], *ledger()[:3])
    store.add_to_ledger(bath, [])
    assert len(store.ledger(bath)) == 6


def test_an_event_that_is_there_is_not_doubled(store: KeptStore, bath: str) -> None:
    store.add_to_ledger(bath, [charge("a"), charge("b")])
    store.add_to_ledger(bath, [charge("b"), charge("c"), charge("c")])
    assert [event.id for event in store.ledger(bath)] == ["a", "b", "c"]


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ([charge("x"), charge("a", 1.0)], "another event has the id 'a' already"),
        ([charge("x"), charge("x", 1.0)], "two of the events have the id 'x'"),
        ([charge("x"), Retraction(at=NOON, id="r", of="z")], "a retraction names the event 'z'"),
        ([charge("x"), charge("y" * 201)], "at most 200 characters"),
        ([charge("x"), charge("a\0")], "cannot hold the sign"),
    ],
)
def test_a_wrong_event_keeps_its_whole_batch_out(
    store: KeptStore, rows: Rows, bath: str, wrong: list[AmpereHours], sentence: str
) -> None:
    store.add_to_ledger(bath, [charge("a")])
    before = picture(rows)
    with pytest.raises(BadInput, match=sentence):
        store.add_to_ledger(bath, wrong)
    assert picture(rows) == before


def test_events_go_to_baths_and_runs_alone(store: KeptStore, bath: str, run: str) -> None:
    for wrong in (
        lambda: store.ledger(run),
        lambda: store.add_to_ledger("nowhere", [charge("a")]),
        lambda: store.run_events(bath),
        lambda: store.add_run_events(bath, happened()),
        lambda: store.series(bath),
        lambda: store.add_samples(bath, sampled()),
    ):
        with pytest.raises(BadInput, match=r"the store holds no (bath|run) with the id"):
            wrong()


def test_a_runs_events_go_behind_those_that_were_read(store: KeptStore, run: str) -> None:
    store.add_run_events(run, happened()[:2], after=0)
    store.add_run_events(run, happened()[:4], after=0)  # the answer to the first was lost
    assert store.run_events(run) == happened()[:4]
    store.add_run_events(run, happened()[4:], after=4)
    store.add_run_events(run, happened()[4:], after=4)
    assert store.run_events(run) == happened()
    for after in (3, 7):
        with pytest.raises(StaleWrite, match="other events were added meanwhile"):
            store.add_run_events(run, [e.Ended(at=NOON + 9)], after=after)
    assert store.run_events(run) == happened()
    store.add_run_events(run, [e.Noted(at=NOON, text="x"), e.Noted(at=NOON, text="x")])
    assert len(store.run_events(run)) == len(happened()) + 2


def test_samples_come_back_to_the_last_bit(store: KeptStore, run: str) -> None:
    assert len(store.series(run)) == 0
    whole = sampled()
    for start in range(0, len(whole), 70):
        store.add_samples(run, whole.part(slice(start, start + 70)))
    held = store.series(run)
    for name in ("time", "voltage", "current", "temperature"):
        assert getattr(held, name).tobytes() == getattr(whole, name).tobytes(), name


def test_samples_that_are_held_are_left_out(store: KeptStore, run: str) -> None:
    whole = sampled()
    store.add_samples(run, whole.part(slice(0, 300)))
    store.add_samples(run, whole.part(slice(200, 500)))
    store.add_samples(run, whole)
    assert np.array_equal(store.series(run).time, whole.time)
    assert store.summary().samples == len(whole)


def test_what_was_added_to_a_thing_keeps_it_from_being_removed(
    store: KeptStore, bath: str, run: str
) -> None:
    held = store.baths.find(bath)
    store.add_to_ledger(bath, [charge("a")])
    with pytest.raises(BadInput, match="1 events were added to it; archive it instead"):
        store.baths.remove(held)
    store.add_samples(run, sampled())
    with pytest.raises(BadInput, match="samples were added to it; archive it instead"):
        store.runs.remove(store.runs.find(run))
    tank = store.tanks.add("Tank", r.TankRecord(table=""))
    cost = r.Cost(id="1", at=NOON, what="tank", amount=Decimal(9), currency="EUR", of=tank.id)
    store.add_costs([cost])
    with pytest.raises(BadInput, match="costs were booked on it; archive it instead"):
        store.tanks.remove(tank)


def test_a_file_is_kept_once(store: KeptStore) -> None:
    one = store.keep_file(STL, name="finial.stl", mime="model/stl")
    two = store.keep_file(STL, name="copy of finial.stl", mime="model/stl")
    assert one.sha256 == two.sha256
    assert store.summary().files == 1
    assert store.content(one.sha256) == STL
    assert store.content(store.keep_file(b"", name="empty", mime="text/plain").sha256) == b""
    with pytest.raises(BadInput, match="keeps no file with the hash"):
        store.content("0" * 64)


def test_costs_are_exact_and_added_once(store: KeptStore, rows: Rows, run: str) -> None:
    cents = [
        r.Cost(id=f"{n}", at=NOON + n, what="copper", amount=Decimal("0.10"), currency="EUR", of=of)
        for n, of in enumerate([run, "", run])
    ]
    store.add_costs(cents)
    store.add_costs(cents[1:])
    assert store.costs() == tuple(cents)
    assert sum(one.amount for one in store.costs(run)) == Decimal("0.20")
    before = picture(rows)
    for wrong, sentence in (
        (replace(cents[0], amount=Decimal("0.11")), "another cost has the id '0'"),
        (replace(cents[0], id="new", of="nowhere"), "which the store does not hold"),
        (replace(cents[0], id="new", words="\0"), "cannot hold a sign"),
        (replace(cents[0], id="new", amount=Decimal("1" * 41)), "at most 40 characters"),
    ):
        with pytest.raises(BadInput, match=sentence):
            store.add_costs([replace(cents[0], id="fine"), wrong])
    assert picture(rows) == before


def test_a_summary_counts_everything(store: KeptStore) -> None:
    fill(store)
    found = store.summary()
    assert found.things[r.Kind.PART] == 1
    assert found.archived[r.Kind.PART] == 1
    assert found.events == len(ledger()) + len(happened())
    assert (found.samples, found.files, found.costs) == (200, 3, 2)


def test_threads_that_add_at_the_same_time_lose_and_double_nothing(
    store: KeptStore, bath: str
) -> None:
    failed: list[BaseException] = []

    def work(who: int) -> None:
        try:
            for n in range(20):
                store.add_to_ledger(bath, [charge(f"{who}-{n}"), charge(f"all-{n}")])
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=work, args=(who,)) for who in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    ids = [event.id for event in store.ledger(bath)]
    assert len(ids) == len(set(ids)) == 4 * 20 + 20
    for who in range(4):
        assert [id for id in ids if id.startswith(f"{who}-")] == [f"{who}-{n}" for n in range(20)]
    assert list(store.check()) == []


def test_threads_that_take_one_name_leave_one_thing(store: KeptStore) -> None:
    outcomes: list[str] = []

    def work() -> None:
        try:
            store.baths.add("Cellar bath", r.BathRecord(family="acid sulfate"))
            outcomes.append("kept")
        except BadInput as error:
            outcomes.append("taken" if "already" in str(error) else str(error))

    threads = [threading.Thread(target=work) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["kept", *["taken"] * 5]
    assert len(store.baths.all()) == 1
