"""Walking the steps of the migrations: they end at the tables of this version."""

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from chanterd.history.schema import metadata
from chanterd.history.store import Store


def test_the_steps_end_at_the_tables_of_the_schema(store: Store) -> None:
    """On either database, to the column: whoever changes the schema and adds no step sees it here."""
    with store.reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
