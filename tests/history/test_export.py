"""Everything out of the history, read back by other readers: csv, json, mido."""

import base64
import csv
import io
import json
from collections.abc import Iterator

import mido
import pytest
from sqlalchemy import Connection, update

from chanterd.config import ChanterdError
from chanterd.hearing.simulated_tune import LEARNER
from chanterd.hearing.track import whole_take
from chanterd.history.export import TABLES, checked_format, csv_pieces, guarded, json_pieces, run_count
from chanterd.history.ledger import Ledger
from chanterd.history.record import RepsClosed
from chanterd.history.schema import tune_results
from chanterd.history.store import Store
from chanterd.history.tune_record import ways_played
from tests.history.played_tunes import play_tune, simulated
from tests.history.practised_runs import GRIP, begun, judged, played, practise, somebody
from tests.history.test_free_runs import part, way

OFFS_MS = [4.0, 90.0, 5.0]


@pytest.fixture
def connection(store: Store) -> Iterator[Connection]:
    """Two players with a run each, one of them with a take."""
    run = begun(somebody(store))
    Ledger(store).write(
        RepsClosed(run, judged(GRIP, OFFS_MS), run.wall, whole_take(played(GRIP, OFFS_MS), 60.0), whole=True)
    )
    practise(store, somebody(store, "=cmd|' /C calc'!A1"), [4.0])
    with store.reading() as reading:
        yield reading


def table(connection: Connection, name: str, player: int | None = None) -> list[dict[str, str]]:
    """A table of the CSV export as the csv module reads it."""
    text = "".join(csv_pieces(connection, name, player))
    assert text.startswith("\ufeff")
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


def test_csv_holds_every_row_of_every_table(connection: Connection) -> None:
    """Four reps, each with a lead and four steps; every fault that the judge found, "late" among them."""
    found = [fault["fault"] for offs_ms in (OFFS_MS, [4.0]) for rep in judged(GRIP, offs_ms) for fault in rep["faults"]]
    assert {name: len(table(connection, name)) for name in TABLES} == {
        "players": 2, "runs": 2, "reps": 4, "steps": 20, "faults": len(found),
        "tune_runs": 0, "tune_ways": 0, "tune_notes": 0, "free_runs": 0, "free_ways": 0, "free_ornaments": 0,
    }  # fmt: skip
    assert [fault["fault"] for fault in table(connection, "faults")] == found
    assert "late" in found
    assert table(connection, "runs")[0]["drill"] == GRIP


def test_the_ways_of_free_playing_are_the_players_own(store: Store) -> None:
    """Runs of drills have the same numbers, and are other people's."""
    practise(store, somebody(store, "Bron"), [4.0])
    entry = part(store, "a" * 32, [way(3, 2)], why="rested")
    Ledger(store).write(entry)
    with store.reading() as connection:
        (row,) = table(connection, "free_ways", entry.begun.player)
        assert (row["drill"], row["played"]) == ("grip from B to C", "3")
        assert table(connection, "free_ways", entry.begun.player - 1) == []


def test_csv_lines_end_as_the_standard_has_it(connection: Connection) -> None:
    """RFC 4180: CRLF."""
    text = "".join(csv_pieces(connection, "runs"))
    assert text.count("\r\n") == text.count("\n") == 3


def test_no_cell_is_a_formula(connection: Connection) -> None:
    """A name that a spreadsheet would run is a text there (OWASP, CSV injection); numbers below 0 are left alone."""
    assert [row["name"] for row in table(connection, "players")] == ["Ailsa", "'=cmd|' /C calc'!A1"]
    assert table(connection, "steps")[0]["step"] == "-1"


@pytest.mark.parametrize(
    ("value", "written"),
    [("=1", "'=1"), ("+1", "'+1"), ("-1", "'-1"), ("@a", "'@a"), ("\t=", "'\t="), ("\r", "'\r"), ("a=1", "a=1")],
)
def test_every_sign_that_begins_a_formula_is_guarded(value: str, written: str) -> None:
    """The six of OWASP's list."""
    assert guarded(value) == written


def test_json_holds_everything(connection: Connection) -> None:
    """Reps as they were judged, and takes that mido can read."""
    exported = json.loads("".join(json_pieces(connection)))
    assert [person["name"] for person in exported["players"]] == ["Ailsa", "=cmd|' /C calc'!A1"]
    first, second = exported["runs"]
    assert first["reps_judged"] == judged(GRIP, OFFS_MS)
    assert first["profile"]["notes"]["67"] == "low G"
    take = mido.MidiFile(file=io.BytesIO(base64.b64decode(first["take"])))
    assert sum(message.type == "note_on" for message in take) == len(OFFS_MS) * 5
    assert second["take"] is None


def test_an_empty_history_is_a_whole_document(store: Store) -> None:
    """Nobody, and nothing."""
    with store.reading() as connection:
        exported = json.loads("".join(json_pieces(connection)))
        assert (exported["players"], exported["runs"]) == ([], [])
        assert table(connection, "runs") == []


def test_one_players_export_holds_nothing_of_the_others(connection: Connection) -> None:
    """In either format."""
    assert run_count(connection, 2) == 1
    assert run_count(connection, None) == 2
    exported = json.loads("".join(json_pieces(connection, 2)))
    assert [person["id"] for person in exported["players"]] == [2]
    assert {run["player_id"] for run in exported["runs"]} == {2}
    assert len(table(connection, "players", 2)) == 1
    assert len(table(connection, "steps", 2)) == 5


def test_json_comes_in_pieces(connection: Connection) -> None:
    """One a run: ten years are never in memory at once."""
    assert len(list(json_pieces(connection))) == 1 + 2 + 1 + 1 + 1


def test_another_format_is_refused() -> None:
    """With the two there are."""
    assert checked_format("csv") == "csv"
    with pytest.raises(ChanterdError, match="must be csv or json"):
        checked_format("xml")


def test_runs_through_tunes_are_exported_whole(store: Store) -> None:
    """In JSON every note and the take, which the mido package reads; in CSV a line a note. Only that player's."""
    person, other, one = somebody(store), somebody(store, "Rory"), simulated(habits=LEARNER)
    run = play_tune(store, person, one)
    play_tune(store, other, one)
    found = one.run().found()
    with store.reading() as connection:
        exported = json.loads("".join(json_pieces(connection, person.number)))
        assert run_count(connection, person.number) == 1
        notes = table(connection, "tune_notes", person.number)
        ways = table(connection, "tune_ways", person.number)
        assert len(table(connection, "tune_runs")) == 2
    [whole] = exported["tune_runs"]
    assert (whole["id"], whole["notes"], whole["summary"]) == (run, found["notes"], found["summary"])
    assert whole["profile"]["notes"]["67"] == "low G"
    take = mido.MidiFile(file=io.BytesIO(base64.b64decode(whole["take"])))
    assert sum(message.type == "note_on" for message in take) == len(one.performance.truth)
    assert [(int(row["note"]), row["state"]) for row in notes] == [
        (note["note"], note["state"]) for note in found["notes"]
    ]
    said = [note["ornament"]["said"] for note in found["notes"] if note["ornament"] is not None]
    assert [row["said"] for row in notes if row["said"]] == said
    assert sum(int(row["played"]) for row in ways) == sum(way.played for way in ways_played(found["notes"]))


def test_a_damaged_result_of_a_tune_does_not_spoil_the_export(store: Store) -> None:
    """The run is there with its take, and no notes."""
    play_tune(store, somebody(store))
    with store.writing() as connection:
        connection.execute(update(tune_results).values(result=["no result of a run"]))
    with store.reading() as connection:
        [whole] = json.loads("".join(json_pieces(connection)))["tune_runs"]
        assert table(connection, "tune_notes") == []
    assert whole["notes"] is None
    assert whole["take"] is not None
