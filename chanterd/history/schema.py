"""The tables of the history, for SQLAlchemy Core; SQLite and PostgreSQL hold the same.

Goal: the runs alone answer whatever a player wants to know about their practice, since they carry the figures of
their reps. Reps, steps and faults are there for a closer look, and takes so that a better judge can judge them again.
Conventions: ``_ns`` are whole nanoseconds. ``began_ns`` and the like are wall clock, since 1970 in UTC; times of steps
count from beat 0 of the run. Deviations are + = late. ``day`` is the day at the player's own place, as 2026-03-31.
Reps and steps count from 0, the lead is step -1. A change here needs a migration in ``migrations/versions``.
"""

from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Float,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
)

from chanterd.history.packed import PackedJson

NAMING = {
    "ix": "ix_%(column_0_N_label)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "fk": "fk_%(table_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
NUMBER = BigInteger().with_variant(Integer, "sqlite")
"""SQLite numbers rows by itself only in a column of type INTEGER, which holds 64 bits there."""

metadata = MetaData(naming_convention=NAMING)
version = Table(
    "alembic_version",
    MetaData(naming_convention={"pk": "alembic_version_pkc"}),
    Column("version_num", String(32), primary_key=True),
)
"""Which migration was the last: Alembic's own table."""


def _part_of(name: str, whole: str) -> Column[Any]:
    """A number in the key of rows that are deleted with the row that they belong to."""
    return Column(name, NUMBER, ForeignKey(whole, ondelete="CASCADE"), primary_key=True, autoincrement=False)


def _when_columns() -> tuple[Column[Any], ...]:
    """When a run was, and why it ended."""
    return (
        Column("began_ns", BigInteger, nullable=False),
        Column("utc_offset_s", Integer, nullable=False),
        Column("day", String(10), nullable=False),
        Column("until_ns", BigInteger, nullable=False),  # when something of it was last stored
        Column("why", Text),  # why it ended; NULL: it is still going on, or was cut off
    )


def _heard_columns() -> tuple[Column[Any], ...]:
    """How a run was heard."""
    return (
        Column("input", Text, nullable=False),
        Column("chanter", Text, nullable=False),
        Column("profile", Text, nullable=False),  # the chanter's profile as it was then, as JSON
        Column("calibration_ns", BigInteger),  # already subtracted
    )


def _take_columns(run: str) -> tuple[Column[Any], ...]:
    """A take in parts, which are added while it is played."""
    return (
        _part_of("run_id", run),
        Column("part", Integer, primary_key=True),  # from 0
        Column("whole", Boolean, nullable=False),  # a whole file that was imported; else events of one MIDI track
        Column("midi", LargeBinary, nullable=False),
    )


players = Table(
    "players",
    metadata,
    Column("id", NUMBER, primary_key=True),
    Column("name", String(80), nullable=False),
    Column("folded", String(160), nullable=False, unique=True),  # the name without regard to capitals
    Column("began_ns", BigInteger, nullable=False),
    sqlite_autoincrement=True,  # a deleted player's number is never used again
)

runs = Table(
    "runs",
    metadata,
    Column("id", NUMBER, primary_key=True),
    Column("key", String(32), nullable=False, unique=True),  # known before there is a number
    Column("player_id", NUMBER, ForeignKey("players.id", ondelete="CASCADE"), nullable=False),
    *_when_columns(),
    # the exercise
    Column("drill", Text, nullable=False),
    Column("ornament", String(80), nullable=False),
    Column("family", String(80), nullable=False),
    Column("lead", String(8), nullable=False),
    Column("theme", String(8), nullable=False),
    Column("stage", Integer),  # NULL: the full ornament
    Column("click_bpm", Float, nullable=False),
    Column("standard", String(80), nullable=False),
    Column("spread", Float, nullable=False),
    Column("layout", String(80), nullable=False),
    Column("walks", Boolean, nullable=False),  # up and down the scale: the way in changes from rep to rep
    Column("mode", Text),  # such as click off; NULL: the usual way
    Column("rule", Text),  # of a tempo ladder or a plan, as JSON; NULL: none
    *_heard_columns(),
    Column("lead_in_clicks", Integer, nullable=False),  # from the start of the take to beat 0
    # how it went, updated with every rep
    Column("reps", Integer, nullable=False, default=0),
    Column("played", Integer, nullable=False, default=0),
    Column("clean", Integer, nullable=False, default=0),
    Column("longest_row", Integer, nullable=False, default=0),
    Column("heard", Integer, nullable=False, default=0),  # reps in which the step on the beat was heard
    Column("bias_ns", BigInteger),  # its median deviation
    Column("spread_ns", BigInteger),  # the scaled median absolute deviation of it
    Column("held_ns", BigInteger),  # the median length of held steps
    Column("held_spread_ns", BigInteger),
    Column("quick_ns", BigInteger),
    Column("quick_spread_ns", BigInteger),
    # who judged
    Column("judge", String(40), nullable=False),  # the version of chanterd
    Column("judged_ns", BigInteger),  # NULL: while it was played
    Index("ix_runs_player_day", "player_id", "day"),
    Index("ix_runs_player_way", "player_id", "ornament", "lead", "theme", "day"),
    sqlite_autoincrement=True,
)

reps = Table(
    "reps",
    metadata,
    _part_of("run_id", "runs.id"),
    Column("rep", Integer, primary_key=True),
    Column("clean", Boolean, nullable=False),
    Column("skipped", Boolean, nullable=False),
    Column("anchor_ns", BigInteger),
    Column("evenness", Float),  # the longest held step over the shortest; NULL: fewer than two were heard
    Column("result", PackedJson, nullable=False),  # the whole judged rep
    sqlite_with_rowid=False,
)

steps = Table(
    "steps",
    metadata,
    Column("run_id", NUMBER, primary_key=True, autoincrement=False),
    Column("rep", Integer, primary_key=True),
    Column("step", Integer, primary_key=True),
    Column("note", String(8), nullable=False),
    Column("kind", String(8), nullable=False),
    Column("state", String(12), nullable=False),
    Column("played_note", String(8)),
    Column("expected_ns", BigInteger, nullable=False),
    Column("onset_ns", BigInteger),
    Column("deviation_ns", BigInteger),
    Column("length_ns", BigInteger),
    ForeignKeyConstraint(["run_id", "rep"], ["reps.run_id", "reps.rep"], ondelete="CASCADE"),
    sqlite_with_rowid=False,
)

faults = Table(
    "faults",
    metadata,
    Column("run_id", NUMBER, primary_key=True, autoincrement=False),
    Column("rep", Integer, primary_key=True),
    Column("number", Integer, primary_key=True),  # from 0, the most important first
    Column("fault", String(40), nullable=False),
    Column("step", Integer),
    Column("said", Text, nullable=False),
    ForeignKeyConstraint(["run_id", "rep"], ["reps.run_id", "reps.rep"], ondelete="CASCADE"),
    sqlite_with_rowid=False,
)

takes = Table(
    "takes",
    metadata,
    *_take_columns("runs.id"),
    sqlite_with_rowid=False,
)

repertoire = Table(
    "repertoire",
    metadata,
    _part_of("player_id", "players.id"),
    Column("tune", String(200), primary_key=True),  # what it goes by on the shelf of tunes
    Column("performance", String(10)),  # the day on which it is performed
    sqlite_with_rowid=False,
)

tune_runs = Table(
    "tune_runs",
    metadata,
    Column("id", NUMBER, primary_key=True),
    Column("key", String(32), nullable=False, unique=True),
    Column("player_id", NUMBER, ForeignKey("players.id", ondelete="CASCADE"), nullable=False),
    # when
    Column("began_ns", BigInteger, nullable=False),
    Column("utc_offset_s", Integer, nullable=False, server_default="0"),
    Column("day", String(10), nullable=False),
    Column("until_ns", BigInteger, nullable=False, server_default="0"),  # when something of it was last stored
    Column("why", Text),  # why it ended; NULL: it is still going on, or was cut off
    # what was to be played
    Column("tune", String(200), nullable=False),  # what it goes by on the shelf of tunes
    Column("title", Text, nullable=False, server_default=""),
    Column("written", String(64)),  # what the tune was then; NULL: not known
    Column("first", Integer, nullable=False),  # its notes as written, from 0, both included
    Column("last", Integer, nullable=False),
    Column("asked_bpm", Float),  # the click, or of the count-in where it stops then; NULL: not known
    Column("click_bpm", Float, nullable=False),  # the click, or the player's own tempo without one
    Column("click_off", Boolean, nullable=False),
    Column("standard", String(80), nullable=False),
    # how it was heard
    Column("input", Text, nullable=False, server_default=""),
    Column("chanter", Text, nullable=False, server_default=""),
    Column("profile", Text),  # the chanter's profile as it was then, as JSON; NULL: not known
    Column("calibration_ns", BigInteger),  # already subtracted
    Column("lead_in_clicks", Integer, nullable=False, server_default="0"),  # from the start of the take to its time 0
    # how it went
    Column("ornaments", Integer, nullable=False),
    Column("clean", Integer, nullable=False),
    # who judged
    Column("judge", String(40)),  # the version of chanterd; NULL: nobody yet
    Column("judged_ns", BigInteger),  # NULL: while it was played
    Index("ix_tune_runs_player_id_tune", "player_id", "tune"),
    sqlite_autoincrement=True,
)

tune_takes = Table(
    "tune_takes",
    metadata,
    *_take_columns("tune_runs.id"),
    sqlite_with_rowid=False,
)

tune_results = Table(
    "tune_results",
    metadata,
    _part_of("run_id", "tune_runs.id"),
    Column("result", PackedJson, nullable=False),  # every note and the summary, as judged
    sqlite_with_rowid=False,
)

tune_ways = Table(
    "tune_ways",
    metadata,
    _part_of("run_id", "tune_runs.id"),
    Column("drill", String(200), primary_key=True),
    Column("played", Integer, nullable=False),
    Column("clean", Integer, nullable=False),
    sqlite_with_rowid=False,
)

free_runs = Table(
    "free_runs",
    metadata,
    Column("id", NUMBER, primary_key=True),
    Column("key", String(32), nullable=False, unique=True),
    Column("player_id", NUMBER, ForeignKey("players.id", ondelete="CASCADE"), nullable=False),
    *_when_columns(),
    Column("standard", String(80), nullable=False),
    *_heard_columns(),
    # how it went
    Column("ornaments", Integer, nullable=False),
    Column("clean", Integer, nullable=False),
    # who judged
    Column("judge", String(40), nullable=False),  # the version of chanterd
    Column("judged_ns", BigInteger),  # NULL: while it was played
    Index("ix_free_runs_player_id_day", "player_id", "day"),
    sqlite_autoincrement=True,
)

free_ways = Table(
    "free_ways",
    metadata,
    _part_of("run_id", "free_runs.id"),
    Column("ornament", String(80), primary_key=True),
    Column("drill", String(200), primary_key=True),  # empty where the way in is not known
    Column("in_tune", Boolean, primary_key=True),  # counted in the run through that tune too
    Column("family", String(80), nullable=False),
    Column("played", Integer, nullable=False),
    Column("clean", Integer, nullable=False),
    Column("held_ns", BigInteger),  # medians
    Column("quick_ns", BigInteger),
    Column("faults", Text, nullable=False),  # how often each was heard, as JSON
    sqlite_with_rowid=False,
)

free_takes = Table(
    "free_takes",
    metadata,
    *_take_columns("free_runs.id"),
    sqlite_with_rowid=False,
)

free_results = Table(
    "free_results",
    metadata,
    _part_of("run_id", "free_runs.id"),
    Column("part", Integer, primary_key=True),
    Column("result", PackedJson, nullable=False),  # every ornament of the part, as judged
    sqlite_with_rowid=False,
)

classes = Table(
    "classes",
    metadata,
    Column("id", NUMBER, primary_key=True),
    Column("key", String(32), nullable=False, unique=True),
    Column("began_ns", BigInteger, nullable=False),
    Column("utc_offset_s", Integer, nullable=False),
    Column("day", String(10), nullable=False),
    Column("until_ns", BigInteger, nullable=False),  # when its last rep was stored
    Column("over", Boolean, nullable=False),
    Column("drill", Text, nullable=False),
    Column("click_bpm", Float, nullable=False),  # the first tempo
    Column("standard", String(80), nullable=False),
    Column("layout", String(80), nullable=False),
    Column("rule", Text),  # of its ladder, as JSON; NULL: none
    sqlite_autoincrement=True,
)

class_reps = Table(
    "class_reps",
    metadata,
    _part_of("class_id", "classes.id"),
    Column("number", Integer, primary_key=True),  # from 0, over all tempi
    Column("click_bpm", Float, nullable=False),
    Column("seats", Integer, nullable=False),
    Column("spread_ms", Float),  # of the step on the beat, over the seats
    Column("together_ms", Float),
    Column("steps", PackedJson, nullable=False),
    sqlite_with_rowid=False,
)

class_runs = Table(
    "class_runs",
    metadata,
    _part_of("class_id", "classes.id"),
    Column("run_key", String(32), primary_key=True),  # no foreign key: the run comes with its first rep
    Column("seat", String(8), nullable=False),
    sqlite_with_rowid=False,
)

refusals = Table(
    "refusals",
    metadata,
    _part_of("player_id", "players.id"),
    Column("ornament", String(80), primary_key=True),
    Column("lead", String(8), primary_key=True),
    Column("theme", String(8), primary_key=True),
    Column("until", String(10), nullable=False),  # the last day on which it is not to be proposed
    sqlite_with_rowid=False,
)
