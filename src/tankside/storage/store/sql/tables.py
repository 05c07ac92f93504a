"""The tables, in types that every database has. The migrations make them; a test holds both equal.

`things` and `streams` say how matters stand now and are written over; `revisions` and `links` are
added to, and go only with their thing; `events`, `samples`, `costs` and `files` are only ever added
to (engine.py refuses any other statement on them).
"""

from sqlalchemy import (
    Boolean,
    Double,
    ForeignKey,
    ForeignKeyConstraint,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Text,
    UniqueConstraint,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

NEWEST = "0001"
"""The schema that these tables are; the last of the migrations."""

ID_LENGTH, NAME_LENGTH, WORD_LENGTH, DIGEST_LENGTH = 64, 200, 40, 64


class Base(DeclarativeBase):
    """All tables, with names for their constraints that every database can be told."""

    metadata = MetaData(
        naming_convention={
            "pk": "pk_%(table_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s",
            "uq": "uq_%(table_name)s_%(column_0_name)s",
            "ix": "ix_%(table_name)s_%(column_0_name)s",
        }
    )


class StoreInfo(Base):
    """One row: who this store is."""

    __tablename__ = "store"
    number: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)
    identity: Mapped[str] = mapped_column(String(ID_LENGTH))


class Thing(Base):
    __tablename__ = "things"
    __table_args__ = (UniqueConstraint("kind", "name_key"),)
    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    kind: Mapped[str] = mapped_column(String(WORD_LENGTH))
    name: Mapped[str] = mapped_column(String(NAME_LENGTH))
    name_key: Mapped[str] = mapped_column(String(3 * NAME_LENGTH))
    version: Mapped[int] = mapped_column(Integer)
    archived: Mapped[bool] = mapped_column(Boolean)
    created: Mapped[float] = mapped_column("created_s", Double, key="created")


class Revision(Base):
    __tablename__ = "revisions"
    thing: Mapped[str] = mapped_column(ForeignKey("things.id"), primary_key=True)
    version: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)
    name: Mapped[str] = mapped_column(String(NAME_LENGTH))
    archived: Mapped[bool] = mapped_column(Boolean)
    at: Mapped[float] = mapped_column("at_s", Double, key="at")
    content: Mapped[str] = mapped_column(Text)


class Link(Base):
    __tablename__ = "links"
    __table_args__ = (
        ForeignKeyConstraint(["thing", "version"], ["revisions.thing", "revisions.version"]),
    )
    thing: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    version: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)
    role: Mapped[str] = mapped_column(String(WORD_LENGTH), primary_key=True)
    target: Mapped[str] = mapped_column(ForeignKey("things.id"), primary_key=True, index=True)


class Stream(Base):
    __tablename__ = "streams"
    thing: Mapped[str] = mapped_column(ForeignKey("things.id"), primary_key=True)
    length: Mapped[int] = mapped_column(Integer)
    head: Mapped[str] = mapped_column(String(DIGEST_LENGTH))


class Event(Base):
    __tablename__ = "events"
    __table_args__ = (UniqueConstraint("stream", "id"),)
    stream: Mapped[str] = mapped_column(ForeignKey("streams.thing"), primary_key=True)
    sequence: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)
    id: Mapped[str] = mapped_column(String(NAME_LENGTH))
    at: Mapped[float] = mapped_column("at_s", Double, key="at")
    line: Mapped[str] = mapped_column(Text)
    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH))


class Chunk(Base):
    __tablename__ = "samples"
    run: Mapped[str] = mapped_column(ForeignKey("things.id"), primary_key=True)
    number: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)
    first: Mapped[float] = mapped_column("first_s", Double, key="first")
    last: Mapped[float] = mapped_column("last_s", Double, key="last")
    count: Mapped[int] = mapped_column("samples", Integer, key="count")
    content: Mapped[bytes] = mapped_column("parquet", LargeBinary, key="content")


class Cost(Base):
    __tablename__ = "costs"
    id: Mapped[str] = mapped_column(String(NAME_LENGTH), primary_key=True)
    at: Mapped[float] = mapped_column("at_s", Double, index=True, key="at")
    what: Mapped[str] = mapped_column(String(NAME_LENGTH))
    amount: Mapped[str] = mapped_column(String(WORD_LENGTH))
    currency: Mapped[str] = mapped_column(String(3))
    of: Mapped[str | None] = mapped_column(ForeignKey("things.id"), index=True)
    words: Mapped[str] = mapped_column(Text)


class KeptFile(Base):
    __tablename__ = "files"
    sha256: Mapped[str] = mapped_column(String(DIGEST_LENGTH), primary_key=True)
    mime: Mapped[str] = mapped_column(String(NAME_LENGTH))
    size: Mapped[int] = mapped_column("size_bytes", Integer, key="size")
    content: Mapped[bytes] = mapped_column(LargeBinary)


ONLY_ADDED_TO = frozenset({"events", "samples", "costs", "files"})
"""Tables on which only INSERT and SELECT are let through."""
