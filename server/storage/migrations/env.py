"""Alembic's entry: it migrates the connection handed over by ``migrate.upgrade``."""

from alembic import context
from sqlmodel import SQLModel

from server.storage import tables

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=SQLModel.metadata,
    render_as_batch=False,
    compare_type=True,
)
assert tables  # imported for its metadata
with context.begin_transaction():
    context.run_migrations()
