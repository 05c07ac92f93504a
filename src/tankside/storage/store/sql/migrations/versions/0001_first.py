"""The first schema."""

import uuid

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes every table, and the store's identity."""
    store = op.create_table(
        "store",
        sa.Column("number", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("identity", sa.String(64), nullable=False),
    )
    op.create_table(
        "things",
        sa.Column("id", sa.String(64), primary_key=True),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("name_key", sa.String(600), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("archived", sa.Boolean(), nullable=False),
        sa.Column("created_s", sa.Double(), nullable=False),
        sa.UniqueConstraint("kind", "name_key", name="uq_things_kind"),
    )
    _revisions()
    _streams()
    _entries()
    op.bulk_insert(store, [{"number": 1, "identity": uuid.uuid4().hex}])


def _revisions() -> None:
    op.create_table(
        "revisions",
        _thing("thing", "fk_revisions_thing", primary_key=True),
        sa.Column("version", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("archived", sa.Boolean(), nullable=False),
        sa.Column("at_s", sa.Double(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
    )
    op.create_table(
        "links",
        sa.Column("thing", sa.String(64), primary_key=True),
        sa.Column("version", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("role", sa.String(40), primary_key=True),
        _thing("target", "fk_links_target", primary_key=True),
        sa.ForeignKeyConstraint(
            ["thing", "version"], ["revisions.thing", "revisions.version"], name="fk_links_thing"
        ),
    )
    op.create_index("ix_links_target", "links", ["target"])


def _streams() -> None:
    op.create_table(
        "streams",
        _thing("thing", "fk_streams_thing", primary_key=True),
        sa.Column("length", sa.Integer(), nullable=False),
        sa.Column("head", sa.String(64), nullable=False),
    )
    op.create_table(
        "events",
        sa.Column(
            "stream",
            sa.String(64),
            sa.ForeignKey("streams.thing", name="fk_events_stream"),
            primary_key=True,
        ),
        sa.Column("sequence", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("id", sa.String(200), nullable=False),
        sa.Column("at_s", sa.Double(), nullable=False),
        sa.Column("line", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.UniqueConstraint("stream", "id", name="uq_events_stream"),
    )
    op.create_table(
        "samples",
        _thing("run", "fk_samples_run", primary_key=True),
        sa.Column("number", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("first_s", sa.Double(), nullable=False),
        sa.Column("last_s", sa.Double(), nullable=False),
        sa.Column("samples", sa.Integer(), nullable=False),
        sa.Column("parquet", sa.LargeBinary(), nullable=False),
    )


def _entries() -> None:
    op.create_table(
        "costs",
        sa.Column("id", sa.String(200), primary_key=True),
        sa.Column("at_s", sa.Double(), nullable=False),
        sa.Column("what", sa.String(200), nullable=False),
        sa.Column("amount", sa.String(40), nullable=False),
        sa.Column("currency", sa.String(3), nullable=False),
        _thing("of", "fk_costs_of", nullable=True),
        sa.Column("words", sa.Text(), nullable=False),
    )
    op.create_index("ix_costs_at_s", "costs", ["at_s"])
    op.create_index("ix_costs_of", "costs", ["of"])
    op.create_table(
        "files",
        sa.Column("sha256", sa.String(64), primary_key=True),
        sa.Column("mime", sa.String(200), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
    )


def _thing(
    name: str, constraint: str, *, primary_key: bool = False, nullable: bool = False
) -> "sa.Column[str]":
    """A column that holds a thing's id."""
    return sa.Column(
        name,
        sa.String(64),
        sa.ForeignKey("things.id", name=constraint),
        primary_key=primary_key,
        nullable=nullable,
    )
