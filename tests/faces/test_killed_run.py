"""A run in the store whose program is killed: the output goes off, two seconds are lost at most,
and the run goes on from there with the gap recorded."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tankside.app.keep.stored_run import begun
from tankside.app.order_a_run import as_json
from tankside.hardware.simulated.server import SimulatedServer
from tankside.runs import events as e
from tankside.storage.store.opening import opened
from tests.unit.app.test_order_a_run import ORDER

pytestmark = pytest.mark.skipif(os.name == "nt", reason="there is no such kill on Windows")

SOON_S = 60.0
LOST_AT_MOST_S = 2.0


def go(place: Path, server: SimulatedServer) -> "subprocess.Popen[bytes]":
    """The program that carries the run out."""
    words = ["run", "go", "finial", "--store", str(place), "--supply", server.resource, "--yes"]
    return subprocess.Popen(
        [sys.executable, "-m", "tankside", *words, "--quiet"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def soon(true: Callable[[], bool]) -> bool:
    """Whether it becomes true within a minute."""
    end = time.monotonic() + SOON_S
    while not true() and time.monotonic() < end:
        time.sleep(0.05)
    return true()


def test_a_killed_run_loses_two_seconds_at_most_and_goes_on(tmp_path: Path) -> None:
    place = tmp_path / "store.db"
    with closing(opened(str(place), {})) as store, SimulatedServer() as server:
        run = begun(store, "finial", as_json(ORDER)).run
        first = go(place, server)
        assert soon(lambda: len(store.series(run.id)) >= 3)
        first.send_signal(signal.SIGKILL)
        killed = time.time()
        first.wait(SOON_S)
        assert soon(lambda: not server.supply.output)
        kept = store.series(run.id)
        assert killed - float(kept.time[-1]) <= LOST_AT_MOST_S + 1.0  # the last second was not over
        assert list(store.check()) == []
        second = go(place, server)
        assert soon(lambda: len(store.series(run.id)) >= len(kept) + 3)
        second.send_signal(signal.SIGINT)
        assert second.wait(SOON_S) == 0
        assert not server.supply.output
        after = store.series(run.id)
        assert (after.time[: len(kept)] == kept.time).all()
        happened = [type(event) for event in store.run_events(run.id)]
        assert e.Paused in happened[-3:]
        resumed = happened.index(e.Gap)
        assert e.Resumed in happened[resumed:]
        assert happened[-1] is e.PoweredOff
        assert list(store.check()) == []
