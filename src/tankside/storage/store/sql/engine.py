"""A database by its address, set so that what it acknowledges stays.

SQLite: write-ahead log, foreign keys on, every commit flushed to the disk (synchronous = FULL), and
a wait of `BUSY_S` for another program's write; a write takes the lock at its beginning, so that it
never fails half-way for the lock. PostgreSQL: as the server is set, reached by psycopg. On either,
a statement that would change what is only added to does not reach the database.
"""

import re
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect
from sqlalchemy.engine import make_url
from sqlalchemy.exc import (
    ArgumentError,
    DatabaseError,
    DBAPIError,
    IntegrityError,
    NoSuchModuleError,
    OperationalError,
)

from tankside.base.errors import BadInput
from tankside.base.wording import quoting
from tankside.storage.store.rows import Clash
from tankside.storage.store.sql.tables import NEWEST, ONLY_ADDED_TO

BUSY_S = 60.0
"""How long a write waits for another program's."""

_CHANGES = re.compile(
    rf"\s*(?:UPDATE|DELETE\s+FROM|DROP\s+TABLE|TRUNCATE)\s+\"?({'|'.join(sorted(ONLY_ADDED_TO))})\b",
    re.IGNORECASE,
)


def sqlite_engine(path: Path) -> Engine:
    """The database in this file, which is made with the first write."""
    engine = create_engine(
        URL.create("sqlite+pysqlite", database=str(path)), connect_args={"timeout": BUSY_S}
    )
    event.listen(engine, "connect", _prepared)
    event.listen(engine, "begin", _begun)
    event.listen(engine, "before_cursor_execute", _guarded)
    return engine


def postgres_engine(address: str) -> Engine:
    """The database at this address; BadInput where it is none, or the driver is missing."""
    try:
        url = make_url(address).set(drivername="postgresql+psycopg")
        engine = create_engine(url, pool_pre_ping=True)
    except (ArgumentError, NoSuchModuleError, ValueError) as error:
        raise BadInput(
            "{address!r} is no address of a store; one is postgresql://NAME@HOST/DATABASE",
            address=_hidden(address),
        ) from error
    except ModuleNotFoundError as error:
        raise BadInput(
            "a shared store needs the PostgreSQL driver: pip install 'tankside[shop]'"
        ) from error
    event.listen(engine, "before_cursor_execute", _guarded)
    return engine


def shown_address(engine: Engine) -> str:
    """Where the database is, without a password."""
    if engine.dialect.name == "sqlite":
        return str(engine.url.database)
    return engine.url.set(drivername="postgresql", query={}).render_as_string(hide_password=True)


def is_current(engine: Engine) -> bool:
    """Whether the database has the newest schema, so that nothing needs to be migrated."""
    with transaction(engine, writing=False) as connection:
        if not inspect(connection).has_table("alembic_version"):
            return False
        held = connection.exec_driver_sql("SELECT version_num FROM alembic_version")
        return held.scalar() == NEWEST


@contextmanager
def transaction(engine: Engine, *, writing: bool, migrating: bool = False) -> Iterator[Connection]:
    """Work on one state of everything; kept as a whole when it ends, or not at all."""
    with told(shown_address(engine)):
        options: dict[str, Any] = {"writing": writing, "migrating": migrating}
        if engine.dialect.name == "postgresql" and not writing:
            options |= {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
        with engine.connect() as connection:
            connection = connection.execution_options(**options)
            with connection.begin():
                yield connection


@contextmanager
def told(where: str) -> Iterator[None]:
    """What the database refuses becomes one sentence."""
    try:
        yield
    except (IntegrityError, OperationalError) as error:
        if isinstance(error, OperationalError) and "deadlock" not in str(error.orig):
            raise BadInput(_reason(error), where=where) from error
        raise Clash(
            "another program changed the store at the same moment; nothing was changed here, try "
            "again",
            where=where,
        ) from error
    except DBAPIError as error:
        raise BadInput(_reason(error), where=where) from error


def _reason(error: DBAPIError) -> str:
    said = str(error.orig).strip().splitlines()[0] if str(error.orig).strip() else "no reason given"
    if "locked" in said or "busy" in said:
        return quoting(
            "another program has been writing for over {busy_s:.0f} s; nothing was changed",
            busy_s=BUSY_S,
        )
    if "disk is full" in said or "disk I/O" in said:
        return quoting("the disk refuses ({said}); nothing was changed, make room", said=said)
    if isinstance(error, DatabaseError) and isinstance(error.orig, sqlite3.DatabaseError):
        if "malformed" in said or "not a database" in said:
            return quoting("this is no sound store ({said}); restore it from an export", said=said)
        return quoting("the store cannot be used ({said}); nothing was changed", said=said)
    return quoting("the database does not do as asked ({said}); nothing was changed", said=said)


def _hidden(address: str) -> str:
    """The address without what may be a password."""
    return re.sub(r"(//[^/@:]*):[^/@]*@", r"\1:***@", address)


def _prepared(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # transactions begin where `_begun` says, also for DDL
    _log_ahead(connection)
    for pragma in ("synchronous = FULL", "foreign_keys = ON"):
        connection.execute(f"PRAGMA {pragma}").close()


def _log_ahead(connection: Any) -> None:
    """Writes go to a log first, so that readers do not wait. SQLite itself waits for nobody where
    several turn one new file to its log at the same moment."""
    until = time.monotonic() + BUSY_S
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL").close()
            return
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > until:
                raise
            time.sleep(0.01)


def _begun(connection: Connection) -> None:
    writing = connection.get_execution_options().get("writing", True)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


def _guarded(
    connection: Connection,
    _cursor: Any,
    statement: str,
    _parameters: Any,
    _context: Any,
    _many: bool,
) -> None:
    if connection.get_execution_options().get("migrating"):
        return
    if found := _CHANGES.match(statement):
        raise AssertionError(f"{found[1]} are only ever added to")
