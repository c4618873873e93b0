"""The third step: a history from before it gets the table, and keeps what is in it."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import create_engine

from chanterd.history import migrations
from chanterd.history.store import open_store


def test_a_history_from_before_is_brought_up_to_date(tmp_path: Path) -> None:
    """On SQLite: its players are still there, and work on what they like."""
    path = tmp_path / "history.db"
    engine = create_engine(f"sqlite:///{path}")
    config = Config()
    config.set_main_option("script_location", str(Path(migrations.__path__[0])))
    config.set_main_option("path_separator", "os")
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0002")
        connection.exec_driver_sql("INSERT INTO players (name, folded, began_ns) VALUES ('Ailsa', 'ailsa', 0)")
    engine.dispose()
    store = open_store(None, tmp_path)
    with store.reading() as connection:
        assert connection.exec_driver_sql("SELECT name FROM players").scalar() == "Ailsa"
        assert connection.exec_driver_sql("SELECT count(*) FROM repertoire").scalar() == 0
    store.close()
