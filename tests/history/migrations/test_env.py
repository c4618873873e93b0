"""Walking the steps of the migrations: they end at the tables of this version."""

from pathlib import Path

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from chanterd.history import migrations
from chanterd.history.schema import metadata
from chanterd.history.store import Store, open_store
from tests.history.older_history import walk_steps


def test_the_steps_end_at_the_tables_of_the_schema(url: str, tmp_path: Path) -> None:
    """On either database, to the column: whoever changes the schema and adds no step sees it here."""
    walk_steps(url, "head")
    store = open_store(url, tmp_path)
    with store.reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    store.close()


def test_a_new_history_has_gone_all_the_steps(store: Store) -> None:
    """On either database, though it has gone none of them: the next one to be written is the first that it takes."""
    with store.reading() as connection:
        heads = MigrationContext.configure(connection).get_current_heads()
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    assert heads == tuple(ScriptDirectory(migrations.__path__[0]).get_heads())
