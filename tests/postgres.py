"""A PostgreSQL server of the tests' own, made in a temporary folder, reached by a socket there, and ended with them."""

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from itertools import count
from pathlib import Path
from typing import Self

import psycopg
from psycopg import sql

SUPERUSER = "postgres"
PATIENCE_S = 60.0
_numbers = count(1)


def programs() -> Path | None:
    """The folder of the newest server programs: Debian keeps them out of the path, a folder a version."""
    debian = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    found = shutil.which("initdb")
    return debian[-1].parent if debian else Path(found).parent if found else None


class PostgresServer:
    """A server with nothing in it yet; ``new_database`` gives the URL of an empty database.

    The server refuses to run as root; root runs it as the user that Debian's package makes for it. It does not wait for
    the disk: what outlives a power cut is its own makers' to test, ours is what outlives the end of a client.
    Raises RuntimeError with the words to install it if it is not there, or with its own words if it does not start.
    """

    def __enter__(self) -> Self:
        folder = programs()
        if folder is None:
            raise RuntimeError("These tests need PostgreSQL: install it with 'apt install postgresql'.")
        self._user = SUPERUSER if os.geteuid() == 0 else None
        self._place = Path(tempfile.mkdtemp(prefix="chanterd-pg-"))
        if self._user:
            os.chown(self._place, pwd.getpwnam(self._user).pw_uid, -1)
        data = self._place / "data"
        made = self._run(folder / "initdb", "-D", data, "-U", SUPERUSER, "-A", "trust", "-E", "UTF8", "--no-sync")
        if made.returncode:
            shutil.rmtree(self._place)
            raise RuntimeError(f"initdb failed: {made.stderr}")
        settings = {"listen_addresses": "", "unix_socket_directories": self._place, "fsync": "off", "jit": "off"}
        words = [word for name, value in settings.items() for word in ("-c", f"{name}={value}")]
        with (self._place / "log").open("wb") as log:
            self._process = subprocess.Popen(
                [folder / "postgres", "-D", data, *words], user=self._user, cwd=self._place, stdout=log, stderr=log
            )
        try:
            self._wait()
        except BaseException:
            self.__exit__()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        self._process.send_signal(signal.SIGQUIT)  # at once: what it would write first is thrown away with the folder
        self._process.wait(PATIENCE_S)
        shutil.rmtree(self._place)

    def _run(self, *words: object) -> subprocess.CompletedProcess[str]:
        command = [str(word) for word in words]
        return subprocess.run(command, user=self._user, cwd=self._place, capture_output=True, text=True, check=False)

    def _connect(self) -> "psycopg.Connection[tuple[object, ...]]":
        return psycopg.connect(host=str(self._place), user=SUPERUSER, dbname="postgres", autocommit=True)

    def _wait(self) -> None:
        deadline = time.monotonic() + PATIENCE_S
        while time.monotonic() < deadline and self._process.poll() is None:
            try:
                self._connect().close()
            except psycopg.OperationalError:
                time.sleep(0.05)
            else:
                return
        raise RuntimeError(f"PostgreSQL does not answer: {(self._place / 'log').read_text()}")

    def new_database(self) -> str:
        """An empty database, by the URL that ``--store`` takes."""
        name = f"test_{next(_numbers)}"
        with self._connect() as connection:
            connection.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
        return f"postgresql+psycopg://{SUPERUSER}@/{name}?host={self._place}"

    def drop(self, url: str) -> None:
        """Throw a database away at once, so that a thousand of them do not fill the disk; its users are cut off."""
        with self._connect() as connection:
            connection.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(_name_in(url))))

    def cut_off(self, url: str) -> None:
        """End every connection to that database, as a server that is restarted does."""
        ended = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s"
        with self._connect() as connection:
            connection.execute(ended, [_name_in(url)])


def _name_in(url: str) -> str:
    """The name of a database in the URL that ``new_database`` gave."""
    return url.partition("?")[0].rpartition("/")[2]
