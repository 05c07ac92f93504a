"""Alembic runs this: migrations on the connection that migrating.py hands over."""

from alembic import context

from tankside.storage.store.sql.tables import METADATA

context.configure(connection=context.config.attributes["connection"], target_metadata=METADATA)
context.run_migrations()
