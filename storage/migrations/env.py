"""Run the steps on the connection that is handed over, inside its transaction."""

from __future__ import annotations

from alembic import context

from storage.rows import Row

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Row.metadata,
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
