"""Exporting the history: one JSON document, or one CSV file for each table. Both are made piece by piece.

Conventions: columns have the names of the tables' columns. In JSON a run holds its judged reps, the numbers of any
reps left out because the database is damaged, and its take, a whole MIDI file in base64 (RFC 4648); so does a run
through a tune, with every note that was reached, and one of free playing, with every ornament. CSV is
comma-separated with a header line and CRLF (RFC 4180), in UTF-8 with a byte-order mark, without which spreadsheets
misread letters; a text that a spreadsheet would read as a formula has an apostrophe before it (OWASP, "CSV
Injection").
"""

import base64
import csv
import io
import json
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from sqlalchemy import Connection, Select, Table, func, select
from sqlalchemy.exc import DBAPIError

from chanterd import __version__
from chanterd.config import ChanterdError
from chanterd.history.damage import read_reps
from chanterd.history.free_runs import free_take_of, ornaments_of
from chanterd.history.schema import faults, free_runs, free_ways, players, reps, runs, steps, tune_runs, tune_ways
from chanterd.history.takes import take_of
from chanterd.history.tune_runs import result_of, tune_take_of

FORMATS = ("csv", "json")
TABLES = (
    *("players", "runs", "reps", "steps", "faults", "tune_runs", "tune_ways", "tune_notes"),
    *("free_runs", "free_ways", "free_ornaments"),
)
_SOURCES = {
    "players": players,
    "runs": runs,
    "reps": reps,
    "steps": steps,
    "faults": faults,
    "tune_runs": tune_runs,
    "tune_ways": tune_ways,
    "free_runs": free_runs,
    "free_ways": free_ways,
}
_RUNS_OF = {tune_ways: tune_runs, free_ways: free_runs}
"""Whose runs a table's ``run_id`` numbers; of the other tables, the runs of drills."""
_NOTE = ("note", "pass", "bar", "name", "state", "expected_ms", "onset_ms", "deviation_ms", "length_ms")
"""Of each note of a tune that was reached, as in ``NoteResult``; then its ornament."""
_ORNAMENT = ("drill", "gracenotes", "clean", "said")
_HEARD = ("start_ms", "theme_ms", "ornament", "drill", "clean", "said")
"""Of each ornament of free playing, as in ``HeardOrnament``."""
ROWS = 2_000
"""How many rows are read at a time."""
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_BOM = "\ufeff"


def checked_format(words: str) -> str:
    """The format's name, checked. Raises ChanterdError if there is no such format."""
    if words not in FORMATS:
        raise ChanterdError(f"The format is '{words}'; it must be {' or '.join(FORMATS)}.")
    return words


def run_count(connection: Connection, player: int | None) -> int:
    """How many runs there are to export, through tunes and of free playing too."""
    counts = (_of(select(func.count()).select_from(table), table, player) for table in (runs, tune_runs, free_runs))
    return sum(connection.scalar(one) or 0 for one in counts)


def json_pieces(connection: Connection, player: int | None = None) -> Iterator[str]:
    """The JSON document, a run at a time; ``player`` None means everybody."""
    everyone = [dict(row) for row in _rows(connection, players, player)]
    head = json.dumps({"chanterd": __version__, "players": everyone}, ensure_ascii=False)
    yield head[:-1] + ', "runs": ['
    yield from _listed(_drill_run(connection, row) for row in _rows(connection, runs, player))
    yield '], "tune_runs": ['
    yield from _listed(_tune_run(connection, row) for row in _rows(connection, tune_runs, player))
    yield '], "free_runs": ['
    yield from _listed(_free_run(connection, row) for row in _rows(connection, free_runs, player))
    yield "]}\n"


def _listed(values: Iterable[dict[str, Any]]) -> Iterator[str]:
    comma = ""
    for value in values:
        yield comma + json.dumps(value, ensure_ascii=False)
        comma = ",\n"


def _drill_run(connection: Connection, row: Any) -> dict[str, Any]:  # noqa: ANN401 - SQLAlchemy's own
    number = row["id"]
    judged, damaged = read_reps(connection, number)
    whole = dict(row) | {"profile": _parsed(row["profile"]), "reps_judged": judged}
    if damaged:
        whole["reps_damaged"] = damaged
    return whole | {"take": _encoded(take_of, connection, number)}


def _tune_run(connection: Connection, row: Any) -> dict[str, Any]:  # noqa: ANN401 - as above
    number = row["id"]
    played = result_of(connection, number) or {"notes": None, "summary": None}
    profile = {"profile": _parsed(row["profile"])}
    return {**row, **profile, **played, "take": _encoded(tune_take_of, connection, number)}


def _free_run(connection: Connection, row: Any) -> dict[str, Any]:  # noqa: ANN401 - as above
    number = row["id"]
    profile, heard = _parsed(row["profile"]), ornaments_of(connection, number)
    return {**row, "profile": profile, "ornaments_heard": heard, "take": _encoded(free_take_of, connection, number)}


def _encoded(take: Callable[[Connection, int], bytes], connection: Connection, run: int) -> str | None:
    """A take in base64; None if there is none, or it is damaged."""
    try:
        return base64.b64encode(take(connection, run)).decode()
    except (ChanterdError, DBAPIError):
        return None


def _parsed(text: str) -> Any:  # noqa: ANN401 - whatever JSON can say
    """The value of the JSON text; None if it is damaged."""
    try:
        return json.loads(text)
    except (ValueError, TypeError):
        return None


def csv_pieces(connection: Connection, table: str, player: int | None = None) -> Iterator[str]:
    """The lines of one table of ``TABLES``, some at a time; ``player`` None means everybody."""
    if table == "tune_notes":
        yield from _tune_notes(connection, player)
        return
    if table == "free_ornaments":
        yield from _free_ornaments(connection, player)
        return
    source = _SOURCES[table]
    names = [column.name for column in source.columns if column.name not in ("result", "folded")]
    yield _BOM + _line(names)
    lines: list[str] = []
    for row in _rows(connection, source, player):
        lines.append(_line([guarded(row[name]) for name in names]))
        if len(lines) >= ROWS:
            yield "".join(lines)
            lines.clear()
    yield "".join(lines)


def _tune_notes(connection: Connection, player: int | None) -> Iterator[str]:
    """A line for each time that a note of a tune was reached."""
    yield _BOM + _line(["run_id", *_NOTE, *_ORNAMENT])
    for run in _rows(connection, tune_runs, player):
        played = result_of(connection, run["id"])
        lines = []
        for note in [] if played is None else played["notes"]:
            ornament = note["ornament"]
            cells = [dict(note)[name] for name in _NOTE]
            if ornament is not None:
                gracenotes = ", ".join(ornament["gracenotes"])
                cells += [ornament["drill"], gracenotes, ornament["clean"], ornament["said"]]
            else:
                cells += [None] * len(_ORNAMENT)
            lines.append(_line([run["id"], *map(guarded, cells)]))
        yield "".join(lines)


def _free_ornaments(connection: Connection, player: int | None) -> Iterator[str]:
    """A line for each ornament that was played with nothing chosen."""
    yield _BOM + _line(["run_id", *_HEARD, "faults"])
    for run in _rows(connection, free_runs, player):
        yield "".join(
            _line(
                [
                    run["id"],
                    *(guarded(dict(one)[name]) for name in _HEARD),
                    ", ".join(fault["fault"] for fault in one["faults"]),
                ]
            )
            for one in ornaments_of(connection, run["id"])
        )


def _line(values: list[Any]) -> str:
    line = io.StringIO()
    csv.writer(line).writerow(values)
    return line.getvalue()


def guarded(value: object) -> object:
    """The value, safe in a spreadsheet: only a text can be a formula, so a number below 0 stays as it is."""
    if isinstance(value, bool):
        return int(value)
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value


def _of(found: Select[Any], table: Table, player: int | None) -> Select[Any]:
    """Only that player's, of a table of runs."""
    return found if player is None else found.where(table.c.player_id == player)


def _rows(connection: Connection, table: Table, player: int | None) -> Iterator[Any]:
    """The player's rows of a table, in the order of its key."""
    columns = [column for column in table.columns if column.name not in ("result", "folded")]
    found = select(*columns).order_by(*table.primary_key.columns)
    if player is not None and table is players:
        found = found.where(players.c.id == player)
    elif player is not None and "player_id" in table.c:
        found = _of(found, table, player)
    elif player is not None:
        whose = _RUNS_OF.get(table, runs)
        found = _of(found.join(whose, whose.c.id == table.c.run_id), whose, player)
    yield from connection.execution_options(yield_per=ROWS).execute(found).mappings()
