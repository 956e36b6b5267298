"""Runs the steps on the connection that :func:`pennyspeed.storage.database.open_database` gives."""

from alembic import context

from pennyspeed.storage.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    # SQLite alters a table by making it anew.
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
