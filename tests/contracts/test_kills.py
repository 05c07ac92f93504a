"""A program that writes is killed at 200 random moments: the store is never corrupt, and nothing
that was acknowledged is lost. What the kill interrupted is there whole or not at all."""

import multiprocessing
import os
import signal
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from tankside.storage.store.opening import opened
from tests.contracts.warm_writer import prepared, write_until_killed

pytestmark = pytest.mark.skipif(os.name == "nt", reason="there is no such kill on Windows")


@pytest.mark.parametrize(("where", "kills"), [("SQLite", 200), ("PostgreSQL", 60)])
def test_nothing_acknowledged_is_lost_to_a_kill(
    tmp_path: Path, request: pytest.FixtureRequest, where: str, kills: int
) -> None:
    place: Callable[[], str] = (
        (lambda: str(tmp_path / "s.db"))
        if where == "SQLite"
        else request.getfixturevalue("postgres_schema")
    )
    address = place()
    bath, run = prepared(address)
    rng = np.random.default_rng(11)
    acknowledged: dict[str, set[object]] = {"events": set(), "samples": set(), "file": set()}
    version, writing = 1, multiprocessing.get_context("forkserver")
    writing.set_forkserver_preload(["tests.contracts.warm_writer"])
    for round in range(kills):
        said = _killed(writing, address, round, float(rng.uniform(0.0, 0.12)))
        for what, which in said:
            if what == "revision":
                version = int(str(which))
            else:
                acknowledged[what].add(which)
        store = opened(address)
        events = [event.id for event in store.ledger(bath)]
        assert len(events) == len(set(events))
        assert {f"{pair}{half}" for pair in acknowledged["events"] for half in "ab"} <= set(events)
        assert {id[:-1] + "a" for id in events} == {id for id in events if id.endswith("a")}
        assert store.baths.find(bath).version in (version, version + 1)
        version = store.baths.find(bath).version
        if round % 10 == 9 or round == kills - 1:
            assert acknowledged["samples"] <= set(store.series(run).time.tolist())
            for sha256 in acknowledged["file"]:
                assert store.content(str(sha256))
            assert list(store.check()) == []
        store.close()
    assert len(acknowledged["events"]) > 2 * kills, "most programs were killed before they wrote"


def _killed(
    writing: "multiprocessing.context.ForkServerContext", address: str, round: int, after: float
) -> list[tuple[str, object]]:
    """All that a writer said before it was killed, `after` seconds after its first round."""
    ours, theirs = writing.Pipe(duplex=False)
    writer = writing.Process(target=write_until_killed, args=(address, round, theirs))
    writer.start()
    theirs.close()
    said = [ours.recv() for _ in ("events", "samples", "file", "revision")]
    writer.join(after)
    assert writer.pid is not None
    os.kill(writer.pid, signal.SIGKILL)
    writer.join()
    try:
        while True:
            said.append(ours.recv())
    except (EOFError, OSError):  # the last word may be cut off
        ours.close()
    return said
