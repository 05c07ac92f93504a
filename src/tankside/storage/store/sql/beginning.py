"""Makes all tables in an empty database, as the migrations would; a test holds both equal.

A first start so needs nothing of what upgrades an older store.
"""

import uuid

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    insert,
    inspect,
)

from tankside.storage.store.sql.engine import transaction
from tankside.storage.store.sql.tables import METADATA, NEWEST, store

VERSION = Table(
    "alembic_version",
    MetaData(),
    Column("version_num", String(32), nullable=False),
    PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)
"""Where the migrations look for the schema that is there."""


def begun(engine: Engine) -> bool:
    """Whether the database was empty, and now has the newest schema and an identity."""
    with transaction(engine, writing=False) as connection:
        if inspect(connection).get_table_names():
            return False  # also where nothing may be written
    with transaction(engine, writing=True, migrating=True) as connection:
        alone(connection)
        if inspect(connection).get_table_names():
            return False
        METADATA.create_all(connection, checkfirst=False)
        connection.execute(insert(store).values(number=1, identity=uuid.uuid4().hex))
        VERSION.create(connection, checkfirst=False)
        connection.execute(insert(VERSION).values(version_num=NEWEST))
    return True


def alone(connection: Connection) -> None:
    """Two programs that make or upgrade one server's store at once do it one after the other; on
    SQLite a write is alone anyway."""
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql("SELECT pg_advisory_xact_lock(8020112)")
