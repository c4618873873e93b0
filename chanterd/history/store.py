"""Opening the database: SQLite in the data folder, or another by URL; chanterd brings its tables up to date first.

What SQLite promises here: it enforces foreign keys; it overwrites what is deleted; it has a write-ahead log, so that
reading never waits for writing; and ``synchronous`` FULL, so that what was committed survives a power cut. With
NORMAL, the usual advice for such a log, the last few reps would not; FULL costs one more fsync a rep, on the writer's
own thread.
"""

import logging
import os
import sqlite3
import sys
import threading
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError

from chanterd.config import ChanterdError
from chanterd.history.schema import metadata, version

LOG = logging.getLogger(__name__)

FILE = "history.db"
SQLITE = "sqlite"
POSTGRESQL = "postgresql+psycopg"
BUSY_S = 60.0
"""How long to wait for another writer, such as one that deletes a player from years of history."""
CONNECT_S = 10
EXAMPLE = "postgresql+psycopg://USER@HOST/DATABASE"

MIGRATIONS = Path(__file__).parent / "migrations"
VARIABLE = "CHANTERD_STORE"
"""The environment variable with the store's URL: there no other user can see a password in it."""
VISIBLE = (
    "Every user of this machine can see the password in --store in the list of processes. Put the URL into the "
    "environment variable %s instead, or the password into ~/.pgpass."
)
DAMAGED = (
    "The history ({where}) is damaged: {what}. What can still be read is shown. Stop chanterd and save the rest: "
    "sqlite3 '{where}' .recover | sqlite3 saved.db. Then move the old file away and put saved.db in its place."
)

PRAGMAS = ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", "secure_delete = ON")


class NewerTables(Exception):  # noqa: N818 - it is nobody's mistake
    """A newer chanterd changed the database in ways that this one does not know."""


@dataclass(frozen=True, slots=True)
class Store:
    """An open database with the tables of this version in it."""

    engine: Engine
    said: str
    """Where it is, without a password, so that it can be shown."""
    _file: "_File | None" = None

    @property
    def is_sqlite(self) -> bool:
        """Whether it is a file on this machine."""
        return self.engine.dialect.name == SQLITE

    @property
    def url(self) -> str:
        """Where another process finds it; there may be a password in it, so it is shown to nobody."""
        return self.engine.url.render_as_string(hide_password=False)

    def renew(self) -> bool:
        """Make the file again if it was deleted or replaced since it was opened; True if it was.

        SQLite itself would go on writing into the deleted file, where nobody could find it. Raises ChanterdError if no
        new file can be made.
        """
        return self._file is not None and self._file.renew(self.engine, self.said)

    def damage(self) -> str | None:
        """What is wrong with the file and how to save the rest; None if nothing is. Slow: it reads the whole file."""
        if not self.is_sqlite:
            return None
        try:
            with self.engine.connect() as connection:
                found = str(connection.exec_driver_sql("PRAGMA quick_check(1)").scalar())
        except DBAPIError as error:
            found = reason(error)
        return None if found == "ok" else DAMAGED.format(where=self.said, what=" ".join(found.split()).rstrip("."))

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one moment of the history. Raises ChanterdError if the database cannot be read."""
        self.renew()
        with _explained(self.said, "read"), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction, committed whole or not at all. Raises ChanterdError if it cannot be written."""
        self.renew()
        with _explained(self.said, "written to"), self.engine.execution_options(writes=True).begin() as connection:
            yield connection

    def maintain(self, statements: Iterable[str]) -> list[Any]:
        """Run statements that cannot be in a transaction; returns the rows of the last one.

        Raises ChanterdError if it cannot.
        """
        answer: list[Any] = []
        with _explained(self.said, "written to"):
            connection = self.engine.raw_connection()
            try:
                raw: Any = connection.dbapi_connection
                if not self.is_sqlite:
                    raw.autocommit = True
                for statement in statements:
                    cursor = raw.execute(statement)
                    answer = cursor.fetchall() if cursor.description else []
            finally:
                connection.invalidate()  # its state differs from those in the pool
                connection.close()
        return answer

    def explain_write_errors(self) -> AbstractContextManager[None]:
        """Turn a database error inside it into a ChanterdError: the history cannot be written to."""
        return _explained(self.said, "written to")

    def close(self) -> None:
        """Close all connections."""
        self.engine.dispose()


class _File:
    """The file of an open SQLite database, to notice if it is deleted or replaced."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._log = [path.with_name(path.name + end) for end in ("-wal", "-shm")]
        self._known = _identity(path)
        self._known_log = [_identity(one) for one in self._log]
        self._renewing = threading.Lock()  # the writer and the readers each have their own thread

    def renew(self, engine: Engine, said: str) -> bool:
        """See :meth:`Store.renew`."""
        with self._renewing:
            if self._known is not None and _identity(self._path) == self._known:
                self._known_log = [_identity(one) for one in self._log]
                return False
            self._known = None  # until there is a file, each call tries again
            engine.dispose()
            try:
                for one, known in zip(self._log, self._known_log, strict=True):
                    if known is not None and _identity(one) == known:
                        one.unlink()  # the old file's: SQLite would write it into the new one
                self._path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
                make_private(self._path)
                _bring_up_to_date(engine)
            except (OSError, DBAPIError, NewerTables) as error:
                why = reason(error) if isinstance(error, DBAPIError) else str(error)
                raise ChanterdError(f"The history ({said}) is gone and cannot be made again: {why}.") from error
            self._known = _identity(self._path)
            return True


def _identity(path: Path) -> tuple[int, int] | None:
    """Two numbers that differ if the file is another one with the same name; None if there is none."""
    with suppress(OSError):
        seen = path.stat()
        return seen.st_dev, seen.st_ino
    return None


def make_private(path: Path) -> None:
    """Make the file, empty if it is new, and readable by its owner only. Raises OSError."""
    os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
    path.chmod(0o600)


@contextmanager
def _explained(said: str, what: str) -> Iterator[None]:
    try:
        yield
    except DBAPIError as error:
        raise ChanterdError(f"The history ({said}) cannot be {what}: {reason(error)}.") from error


def reason(error: DBAPIError) -> str:
    """The first line of what the database's driver says, without a full stop."""
    return next(iter(str(error.orig).strip().splitlines()), type(error).__name__).rstrip(".")


def open_store(url: str | None, folder: Path) -> Store:
    """Open the database, or make it if there is none, and bring its tables up to date.

    ``url`` is the URL of ``--store``. None means the one in the environment variable ``CHANTERD_STORE``, or else
    ``history.db`` in the data folder.
    Raises ChanterdError if it cannot be opened, is damaged, or was written by a newer chanterd.
    """
    url = url or os.environ.get(VARIABLE)
    parsed = URL.create(SQLITE, database=str(folder / FILE)) if url is None else _parsed(url)
    if parsed.password and any(str(parsed.password) in word for word in sys.argv):
        LOG.warning(VISIBLE, VARIABLE)
    said = str(parsed.database) if parsed.drivername == SQLITE else parsed.render_as_string(hide_password=True)
    engine = _engine(parsed)
    path = Path(str(parsed.database)) if parsed.drivername == SQLITE else None
    try:
        if path is not None:
            make_private(path)
        _bring_up_to_date(engine)
    except OSError as error:
        raise ChanterdError(f"The history ({said}) cannot be opened ({error.strerror}). {_mend(parsed)}") from error
    except DBAPIError as error:
        engine.dispose()
        raise ChanterdError(f"The history ({said}) cannot be opened: {reason(error)}. {_mend(parsed)}") from error
    except NewerTables as error:
        engine.dispose()
        raise ChanterdError(
            f"The history ({said}) was written by a newer chanterd; install that one, or choose another with --store."
        ) from error
    return Store(engine, said, None if path is None else _File(path))


def _mend(url: URL) -> str:
    if url.drivername == SQLITE:
        return "Is it a chanterd history, and may you write there? Move it away, or use another --data or --store."
    return f"Is the server running, and is --store right, as in {EXAMPLE}?"


def _parsed(url: str) -> URL:
    try:
        parsed = make_url(url)
    except (ArgumentError, ValueError) as error:  # a port that is not a number gives a plain ValueError
        shown = f"***@{url.rpartition('@')[2]}" if "@" in url else url
        raise ChanterdError(
            f"The store --store is '{shown}'; it must be a URL such as {EXAMPLE}, with a number if it has a port, or "
            "sqlite:///FILE."
        ) from error
    if parsed.drivername in ("postgresql", "postgres"):
        parsed = parsed.set(drivername=POSTGRESQL)
    if parsed.drivername not in (SQLITE, POSTGRESQL):
        raise ChanterdError(
            f"The store --store is a '{parsed.drivername}'; it must be {SQLITE} or {POSTGRESQL}, such as {EXAMPLE}."
        )
    if parsed.drivername == SQLITE and parsed.database in (None, "", ":memory:"):
        raise ChanterdError("The store --store names no file, so your reps would be lost; write sqlite:///FILE.")
    if parsed.drivername == POSTGRESQL and find_spec("psycopg") is None:
        raise ChanterdError("A PostgreSQL store needs the driver psycopg: pip install 'chanterd[school]'.")
    return parsed


def _engine(url: URL) -> Engine:
    if url.drivername != SQLITE:
        return create_engine(url, pool_pre_ping=True, connect_args={"connect_timeout": CONNECT_S})
    engine = create_engine(url, connect_args={"timeout": BUSY_S})
    event.listen(engine, "connect", _set_up_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _set_up_sqlite(connection: sqlite3.Connection, _record: Any) -> None:  # noqa: ANN401 - SQLAlchemy's own
    connection.isolation_level = (
        None  # the driver starts no transactions itself, so that tables, too, change whole or not at all
    )
    connection.text_factory = _text
    for pragma in PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")


def _text(raw: bytes) -> str:
    """Decode a text; damaged letters show as such, so that one of them does not spoil a whole query."""
    return raw.decode(errors="replace")


def _begin_sqlite(connection: Connection) -> None:
    """Lock for writing from the start: two that both read first and then write would block each other."""
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _bring_up_to_date(engine: Engine) -> None:
    """Run the migrations that the database lacks. Raises NewerTables if it has any that this one does not know."""
    if _version(engine) == _newest() or _made(engine):
        return
    # Before it is loaded, which it logs too: neither that nor each step is news to a player.
    logging.getLogger("alembic").setLevel(logging.WARNING)
    # Alembic is large, and a daemon should not wait for it when the tables are up to date, as they nearly always are.
    from alembic import command  # noqa: PLC0415
    from alembic.config import Config  # noqa: PLC0415
    from alembic.util import CommandError  # noqa: PLC0415

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    try:
        with engine.execution_options(writes=True).begin() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
    except CommandError as error:
        raise NewerTables(str(error)) from error


def _made(engine: Engine) -> bool:
    """Make all tables at once where there are none yet: a new history need not go through all that ever changed."""
    with engine.execution_options(writes=True).begin() as connection:
        if inspect(connection).get_table_names():
            return False
        metadata.create_all(connection)
        version.create(connection)
        connection.execute(version.insert().values(version_num=_newest()))
    return True


def _version(engine: Engine) -> str | None:
    """The last migration that Alembic recorded; None if there is none or the database cannot be read."""
    try:
        with engine.connect() as connection:
            return connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    except DBAPIError:
        return None


def _newest() -> str:
    """The number of the newest migration; its module has a name such as v0002_refusals."""
    return max(path.name for path in (MIGRATIONS / "versions").glob("v*.py"))[1:5]
