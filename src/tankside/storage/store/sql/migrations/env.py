"""Alembic runs this: migrations on the connection that migrating.py hands over."""

from alembic import context

from tankside.storage.store.sql.tables import Base

context.configure(connection=context.config.attributes["connection"], target_metadata=Base.metadata)
context.run_migrations()
