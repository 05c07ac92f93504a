"""Which store, and its opening: a file on this machine, or a server by its address.

Without an address it is `TANKSIDE_STORE`, else `store.db` in the folder `TANKSIDE_HOME`, else in
the folder where this machine keeps a person's data. No set-up is needed: the first use makes it.
"""

import os
import sqlite3
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

from tankside.base.errors import BadInput
from tankside.storage.home import home_folder
from tankside.storage.store.sql.beginning import begun
from tankside.storage.store.sql.engine import is_current, postgres_engine, sqlite_engine
from tankside.storage.store.sql.sql_rows import SqlRows
from tankside.storage.store.store import KeptStore

FILE = "store.db"
SERVERS = ("postgresql://", "postgresql+psycopg://", "postgres://")


def opened(address: str | None = None, environment: Mapping[str, str] = os.environ) -> KeptStore:
    """The store at this address, made or brought up to date where needed.

    BadInput in one sentence where it cannot be reached, is damaged, is something else, or was made
    by a newer version; it is then as it was.
    """
    return KeptStore(opened_rows(address, environment))


def opened_rows(address: str | None = None, environment: Mapping[str, str] = os.environ) -> SqlRows:
    """The same, as rows."""
    wanted = address or environment.get("TANKSIDE_STORE") or str(default_path(environment))
    if wanted.startswith(SERVERS):
        engine = postgres_engine("postgresql://" + wanted.partition("://")[2])
    elif "://" in wanted:
        raise BadInput(
            "a store is a file, or a server by postgresql://..., not {wanted}",
            wanted=wanted.partition("://")[0],
        )
    else:
        engine = sqlite_engine(_prepared(Path(wanted).expanduser().absolute()))
    try:
        if not is_current(engine) and not begun(engine):
            from tankside.storage.store.sql.migrating import migrated  # slow to load, rarely needed

            migrated(engine)
    except BaseException:
        engine.dispose()
        raise
    return SqlRows(engine)


def default_path(environment: Mapping[str, str] = os.environ) -> Path:
    """Where this machine keeps the store if nothing else is said."""
    return home_folder(environment) / FILE


def _prepared(path: Path) -> Path:
    """The path, with its folder made; BadInput where that cannot hold a store."""
    if "\0" in str(path):
        raise BadInput("no store can be kept there: {path!r} is no name of a file", path=path)
    try:
        if path.is_dir():
            raise BadInput("this is a folder; give the store a file in it", where=str(path))
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists() and _head(path) not in (b"", _SQLITE_HEAD):
            raise BadInput("this file is no store; give another name", where=str(path))
    except (OSError, ValueError) as error:
        if isinstance(error, BadInput):
            raise
        reason = getattr(error, "strerror", None) or str(error)
        raise BadInput(
            "no store can be kept there: {reason}", reason=reason.lower(), where=str(path)
        ) from error
    _refuse_another(path)
    return path


def _refuse_another(path: Path) -> None:
    """BadInput where the file is a database of something else: it is looked at without being set
    up as ours are."""
    if not path.exists():
        return
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as held:
            tables = [name for (name,) in held.execute(_TABLES)]
    except sqlite3.Error:
        return  # damaged: told on opening
    if tables and "alembic_version" not in tables:
        raise BadInput(
            "this database is no store of ours (it holds {tables!r}); give another",
            tables=tables[0],
            where=str(path),
        )


_TABLES = "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name"


def _head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(len(_SQLITE_HEAD))


_SQLITE_HEAD = b"SQLite format 3\x00"
