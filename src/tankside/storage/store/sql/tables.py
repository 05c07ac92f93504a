"""The tables, in types that every database has. The migrations make them; a test holds both equal.

`things` and `streams` say how matters stand now and are written over; `revisions` and `links` are
added to, and go only with their thing; `events`, `samples`, `costs` and `files` are only ever added
to (engine.py refuses any other statement on them).
"""

from sqlalchemy import (
    Boolean,
    Column,
    Double,
    ForeignKey,
    ForeignKeyConstraint,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

NEWEST = "0001"
"""The schema that these tables are; the last of the migrations."""

ID_LENGTH, NAME_LENGTH, WORD_LENGTH, DIGEST_LENGTH = 64, 200, 40, 64


METADATA = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
    }
)
"""All tables, with names for their constraints that every database can be told."""


def _text(name: str, length: int) -> "Column[str]":
    return Column(name, String(length), nullable=False)


def _number(name: str, key: str | None = None) -> "Column[int]":
    return Column(name, Integer, nullable=False, key=key)


def _moment(name: str, *, index: bool = False) -> "Column[float]":
    """Seconds since 1970; called without its unit by the statements."""
    key = name.removesuffix("_s")
    return Column(name, Double, nullable=False, key=key, index=index)


def _counted(name: str) -> "Column[int]":
    """A part of the primary key that we count, not the database."""
    return Column(name, Integer, primary_key=True, autoincrement=False)


store = Table("store", METADATA, _counted("number"), _text("identity", ID_LENGTH))
"""One row: who this store is."""

things = Table(
    "things",
    METADATA,
    Column("id", String(ID_LENGTH), primary_key=True),
    _text("kind", WORD_LENGTH),
    _text("name", NAME_LENGTH),
    _text("name_key", 3 * NAME_LENGTH),
    _number("version"),
    Column("archived", Boolean, nullable=False),
    _moment("created_s"),
    UniqueConstraint("kind", "name_key"),
)

revisions = Table(
    "revisions",
    METADATA,
    Column("thing", ForeignKey("things.id"), primary_key=True),
    _counted("version"),
    _text("name", NAME_LENGTH),
    Column("archived", Boolean, nullable=False),
    _moment("at_s"),
    Column("content", Text, nullable=False),
)

links = Table(
    "links",
    METADATA,
    Column("thing", String(ID_LENGTH), primary_key=True),
    _counted("version"),
    Column("role", String(WORD_LENGTH), primary_key=True),
    Column("target", ForeignKey("things.id"), primary_key=True, index=True),
    ForeignKeyConstraint(["thing", "version"], ["revisions.thing", "revisions.version"]),
)

streams = Table(
    "streams",
    METADATA,
    Column("thing", ForeignKey("things.id"), primary_key=True),
    _number("length"),
    _text("head", DIGEST_LENGTH),
)

events = Table(
    "events",
    METADATA,
    Column("stream", ForeignKey("streams.thing"), primary_key=True),
    _counted("sequence"),
    _text("id", NAME_LENGTH),
    _moment("at_s"),
    Column("line", Text, nullable=False),
    _text("digest", DIGEST_LENGTH),
    UniqueConstraint("stream", "id"),
)

samples = Table(
    "samples",
    METADATA,
    Column("run", ForeignKey("things.id"), primary_key=True),
    _counted("number"),
    _moment("first_s"),
    _moment("last_s"),
    _number("samples", key="count"),
    Column("parquet", LargeBinary, nullable=False, key="content"),
)

costs = Table(
    "costs",
    METADATA,
    Column("id", String(NAME_LENGTH), primary_key=True),
    _moment("at_s", index=True),
    _text("what", NAME_LENGTH),
    _text("amount", WORD_LENGTH),
    _text("currency", 3),
    Column("of", ForeignKey("things.id"), index=True),
    Column("words", Text, nullable=False),
)

files = Table(
    "files",
    METADATA,
    Column("sha256", String(DIGEST_LENGTH), primary_key=True),
    _text("mime", NAME_LENGTH),
    _number("size_bytes", key="size"),
    Column("content", LargeBinary, nullable=False),
)

ONLY_ADDED_TO = frozenset({"events", "samples", "costs", "files"})
"""Tables on which only INSERT and SELECT are let through."""
