"""Stores to keep things in: in memory, and a SQLite file."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.opening import opened
from tankside.storage.store.store import KeptStore


@pytest.fixture(params=["memory", "SQLite"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[KeptStore]:
    made = (
        KeptStore(MemoryRows())
        if request.param == "memory"
        else opened(str(tmp_path / "store.db"), {})
    )
    yield made
    made.close()
