"""What only databases promise: a schema that its migrations make, tables that are only added to,
one state for a reader, and commits that a power cut leaves whole."""

import shutil
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Engine, inspect, text

import tankside.app.store_records as r
from tankside.bath.inventory import AmpereHours
from tankside.storage.store.opening import opened_rows
from tankside.storage.store.rows import Rows
from tankside.storage.store.sql.beginning import begun
from tankside.storage.store.sql.engine import postgres_engine, sqlite_engine, transaction
from tankside.storage.store.sql.migrating import migrated
from tankside.storage.store.sql.sql_rows import SqlRows
from tankside.storage.store.sql.tables import METADATA, ONLY_ADDED_TO
from tests.contracts.conftest import NewRows
from tests.contracts.scene import NOON, fill, kept

DATABASES = ("SQLite", "PostgreSQL")


@pytest.fixture(params=DATABASES)
def sql_rows(request: pytest.FixtureRequest, new_rows: NewRows) -> Rows:
    return new_rows(request.param)


@pytest.fixture(params=DATABASES)
def database(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def engine_of(rows: Rows):  # type: ignore[no-untyped-def]
    assert isinstance(rows, SqlRows)
    return rows._engine


def test_the_migrations_make_what_the_tables_say(sql_rows: Rows) -> None:
    with transaction(engine_of(sql_rows), writing=False) as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "compare_server_default": True}
        )
        assert compare_metadata(context, METADATA) == []


def test_a_new_store_is_what_the_migrations_make_of_nothing(
    tmp_path: Path, request: pytest.FixtureRequest, database: str
) -> None:
    """To the last constraint, and in the same words where the database keeps them."""
    if database == "SQLite":
        engines = [sqlite_engine(tmp_path / f"{name}.db") for name in ("begun", "migrated")]
    else:
        new = request.getfixturevalue("postgres_schema")
        engines = [postgres_engine(new()) for _ in range(2)]
    first, second = engines
    assert begun(first)
    migrated(second)
    assert described(first) == described(second)
    for engine in engines:
        assert not begun(engine)
        engine.dispose()


def described(engine: Engine) -> dict[str, object]:
    """Every table's columns, keys, constraints and indexes, and the rows that a new store has."""
    with transaction(engine, writing=False) as connection:
        looked = inspect(connection)
        found: dict[str, object] = {
            table: (
                [{**column, "type": str(column["type"])} for column in looked.get_columns(table)],
                looked.get_pk_constraint(table),
                by_name(looked.get_foreign_keys(table)),
                by_name(looked.get_unique_constraints(table)),
                by_name(looked.get_check_constraints(table)),
                by_name(looked.get_indexes(table)),
                connection.execute(text(f'SELECT count(*) FROM "{table}"')).scalar_one(),
            )
            for table in looked.get_table_names()
        }
        found["revision"] = MigrationContext.configure(connection).get_current_revision()
        if engine.dialect.name == "sqlite":
            words = connection.execute(text("SELECT name, sql FROM sqlite_master WHERE sql <> ''"))
            found["words"] = {name: "".join(sql.split()) for name, sql in words}
    return found


def by_name(found: Sequence[Mapping[str, object]]) -> list[Mapping[str, object]]:
    return sorted(found, key=lambda one: str(one["name"]))


@pytest.mark.parametrize("table", sorted(ONLY_ADDED_TO))
@pytest.mark.parametrize("change", ["DELETE FROM {}", "UPDATE {} SET at_s = 0", "drop table {}"])
def test_no_statement_changes_what_is_only_added_to(
    sql_rows: Rows, table: str, change: str
) -> None:
    with (
        transaction(engine_of(sql_rows), writing=True) as connection,
        pytest.raises(AssertionError, match=f"{table} are only ever added to"),
    ):
        connection.execute(text(change.format(table)))


def test_an_event_that_was_changed_behind_our_back_is_found(sql_rows: Rows) -> None:
    store = kept(sql_rows)
    fill(store)
    assert list(store.check()) == []
    engine = engine_of(sql_rows)
    with transaction(engine, writing=True, migrating=True) as connection:
        connection.execute(
            text("UPDATE events SET line = replace(line, '43217.25', '4321.25') WHERE sequence = 3")
        )
    assert "number 3 was changed, or one before it was taken out" in "".join(store.check())


@pytest.mark.parametrize(
    ("damage", "sentence"),
    [
        ("DELETE FROM events WHERE sequence = 2", "number 2 is lacking"),
        ("DELETE FROM events WHERE sequence = 7", "7 were added, and 6 are there"),
        ("UPDATE files SET content = :junk WHERE mime = 'image/png'", "is not what it was"),
        ("UPDATE samples SET parquet = :junk WHERE number = 1", "its samples are damaged"),
        ("UPDATE samples SET samples = 99 WHERE number = 1", "what it is said to hold"),
        ("UPDATE costs SET amount = 'much' WHERE id = 'c1'", "'much' is no amount"),
        ("UPDATE revisions SET content = '{' WHERE name = 'Before'", "its text is damaged"),
        ("UPDATE things SET name = 'X' WHERE name = 'Before'", "its last revision says otherwise"),
        ("DELETE FROM links WHERE role = 'shows'", "what it refers to is not as its content says"),
    ],
)
def test_checking_names_the_damage(sql_rows: Rows, damage: str, sentence: str) -> None:
    store = kept(sql_rows)
    fill(store)
    with transaction(engine_of(sql_rows), writing=True, migrating=True) as connection:
        values = {"junk": b"junk"} if ":junk" in damage else {}
        assert connection.execute(text(damage), values).rowcount >= 1
    assert sentence in "".join(store.check())


def test_a_reader_sees_one_state_while_others_write(sql_rows: Rows) -> None:
    store = kept(sql_rows)
    bath = store.baths.add("Cellar bath", r.BathRecord(family="acid sulfate"))
    store.add_to_ledger(bath.id, [AmpereHours(at=NOON, id="a", charge=1.0)])
    with sql_rows.reading() as reader:
        assert len(list(reader.events(bath.id))) == 1
        store.add_to_ledger(bath.id, [AmpereHours(at=NOON, id="b", charge=1.0)])
        assert len(list(reader.events(bath.id))) == 1
    assert len(store.ledger(bath.id)) == 2


def test_sqlite_is_set_to_keep_what_it_acknowledges(tmp_path: Path) -> None:
    engine = sqlite_engine(tmp_path / "s.db")
    with transaction(engine, writing=True) as connection:
        found = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    engine.dispose()
    assert found == {
        "journal_mode": "wal",
        "synchronous": 2,  # FULL
        "foreign_keys": 1,
        "busy_timeout": 60_000,
    }


def test_opening_again_changes_nothing(
    postgres_schema: Callable[[], str],
) -> None:
    """A second program that opens the same server's store finds it made."""
    address = postgres_schema()
    first, second = opened_rows(address), opened_rows(address)
    with first.reading() as one, second.reading() as other:
        assert one.identity() == other.identity()
    engine = postgres_engine(address)
    migrated(engine)
    for closing in (first, second):
        closing.close()
    engine.dispose()


def test_a_log_cut_off_anywhere_leaves_the_commits_before_the_cut(tmp_path: Path) -> None:
    """As a power cut leaves it whose last pages did not reach the disk."""
    import numpy as np

    rows = opened_rows(str(tmp_path / "whole.db"))
    store = kept(rows)
    bath = store.baths.add("Cellar bath", r.BathRecord(family="acid sulfate"))
    log = tmp_path / "whole.db-wal"
    sizes = [log.stat().st_size]
    for n in range(20):
        store.add_to_ledger(bath.id, [AmpereHours(at=NOON, id=f"{n}", charge=1.0)])
        sizes.append(log.stat().st_size)
    assert sizes == sorted(set(sizes)), "the log was folded in meanwhile, so nothing is cut"
    rng = np.random.default_rng(5)
    for number, cut in enumerate(rng.integers(sizes[0], sizes[-1], 30)):
        copy = tmp_path / f"{number}.db"
        shutil.copy(tmp_path / "whole.db", copy)
        content = bytearray(log.read_bytes()[:cut])
        if number % 2:  # and the last page half written
            content[-50:] = rng.bytes(50)
        copy.with_name(f"{copy.name}-wal").write_bytes(content)
        after = opened_rows(str(copy))
        found = kept(after)
        committed = sum(size <= cut - (50 if number % 2 else 0) for size in sizes[1:])
        ids = [event.id for event in found.ledger(bath.id)]
        assert ids[:committed] == [f"{n}" for n in range(committed)]
        assert len(ids) <= committed + 1
        assert list(found.check()) == []
        after.close()
    rows.close()
