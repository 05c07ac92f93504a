"""A store of every released schema, as it lies on people's machines, is brought up to date; a store
of a newer one is left as it is."""

import json
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing, nullcontext
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import inspect

from tankside.base.errors import BadInput
from tankside.storage.store.opening import opened_rows
from tankside.storage.store.sql.engine import postgres_engine, sqlite_engine
from tankside.storage.store.sql.migrating import MIGRATIONS, migrated
from tankside.storage.store.sql.tables import NEWEST
from tests.contracts.make_released import RELEASED, as_text
from tests.contracts.scene import ACID, fill, happened, kept, ledger, picture

SCHEMAS = sorted(path.stem for path in RELEASED.glob("*.db"))

LATER = '''"""A schema of the time to come."""
import sqlalchemy as sa
from alembic import op
revision, down_revision, branch_labels, depends_on = "0002", "0001", None, None

def upgrade():
    op.add_column("things", sa.Column("colour", sa.String(20)))
    op.execute("UPDATE things SET colour = 'green' WHERE kind = 'bath'")
'''
BROKEN = LATER + '    op.execute("UPDATE nowhere SET colour = 1")\n'


def test_every_schema_was_kept_on_its_release() -> None:
    scripts = ScriptDirectory(str(MIGRATIONS))
    assert SCHEMAS == sorted(script.revision for script in scripts.walk_revisions())
    assert scripts.get_current_head() == NEWEST


@pytest.mark.parametrize("schema", SCHEMAS)
def test_a_released_store_is_upgraded_with_all_that_it_holds(tmp_path: Path, schema: str) -> None:
    shutil.copy(RELEASED / f"{schema}.db", tmp_path / "s.db")
    rows = opened_rows(str(tmp_path / "s.db"))
    store = kept(rows)
    assert list(store.check()) == []
    expected = json.loads((RELEASED / f"{schema}.json").read_text("utf-8"))
    assert json.loads(as_text(picture(rows))) == expected
    assert store.products.get("Blue bottle").value == ACID
    assert store.ledger(store.baths.get("Cellar bath").id) == ledger()
    assert store.run_events(store.runs.get("Finial, 25 November").id) == happened()
    rows.close()


@pytest.fixture
def scripts(tmp_path: Path) -> Path:
    """Migrations of ours and a later one."""
    return shutil.copytree(
        MIGRATIONS, tmp_path / "later", ignore=shutil.ignore_patterns("__pycache__")
    )


@pytest.fixture
def held(tmp_path: Path) -> Path:
    path = tmp_path / "s.db"
    shutil.copy(RELEASED / "0001.db", path)
    return path


def test_an_upgrade_keeps_everything_and_sets_a_copy_aside(held: Path, scripts: Path) -> None:
    (scripts / "versions" / "0002_later.py").write_text(LATER)
    before = held.read_bytes()
    engine = sqlite_engine(held)
    migrated(engine, scripts=scripts)
    with engine.connect() as connection:
        found = connection.exec_driver_sql("SELECT name, colour FROM things WHERE kind = 'bath'")
        assert list(found) == [("Cellar bath", "green")]
    engine.dispose()
    (aside,) = held.parent.glob("s.db.schema-*")
    assert aside.name == "s.db.schema-0001.1"
    with closing(sqlite3.connect(aside)) as copy, closing(sqlite3.connect(":memory:")) as original:
        original.deserialize(before)
        assert list(copy.iterdump()) == list(original.iterdump())


def test_an_upgrade_that_fails_leaves_the_store_as_it_was(held: Path, scripts: Path) -> None:
    (scripts / "versions" / "0002_later.py").write_text(BROKEN)
    engine = sqlite_engine(held)
    with pytest.raises(BadInput, match=r"no such table: nowhere\); nothing was changed"):
        migrated(engine, scripts=scripts)
    with engine.connect() as connection:
        assert "colour" not in {one["name"] for one in inspect(connection).get_columns("things")}
        version = connection.exec_driver_sql("SELECT version_num FROM alembic_version")
        assert version.scalar_one() == "0001"
    engine.dispose()
    rows = opened_rows(str(held))
    assert list(kept(rows).check()) == []
    rows.close()


@pytest.mark.parametrize(("script", "fails"), [(LATER, False), (BROKEN, True)])
def test_a_server_is_upgraded_wholly_or_not_at_all(
    postgres_schema: Callable[[], str], scripts: Path, script: str, fails: bool
) -> None:
    (scripts / "versions" / "0002_later.py").write_text(script)
    address = postgres_schema()
    rows = opened_rows(address)
    fill(kept(rows))
    before = picture(rows)
    engine = postgres_engine(address)
    with pytest.raises(BadInput, match="nothing was changed") if fails else nullcontext():
        migrated(engine, scripts=scripts)
    columns = {one["name"] for one in inspect(engine).get_columns("things")}
    assert ("colour" in columns) is not fails
    assert picture(rows) == before
    engine.dispose()
    rows.close()


def test_a_store_of_a_newer_version_is_left_as_it_is(held: Path) -> None:
    with closing(sqlite3.connect(held)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0999'")
        connection.execute("CREATE TABLE things_to_come (x)")
        connection.commit()
    before = list(_dump(held))
    with pytest.raises(
        BadInput,
        match=r"made by a newer version .*schema 0999; this one knows up to \d+.*install the newer",
    ):
        opened_rows(str(held))
    assert list(_dump(held)) == before


def _dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        return list(connection.iterdump())
