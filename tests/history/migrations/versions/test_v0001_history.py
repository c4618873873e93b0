"""The first step: it is the first."""

from chanterd.history.migrations.versions import v0001_history
from chanterd.history.store import Store


def test_it_is_where_a_new_history_begins(store: Store) -> None:
    """Nothing comes before it, and a new history has gone through it."""
    assert v0001_history.down_revision is None
    with store.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM alembic_version").scalar() == 1
