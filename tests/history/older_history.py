"""A history as an older chanterd left it."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import create_engine

from chanterd.history import migrations


def leave_history(folder: Path, revision: str, *statements: str) -> None:
    """A history file with the tables of that step, one player, Ailsa, and what the statements put there."""
    engine = create_engine(f"sqlite:///{folder / 'history.db'}")
    config = Config()
    config.set_main_option("script_location", str(Path(migrations.__path__[0])))
    config.set_main_option("path_separator", "os")
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
        connection.exec_driver_sql("INSERT INTO players (name, folded, began_ns) VALUES ('Ailsa', 'ailsa', 0)")
        for statement in statements:
            connection.exec_driver_sql(statement)
    engine.dispose()
