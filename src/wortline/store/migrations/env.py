"""What Alembic runs: the steps, in the transaction of the connection handed in."""

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=context.config.attributes["metadata"],
    render_as_batch=True,
    # SQLite can take back a change of its tables, too; Alembic does not assume it
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
