"""A history as an older chanterd left it."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import create_engine

from chanterd.history import migrations


def leave_history(folder: Path, revision: str, *statements: str) -> None:
    """A history file with the tables of that step, one player, Ailsa, and what the statements put there."""
    ailsa = "INSERT INTO players (name, folded, began_ns) VALUES ('Ailsa', 'ailsa', 0)"
    walk_steps(f"sqlite:///{folder / 'history.db'}", revision, ailsa, *statements)


def walk_steps(url: str, revision: str, *statements: str) -> None:
    """Make the tables by walking every step up to that one, and put there what the statements say."""
    engine = create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    config = Config()
    config.set_main_option("script_location", str(Path(migrations.__path__[0])))
    config.set_main_option("path_separator", "os")
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
        for statement in statements:
            connection.exec_driver_sql(statement)
    engine.dispose()
