"""Fifty clients on the live page of a run for twenty seconds; benchmarks/live_page.py does the same
for ten minutes."""

import sys
from pathlib import Path

import pytest
from benchmarks.live_page import measured

SECONDS = 20.0
ROOM = 24 * 2**20
"""What the server's memory may still grow by in the rest of so short a time [bytes]."""


@pytest.mark.skipif(sys.platform != "linux", reason="reads the server's figures from /proc")
def test_fifty_watchers_lose_no_sample(tmp_path: Path) -> None:
    found = measured(tmp_path, SECONDS)
    assert found.refused == 0
    assert len(found.answers) > 0.5 * 50 * SECONDS
    assert found.samples >= SECONDS - 2
    assert found.longest < 2.5
    settled, end = found.memory
    assert end - settled < ROOM
