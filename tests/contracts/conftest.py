"""The stores that the contract is held against: memory, SQLite, and PostgreSQL by
TANKSIDE_TEST_POSTGRES, the address of a server on which schemas may be made."""

import os
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.opening import opened_rows
from tankside.storage.store.rows import Rows
from tankside.storage.store.store import KeptStore
from tests.contracts.private_cluster import VARIABLE
from tests.contracts.scene import kept

NewRows = Callable[[str], Rows]


@pytest.fixture
def postgres_schema() -> Iterator[Callable[[], str]]:
    """Makes new, empty places on the server, each by its address; drops them afterwards."""
    server = os.environ.get(VARIABLE)
    if not server:
        pytest.skip(f"no {VARIABLE}: 'python3 dev.py contracts' starts a server of its own")
    import psycopg

    made: list[str] = []
    with psycopg.connect(server, autocommit=True) as connection:

        def new() -> str:
            made.append(f"tank_{uuid.uuid4().hex}")
            connection.execute(f'CREATE SCHEMA "{made[-1]}"')
            return f"{server}?options=-csearch_path%3D{made[-1]}"

        yield new
        for name in made:
            connection.execute(f'DROP SCHEMA "{name}" CASCADE')


@pytest.fixture
def new_rows(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[NewRows]:
    """Makes new, empty rows of a kind."""
    made: list[Rows] = []

    def new(kind: str) -> Rows:
        rows: Rows
        if kind == "memory":
            rows = MemoryRows()
        elif kind == "SQLite":
            rows = opened_rows(str(tmp_path / f"{len(made)}.db"))
        else:
            rows = opened_rows(request.getfixturevalue("postgres_schema")())
        made.append(rows)
        return rows

    if "PostgreSQL" in str(request.node.name):
        request.getfixturevalue("postgres_schema")  # so that it outlives the rows
    yield new
    for rows in made:
        rows.close()


KINDS = ("memory", "SQLite", "PostgreSQL")


@pytest.fixture(params=KINDS)
def rows(request: pytest.FixtureRequest, new_rows: NewRows) -> Rows:
    """Empty rows of each kind in turn."""
    return new_rows(request.param)


@pytest.fixture
def store(rows: Rows) -> KeptStore:
    """An empty store of each kind in turn."""
    return kept(rows)
