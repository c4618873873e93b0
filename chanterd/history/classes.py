"""The classes of the history: which there were, the reps of the band, and the runs of those who are kept."""

from dataclasses import dataclass

from sqlalchemy import Connection, delete, select

from chanterd.config import ChanterdError
from chanterd.history.class_record import StepKept
from chanterd.history.schema import class_reps, class_runs, classes, players, runs
from chanterd.history.store import Store

CLASSES_LISTED = 200


@dataclass(frozen=True, slots=True)
class ClassSeen:
    """A class."""

    number: int
    key: str
    began_ns: int
    """On the wall clock, since 1970 in UTC."""
    day: str
    minutes: float
    drill: str
    click_bpm: float
    """The first tempo."""
    standard: str
    layout: str
    over: bool


@dataclass(frozen=True, slots=True)
class BandSeen:
    """A rep of the band, in ms; see ``BandRep``."""

    number: int
    click_bpm: float
    seats: int
    spread_ms: float | None
    together_ms: float | None
    steps: tuple[StepKept, ...]


@dataclass(frozen=True, slots=True)
class AttendedRun:
    """A run that a player played in a class."""

    run: int
    player: int
    name: str
    seat: str
    drill: str
    click_bpm: float


def classes_of(connection: Connection, most: int = CLASSES_LISTED) -> list[ClassSeen]:
    """The classes, the newest first."""
    found = select(classes).order_by(classes.c.began_ns.desc(), classes.c.id.desc()).limit(most)
    return [
        ClassSeen(
            number=row["id"],
            key=row["key"],
            began_ns=row["began_ns"],
            day=row["day"],
            minutes=round((row["until_ns"] - row["began_ns"]) / 60e9, 1),
            drill=row["drill"],
            click_bpm=row["click_bpm"],
            standard=row["standard"],
            layout=row["layout"],
            over=row["over"],
        )
        for row in connection.execute(found).mappings()
    ]


def class_of(connection: Connection, number: int) -> ClassSeen:
    """One class. Raises ChanterdError if there is none of that number."""
    found = next((one for one in classes_of(connection, 10**9) if one.number == number), None)
    if found is None:
        raise ChanterdError(f"There is no class number {number}; it may have been deleted.")
    return found


def band_of(connection: Connection, number: int) -> list[BandSeen]:
    """The reps of the band in a class, in order."""
    found = select(class_reps).where(class_reps.c.class_id == number).order_by(class_reps.c.number)
    return [
        BandSeen(
            number=row["number"],
            click_bpm=row["click_bpm"],
            seats=row["seats"],
            spread_ms=row["spread_ms"],
            together_ms=row["together_ms"],
            steps=tuple(row["steps"]),
        )
        for row in connection.execute(found).mappings()
    ]


def attended(connection: Connection, number: int) -> list[AttendedRun]:
    """The runs of a class whose players keep them, in the order of the seats and of time."""
    joined = class_runs.join(runs, runs.c.key == class_runs.c.run_key).join(players, players.c.id == runs.c.player_id)
    found = (
        select(
            runs.c.id,
            runs.c.player_id,
            players.c.name,
            class_runs.c.seat,
            runs.c.drill,
            runs.c.click_bpm,
            runs.c.began_ns,
        )
        .select_from(joined)
        .where(class_runs.c.class_id == number)
    )
    rows = sorted(connection.execute(found), key=lambda row: (len(row.seat), row.seat, row.began_ns, row.id))
    return [AttendedRun(row.id, row.player_id, row.name, row.seat, row.drill, row.click_bpm) for row in rows]


def delete_class(store: Store, number: int) -> None:
    """Delete the record of a class; the players' own runs stay. Raises ChanterdError if there is none such."""
    with store.writing() as connection:
        class_of(connection, number)
        connection.execute(delete(classes).where(classes.c.id == number))
