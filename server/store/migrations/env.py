"""Alembic's entry: runs the steps on the connection it is given, in one transaction."""

from __future__ import annotations

from alembic import context

from server.store.tables import Table

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=Table.metadata, render_as_batch=True, compare_type=True)
with context.begin_transaction():
    context.run_migrations()
