"""Brings a database to the schema of this program, or says in one sentence why that cannot be.

An empty database gets all tables; an older store is upgraded in one transaction, a store on this
machine after a copy was set aside. A newer store, and a database that is something else, are
refused untouched.
"""

import shutil
import sqlite3
from pathlib import Path

from alembic.command import upgrade
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, inspect

from tankside.base.errors import BadInput
from tankside.storage.store.sql.beginning import alone
from tankside.storage.store.sql.engine import shown_address, transaction

MIGRATIONS = Path(__file__).with_name("migrations")


def migrated(engine: Engine, *, scripts: Path = MIGRATIONS) -> None:
    """The database has the newest schema of `scripts`; BadInput where it must not be touched."""
    where = shown_address(engine)
    with transaction(engine, writing=False) as connection:
        state = _state(connection, scripts, where)
    if state == _newest(scripts):
        return
    if state is not None and engine.dialect.name == "sqlite":
        _set_aside(Path(where), state)
    with transaction(engine, writing=True, migrating=True) as connection:
        alone(connection)
        if _state(connection, scripts, where) != _newest(scripts):
            upgrade(_config(scripts, connection), "head")


def _state(connection: Connection, scripts: Path, where: str) -> str | None:
    """The schema that is there, None for an empty database."""
    held = MigrationContext.configure(connection).get_current_revision()
    if held is None:
        strange = [name for name in inspect(connection).get_table_names() if name]
        if strange and strange != ["alembic_version"]:
            raise BadInput(
                "this database is no store of ours (it holds {strange!r}); give another",
                strange=strange[0],
                where=where,
            )
        return None
    known = {script.revision for script in _scripts(scripts).walk_revisions()}
    if held not in known:
        raise BadInput(
            "this store was made by a newer version of the program (schema {held}; this one knows "
            "up to {newest}); nothing was changed, install the newer version",
            held=held,
            newest=_newest(scripts),
            where=where,
        )
    return held


def _newest(scripts: Path) -> str | None:
    return _scripts(scripts).get_current_head()


def _scripts(scripts: Path) -> ScriptDirectory:
    return ScriptDirectory(str(scripts))


def _config(scripts: Path, connection: Connection) -> Config:
    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def _set_aside(path: Path, state: str) -> None:
    """A whole copy of the store as it is, named after its schema; never over another copy."""
    number = 1
    while (aside := path.with_name(f"{path.name}.schema-{state}.{number}")).exists():
        number += 1
    part = aside.with_name(aside.name + ".part")
    try:
        with sqlite3.connect(path) as source, sqlite3.connect(part) as target:
            source.backup(target)
        source.close()
        target.close()
        shutil.move(part, aside)
    except (OSError, sqlite3.Error) as error:
        part.unlink(missing_ok=True)
        raise BadInput(
            "no copy could be set aside before the upgrade ({error}); nothing was changed, make "
            "room",
            error=error,
            where=str(path),
        ) from error
