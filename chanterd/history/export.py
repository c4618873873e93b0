"""Exporting the history: one JSON document, or one CSV file for each table. Both are made piece by piece.

Conventions: columns have the names of the tables' columns. In JSON a run holds its judged reps, the numbers of any
reps left out because the database is damaged, and its take, a whole MIDI file in base64 (RFC 4648). CSV is
comma-separated with a header line and CRLF (RFC 4180), in UTF-8 with a byte-order mark, without which spreadsheets
misread letters; a text that a spreadsheet would read as a formula has an apostrophe before it (OWASP, "CSV
Injection").
"""

import base64
import csv
import io
import json
from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, Select, Table, func, select
from sqlalchemy.exc import DBAPIError

from chanterd import __version__
from chanterd.config import ChanterdError
from chanterd.history.damage import read_reps
from chanterd.history.schema import faults, players, reps, runs, steps
from chanterd.history.takes import take_of

FORMATS = ("csv", "json")
TABLES = ("players", "runs", "reps", "steps", "faults")
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
    """How many runs there are to export."""
    return connection.scalar(_of(select(func.count()).select_from(runs), player)) or 0


def json_pieces(connection: Connection, player: int | None = None) -> Iterator[str]:
    """The JSON document, a run at a time; ``player`` None means everybody."""
    everyone = [dict(row) for row in _rows(connection, players, player)]
    head = json.dumps({"chanterd": __version__, "players": everyone}, ensure_ascii=False)
    yield head[:-1] + ', "runs": ['
    comma = ""
    for row in _rows(connection, runs, player):
        number = row["id"]
        judged, damaged = read_reps(connection, number)
        whole = dict(row) | {"profile": _parsed(row["profile"]), "reps_judged": judged}
        if damaged:
            whole["reps_damaged"] = damaged
        try:
            whole["take"] = base64.b64encode(take_of(connection, number)).decode()
        except (ChanterdError, DBAPIError):
            whole["take"] = None
        yield comma + json.dumps(whole, ensure_ascii=False)
        comma = ",\n"
    yield "]}\n"


def _parsed(text: str) -> Any:  # noqa: ANN401 - whatever JSON can say
    """The value of the JSON text; None if it is damaged."""
    try:
        return json.loads(text)
    except (ValueError, TypeError):
        return None


def csv_pieces(connection: Connection, table: str, player: int | None = None) -> Iterator[str]:
    """The lines of one table of ``TABLES``, some at a time; ``player`` None means everybody."""
    source = {"players": players, "runs": runs, "reps": reps, "steps": steps, "faults": faults}[table]
    names = [column.name for column in source.columns if column.name not in ("result", "folded")]
    yield _BOM + _line(names)
    lines: list[str] = []
    for row in _rows(connection, source, player):
        lines.append(_line([guarded(row[name]) for name in names]))
        if len(lines) >= ROWS:
            yield "".join(lines)
            lines.clear()
    yield "".join(lines)


def _line(values: list[Any]) -> str:
    line = io.StringIO()
    csv.writer(line).writerow(values)
    return line.getvalue()


def guarded(value: object) -> object:
    """The value, safe in a spreadsheet: only a text can be a formula, so a number below 0 stays as it is."""
    if isinstance(value, bool):
        return int(value)
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value


def _of(found: Select[Any], player: int | None) -> Select[Any]:
    return found if player is None else found.where(runs.c.player_id == player)


def _rows(connection: Connection, table: Table, player: int | None) -> Iterator[Any]:
    """The player's rows of a table, in the order of its key."""
    columns = [column for column in table.columns if column.name not in ("result", "folded")]
    found = select(*columns).order_by(*table.primary_key.columns)
    if player is not None and table is players:
        found = found.where(players.c.id == player)
    elif player is not None and table is runs:
        found = _of(found, player)
    elif player is not None:
        found = _of(found.join(runs, runs.c.id == table.c.run_id), player)
    yield from connection.execution_options(yield_per=ROWS).execute(found).mappings()
