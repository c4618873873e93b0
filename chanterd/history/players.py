"""Players: people by name, no password. Deleting one deletes all that is theirs, and it is gone from the file too."""

import logging
from dataclasses import dataclass

from sqlalchemy import Connection, func, insert, select, update
from sqlalchemy import delete as delete_from
from sqlalchemy.exc import IntegrityError

from chanterd.config import ChanterdError, did_you_mean
from chanterd.history.schema import metadata, players, runs
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime

FIRST = "Player 1"
LOG = logging.getLogger(__name__)
TRACES = (
    "Deleted, but something else reads the history at this moment: until that ends and chanterd is stopped, traces of "
    "what was deleted stay in %s-wal."
)

LONGEST = 40
"""Letters of a name: what a page's header holds."""


@dataclass(frozen=True, slots=True)
class Player:
    """Somebody who practises."""

    number: int
    name: str


@dataclass(frozen=True, slots=True)
class PlayerSeen:
    """Somebody who practises, and how much of theirs is kept."""

    number: int
    name: str
    runs: int
    last_day: str | None


def checked(name: str) -> str:
    """The name as it is kept. Raises ChanterdError if it is none."""
    plain = " ".join(name.split())
    if not plain or len(plain) > LONGEST or not plain.isprintable():
        raise ChanterdError(
            f"The name of a player is {name[: 2 * LONGEST]!r}; it must have 1 to {LONGEST} letters, all printable."
        )
    return plain


def all_players(connection: Connection) -> list[PlayerSeen]:
    """Everybody, in the order of their names."""
    seen = (
        select(players.c.id, players.c.name, func.count(runs.c.id), func.max(runs.c.day))
        .outerjoin(runs, runs.c.player_id == players.c.id)
        .group_by(players.c.id, players.c.name)
    )
    found = [PlayerSeen(*row) for row in connection.execute(seen)]
    return sorted(found, key=lambda one: one.name.casefold())


def find_player(connection: Connection, name: str) -> Player:
    """The player of that name, whatever its capitals. Raises ChanterdError with a guess at the one that was meant."""
    row = connection.execute(
        select(players.c.id, players.c.name).where(players.c.folded == " ".join(name.split()).casefold())
    ).first()
    if row is not None:
        return Player(*row)
    known = list(connection.scalars(select(players.c.name).order_by(players.c.folded)))
    guess = did_you_mean(name, known)
    there = f"Known are: {', '.join(known)}." if known else "Nobody has played yet."
    raise ChanterdError(f"There is no player called '{name}'.{guess} {there}")


def player_of(connection: Connection, number: int) -> Player:
    """The player of that number. Raises ChanterdError if there is none."""
    row = connection.execute(select(players.c.id, players.c.name).where(players.c.id == number)).first()
    if row is None:
        raise ChanterdError(f"There is no player number {number}; they may have been deleted.")
    return Player(*row)


def create(store: Store, name: str, wall: WallTime) -> Player:
    """A new player. Raises ChanterdError if the name is none, or is taken."""
    plain = checked(name)
    row = {"name": plain, "folded": plain.casefold(), "began_ns": wall.ns}
    with store.writing() as connection:
        try:
            number = connection.execute(insert(players).values(row).returning(players.c.id)).scalar_one()
        except IntegrityError as error:
            raise _taken(plain) from error
    return Player(number, plain)


def rename(store: Store, number: int, name: str) -> Player:
    """Another name for a player. Raises ChanterdError if it is none, is taken, or there is no such player."""
    plain = checked(name)
    with store.writing() as connection:
        player_of(connection, number)
        named = {"name": plain, "folded": plain.casefold()}
        try:
            connection.execute(update(players).where(players.c.id == number).values(named))
        except IntegrityError as error:
            raise _taken(plain) from error
    return Player(number, plain)


def _taken(name: str) -> ChanterdError:
    return ChanterdError(f"There is a player called '{name}' already; choose them, or take another name.")


def find_or_create(store: Store, name: str, wall: WallTime) -> Player:
    """The player of that name, made if there is none."""
    with store.reading() as connection:
        row = connection.execute(
            select(players.c.id, players.c.name).where(players.c.folded == checked(name).casefold())
        ).first()
    return create(store, name, wall) if row is None else Player(*row)


def free_name(connection: Connection, name: str) -> str:
    """That name, or with the first number behind it that nobody has."""
    taken = set(connection.scalars(select(players.c.folded)))
    names = [name, *(f"{name[: LONGEST - 4]} {number}" for number in range(2, len(taken) + 3))]
    return next(one for one in names if one.casefold() not in taken)


def delete_player(store: Store, number: int) -> None:
    """Delete a player and all their runs, for good. Raises ChanterdError if there is no such player."""
    with store.writing() as connection:
        player_of(connection, number)
        connection.execute(delete_from(players).where(players.c.id == number))
    forget(store)


def delete_run(store: Store, number: int) -> None:
    """Delete one run, for good. Raises ChanterdError if there is no such run."""
    with store.writing() as connection:
        if not connection.execute(delete_from(runs).where(runs.c.id == number)).rowcount:
            raise ChanterdError(f"There is no run {number}; 'chanterd history list' shows the runs.")
    forget(store)


def forget(store: Store) -> None:
    """Have nothing of what was deleted remain in the database's files.

    SQLite: pages were overwritten as they were freed; the log still holds them as they were, so it is emptied into the
    file, which is then written anew without gaps. PostgreSQL: the tables are written anew; its own log is recycled by
    the server, and backups are beyond us. What somebody else reads all the while cannot be taken from under them: that
    something remains is told in the log.
    """
    if not store.is_sqlite:
        store.maintain(f"VACUUM (FULL) {table.name}" for table in metadata.sorted_tables)
        return
    empty_log = "PRAGMA wal_checkpoint(TRUNCATE)"
    [(busy, *_)] = store.maintain((empty_log, "VACUUM", empty_log))
    if busy:
        LOG.warning(TRACES, store.said)
