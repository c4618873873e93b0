"""Runs through tunes in the history: listed, looked at, their takes, and how ornaments go in them."""

import io
from datetime import date

import mido
import pytest
from sqlalchemy import func, select, update

from chanterd.config import ChanterdError
from chanterd.history.answers import Span
from chanterd.history.ledger import Ledger
from chanterd.history.players import delete_player
from chanterd.history.schema import tune_results, tune_runs, tune_takes, tune_ways
from chanterd.history.store import Store
from chanterd.history.tune_record import ways_played
from chanterd.history.tune_runs import (
    delete_tune_run,
    result_of,
    tune_run_of,
    tune_runs_of,
    tune_take_of,
    ways_in_tunes,
)
from chanterd.music.book import standard_book
from tests.history.played_tunes import JIG, play_tune, simulated, tune_ended
from tests.history.practised_runs import noon, somebody

TABLES = (tune_runs, tune_ways, tune_takes, tune_results)


def test_runs_are_listed_the_newest_first(store: Store) -> None:
    """Of one tune or of all, within days, and page by page."""
    person = somebody(store)
    for day, tune in ((0, JIG), (1, "net-mender"), (2, JIG)):
        play_tune(store, person, tune=tune, wall=noon(day))
    with store.reading() as connection:
        every = tune_runs_of(connection, person.number)
        assert [(one.day, one.tune) for one in every] == [
            *[("2026-04-02", JIG), ("2026-04-01", "net-mender"), ("2026-03-31", JIG)]
        ]
        assert [one.run for one in tune_runs_of(connection, person.number, tune=JIG)] == [every[0].run, every[2].run]
        assert tune_runs_of(connection, person.number, most=1, before=every[1]) == every[2:]
        assert tune_runs_of(connection, person.number, Span("2026-04-01", "2026-04-01")) == [every[1]]
        assert tune_runs_of(connection, person.number + 1) == []
    one = every[0]
    assert (one.kind, one.title, one.first, one.last, one.asked_bpm, one.why) == (
        *("tune", "Seven Gulls", 0, 12, 116.0, "stopped"),
    )
    assert one.heard


def test_a_run_is_looked_at_as_it_was_judged(store: Store) -> None:
    """Every note, and the same summary; its figures are those of the summary."""
    one = simulated()
    run = play_tune(store, somebody(store), one)
    found = one.run().found()
    with store.reading() as connection:
        assert result_of(connection, run) == found
        seen = tune_run_of(connection, run)
    assert (seen.ornaments, seen.clean) == (found["summary"]["ornaments"], found["summary"]["clean"])


def test_the_take_is_a_midi_file_whose_time_0_is_marked(store: Store) -> None:
    """As the mido package reads it: eight clicks of lead-in, then what was played."""
    one = simulated()
    run = play_tune(store, somebody(store), one)
    with store.reading() as connection:
        file = mido.MidiFile(file=io.BytesIO(tune_take_of(connection, run)))
    assert sum(message.type == "note_on" and message.velocity > 0 for message in file) == len(one.performance.truth)
    [marker] = [message for message in file.tracks[0] if message.type == "marker"]
    assert (marker.text, marker.time) == ("beat 0", 8 * file.ticks_per_beat)


def test_what_is_damaged_is_not_shown_as_if_it_were_right(store: Store) -> None:
    """A result whose bytes are damaged is none; a take without its beginning is refused in a sentence."""
    run = play_tune(store, somebody(store))
    with store.writing() as connection:
        connection.exec_driver_sql("UPDATE tune_results SET result = CAST('no JSON at all' AS BLOB)" if store.is_sqlite
                                   else "UPDATE tune_results SET result = 'no JSON at all'")  # fmt: skip
        connection.execute(update(tune_takes).values(part=3))
    with store.reading() as connection:
        assert result_of(connection, run) is None
        with pytest.raises(ChanterdError, match="lacks its beginning"):
            tune_take_of(connection, run)


def test_a_run_is_deleted_for_good(store: Store) -> None:
    """With its take and results; the player's others stay. Twice is refused."""
    person = somebody(store)
    run, other = play_tune(store, person), play_tune(store, person)
    delete_tune_run(store, run)
    with store.reading() as connection:
        assert [one.run for one in tune_runs_of(connection, person.number)] == [other]
        for table in (tune_takes, tune_results):
            assert set(connection.scalars(select(table.c.run_id))) == {other}
        with pytest.raises(ChanterdError, match=f"There is no run {run} through a tune"):
            tune_run_of(connection, run)
    with pytest.raises(ChanterdError, match=f"There is no run {run} through a tune"):
        delete_tune_run(store, run)


def test_they_go_with_the_player_and_no_trace_is_left_in_the_file(store: Store) -> None:
    """Every table is empty, and the file does not hold the title any more."""
    person = somebody(store)
    play_tune(store, person)
    delete_player(store, person.number)
    with store.reading() as connection:
        assert [connection.scalar(select(func.count()).select_from(table)) for table in TABLES] == [0, 0, 0, 0]
    if store.is_sqlite:
        with open(store.said, "rb") as file:  # noqa: PTH123 - the store says where it is
            assert b"Seven Gulls" not in file.read()


def test_how_ornaments_go_in_tunes_is_known_day_by_day(store: Store) -> None:
    """Of all tunes together, without a tempo held; what the book does not have is left out."""
    person, ledger, one = somebody(store), Ledger(store), simulated()
    for day in (0, 0, 3):
        ledger.write(tune_ended(person, one, wall=noon(day)))
    odd = tune_ended(person, one, wall=noon(3))
    for note in odd.played["notes"]:
        if note["ornament"] is not None:
            note["ornament"]["drill"] = "gripp from nowhere"
    ledger.write(odd)
    with store.reading() as connection:
        known = ways_in_tunes(connection, person.number, standard_book())
    played = {way.drill: way.played for way in ways_played(one.run().found()["notes"])}
    assert {one.drill.words: [sitting.played for sitting in one.sittings] for one in known} == {
        drill: [2 * times, times] for drill, times in played.items()
    }
    assert {sitting.day for one in known for sitting in one.sittings} == {date(2026, 3, 31), date(2026, 4, 3)}
    assert {sitting.held_bpm for one in known for sitting in one.sittings} == {None}
