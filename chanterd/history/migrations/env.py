"""Run by Alembic: walks the steps on the connection that ``store`` hands over, each step and its record in one go."""

from alembic import context

from chanterd.history.schema import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    transactional_ddl=True,  # SQLite has it too, once the driver leaves transactions alone, as ours does
    transaction_per_migration=False,
)
context.run_migrations()
