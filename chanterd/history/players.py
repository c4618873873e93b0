"""Players: people with a name and no password. Deleting one deletes everything of theirs from the file, too."""

import logging
from dataclasses import dataclass

from sqlalchemy import Connection, Table, func, insert, select, union_all, update
from sqlalchemy import delete as delete_from
from sqlalchemy.exc import IntegrityError

from chanterd.config import ChanterdError, did_you_mean
from chanterd.history.schema import free_runs, metadata, players, runs, tune_runs
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime

FIRST = "Player 1"
LOG = logging.getLogger(__name__)
TRACES = (
    "Deleted. But another program is reading the history: until it ends and chanterd stops, traces of "
    "what you deleted stay in %s-wal."
)

LONGEST = 40
"""Letters of a name: what a page's header holds."""


@dataclass(frozen=True, slots=True)
class Player:
    """A person who practises."""

    number: int
    name: str


@dataclass(frozen=True, slots=True)
class PlayerSeen:
    """A person who practises, and how much the history has of them."""

    number: int
    name: str
    runs: int
    last_day: str | None


def checked(name: str) -> str:
    """The name as it is stored. Raises ChanterdError if it cannot be a name."""
    plain = " ".join(name.split())
    if not plain or len(plain) > LONGEST or not plain.isprintable():
        raise ChanterdError(
            f"The name of a player is {name[: 2 * LONGEST]!r}; it must have 1 to {LONGEST} letters, all printable."
        )
    return plain


def all_players(connection: Connection) -> list[PlayerSeen]:
    """All players, sorted by name."""
    tables = (runs, tune_runs, free_runs)
    each = union_all(*(select(one.c.player_id, one.c.day) for one in tables)).subquery()
    seen = (
        select(players.c.id, players.c.name, func.count(each.c.day), func.max(each.c.day))
        .outerjoin(each, each.c.player_id == players.c.id)
        .group_by(players.c.id, players.c.name)
    )
    found = [PlayerSeen(*row) for row in connection.execute(seen)]
    return sorted(found, key=lambda one: one.name.casefold())


def find_player(connection: Connection, name: str) -> Player:
    """The player with that name, capitals ignored. Raises ChanterdError with a guess at the one you mean."""
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
    """The player with that number. Raises ChanterdError if there is none."""
    row = connection.execute(select(players.c.id, players.c.name).where(players.c.id == number)).first()
    if row is None:
        raise ChanterdError(f"There is no player number {number}; they may have been deleted.")
    return Player(*row)


def create(store: Store, name: str, wall: WallTime) -> Player:
    """Add a player. Raises ChanterdError if the name cannot be one, or is taken."""
    plain = checked(name)
    row = {"name": plain, "folded": plain.casefold(), "began_ns": wall.ns}
    with store.writing() as connection:
        try:
            number = connection.execute(insert(players).values(row).returning(players.c.id)).scalar_one()
        except IntegrityError as error:
            raise _taken(plain) from error
    return Player(number, plain)


def rename(store: Store, number: int, name: str) -> Player:
    """Rename a player. Raises ChanterdError if the name cannot be one or is taken, or there is no such player."""
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
    return ChanterdError(f"There is a player called '{name}' already; choose that player, or another name.")


def find_or_create(store: Store, name: str, wall: WallTime) -> Player:
    """The player with that name, added if there is none."""
    with store.reading() as connection:
        row = connection.execute(
            select(players.c.id, players.c.name).where(players.c.folded == checked(name).casefold())
        ).first()
    return create(store, name, wall) if row is None else Player(*row)


def free_name(connection: Connection, name: str) -> str:
    """That name, or the name with the first number after it that is free."""
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
    delete_run_of(store, runs, number, f"There is no run {number}; 'chanterd history list' shows the runs.")


def delete_run_of(store: Store, table: Table, number: int, missing: str) -> None:
    """Delete one run of a kind, for good. Raises ChanterdError, which says ``missing``, if there is no such run."""
    with store.writing() as connection:
        if not connection.execute(delete_from(table).where(table.c.id == number)).rowcount:
            raise ChanterdError(missing)
    forget(store)


def forget(store: Store) -> None:
    """Remove every trace of what was deleted from the database's files.

    SQLite overwrites pages as it frees them, but its log still holds the old ones: so the log is emptied into the
    file, and the file rewritten without gaps. PostgreSQL rewrites the tables; its server recycles its own log, and
    backups are beyond our reach. While another program reads, some traces must stay: then a line in the log says so.
    """
    if not store.is_sqlite:
        store.maintain(f"VACUUM (FULL) {table.name}" for table in metadata.sorted_tables)
        return
    empty_log = "PRAGMA wal_checkpoint(TRUNCATE)"
    [(busy, *_)] = store.maintain((empty_log, "VACUUM", empty_log))
    if busy:
        LOG.warning(TRACES, store.said)
