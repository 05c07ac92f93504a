"""Two hundred kills of a process that writes a run: nothing told as kept is lost or spoilt."""

import os
import random
import signal
import sys
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from tankside.runs import events as e
from tankside.storage import append_only
from tankside.storage.append_only import AppendOnly
from tankside.storage.run_folder import RunFolder

KILLS = 200

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no fork on Windows")


def writes(folder: Path, told: int) -> None:
    """Adds events and samples as fast as it can, and tells each event's number once it is kept."""
    held = RunFolder.opened(folder)
    number = len(held.events())
    series = held.series()
    start = 1e9 + (float(series.time[-1]) - 1e9 + 1.0 if len(series) else 0.0) - number
    while True:
        at = start + number
        held.add_sample(at, 1.0, 2.0, 298.15)
        held.add_events([e.Noted(at=at, text=f"note {number} " + "x" * (number % 97))])
        os.write(told, f"{number}\n".encode())
        number += 1


def killed_writer(folder: Path, after: float) -> int:
    """How many events the writer said were kept before it was killed."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            writes(folder, theirs)
        finally:
            os._exit(1)
    os.close(theirs)
    time.sleep(after)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(ours, "rb") as pipe:
        lines = pipe.read().splitlines()
    return int(lines[-1]) + 1 if lines else 0


def test_nothing_kept_is_lost(tmp_path: Path) -> None:
    folder = tmp_path / "run"
    RunFolder.begun(folder, {"title": "x"}).close()
    luck = random.Random(5)
    known = 0
    for _ in range(KILLS):
        kept = killed_writer(folder, luck.uniform(0.002, 0.06))
        held = RunFolder.opened(folder)
        events, series = held.events(), held.series()
        assert len(events) >= max(kept, known)
        assert [one.text.split()[1] for one in events if isinstance(one, e.Noted)] == [
            str(number) for number in range(len(events))
        ]
        assert len(series) >= len(events) - 1
        known = len(events)
        held.close()
    assert known > KILLS


@pytest.mark.parametrize("cut", [1, 2, 3, 10, 17])
def test_a_file_cut_anywhere_is_read_up_to_its_last_whole_line(tmp_path: Path, cut: int) -> None:
    folder = tmp_path / "run"
    held = RunFolder.begun(folder, {"title": "x"})
    for number in range(20):
        held.add_events([e.Noted(at=1e9 + number, text=str(number))])
        held.add_sample(1e9 + number, 1.0, 2.0)
    held.close()
    for name in ("events.jsonl", "samples.csv"):
        path = folder / name
        path.write_bytes(path.read_bytes()[:-cut])
    again = RunFolder.opened(folder)
    assert len(again.events()) == 19
    assert len(again.series()) == 19
    kept = sum(len(path.read_bytes()) for path in again.set_aside)
    assert kept > 0
    again.add_events([e.Noted(at=2e9, text="after")])
    again.add_sample(2e9, 1.0, 2.0)
    again.close()
    once_more = RunFolder.opened(folder)
    assert once_more.set_aside == ()
    assert len(once_more.events()) == len(once_more.series()) == 20


def test_samples_are_on_the_disk_within_a_second(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By the times at which the disk is told to keep what it was given."""
    clock = [0.0]
    flushed: list[float] = []
    real: Callable[[int], None] = os.fsync
    monkeypatch.setattr(append_only.os, "fsync", lambda fd: (flushed.append(clock[0]), real(fd)))
    held = AppendOnly(tmp_path / "log", delay=1.0, now=lambda: clock[0])
    for step in range(40):
        clock[0] = 0.25 * step
        held.add(b"line\n")
    assert max(b - a for a, b in pairwise(flushed)) <= 1.25
    assert len(flushed) >= 8
