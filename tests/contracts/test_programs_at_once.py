"""Several programs write one store: no event is lost, none is doubled, each keeps its order."""

import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

import tankside.app.store_records as r
from tankside.storage.store.opening import opened
from tankside.storage.store.sql.engine import sqlite_engine

ROOT = Path(__file__).parents[2]


def test_two_shells_write_one_file(tmp_path: Path) -> None:
    hold(str(tmp_path / "s.db"), programs=2, count=300)


def test_three_clients_write_on_one_server(postgres_schema: Callable[[], str]) -> None:
    hold(postgres_schema(), programs=3, count=200)


def at_once(work: Callable[[], object], count: int = 6) -> None:
    """Several threads do it from the same moment on, and none fails."""
    start, failed = threading.Barrier(count), []

    def one() -> None:
        try:
            start.wait()
            work()
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=one) for _ in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []


def open_at_once(address: str) -> None:
    """Each finds no store and begins to make it; one is made, and all have it."""
    identities = set()

    def work() -> None:
        store = opened(address)
        identities.add(store.summary().identity)
        store.close()

    at_once(work)
    assert len(identities) == 1


def test_those_who_open_one_new_file_at_once_wait_for_each_other(tmp_path: Path) -> None:
    for number in range(150):
        engines = [sqlite_engine(tmp_path / f"{number}.db") for _ in range(6)]
        waiting = iter(engines)
        at_once(lambda waiting=waiting: next(waiting).connect().close())
        for engine in engines:
            engine.dispose()


def test_those_who_make_one_file_at_once_make_one_store(tmp_path: Path) -> None:
    for number in range(5):
        open_at_once(str(tmp_path / f"{number}.db"))


def test_those_who_make_a_servers_store_at_once_make_one(
    postgres_schema: Callable[[], str],
) -> None:
    for _ in range(3):
        open_at_once(postgres_schema())


@pytest.mark.slow
def test_two_shells_write_ten_thousand_events_each(tmp_path: Path) -> None:
    hold(str(tmp_path / "s.db"), programs=2, count=10_000)


@pytest.mark.slow
def test_eight_clients_write_ten_thousand_events_each(
    postgres_schema: Callable[[], str],
) -> None:
    hold(postgres_schema(), programs=8, count=10_000)


def hold(address: str, *, programs: int, count: int) -> None:
    """Starts the programs at once, none of them on a store that is made already, and counts."""
    names = [f"program {number}" for number in range(programs)]
    store = opened(address)
    bath = store.baths.add("Cellar bath", r.BathRecord(family="acid sulfate"))
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.contracts.writers", address, bath.id, name, f"{count}"],
            cwd=ROOT,
            stderr=subprocess.PIPE,
        )
        for name in names
    ]
    for program in running:
        said = program.communicate()[1].decode()
        assert program.returncode == 0, said
    ids = [event.id for event in store.ledger(bath.id)]
    assert len(ids) == len(set(ids)) == programs * count + 100
    for name in names:
        own = [id for id in ids if id.startswith(f"{name}-")]
        assert own == [f"{name}-{n}" for n in range(count)]
    assert {f"shared-{n}" for n in range(100)} <= set(ids)
    assert list(store.check()) == []
    store.close()
