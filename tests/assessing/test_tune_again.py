"""Runs through tunes out of the history: judged by today's judge, and heard again."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from chanterd.assessing.tune_again import heard_again, judge_tune_again, judged, tune_of_run
from chanterd.config import ChanterdError
from chanterd.hearing.take import parse_take
from chanterd.history.ledger import Ledger
from chanterd.history.store import Store, open_store
from chanterd.history.tune_rejudged import StoredTuneRun, tune_runs_to_judge
from chanterd.history.tune_runs import result_of, tune_run_of, tune_take_of
from chanterd.music.note import Note
from chanterd.music.tunes.shelf import Shelf
from chanterd.tables import Tables, read_tables
from tests.bench.tune_performances import shipped
from tests.history.played_tunes import simulated, tune_ended
from tests.history.practised_runs import noon, somebody

ONE = simulated()
LATER = noon(9)


@pytest.fixture
def tables(tmp_path: Path) -> Tables:
    """What ships."""
    return read_tables(tmp_path)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A history with nobody in it."""
    opened = open_store(None, tmp_path)
    yield opened
    opened.close()


@pytest.fixture
def stored(store: Store) -> StoredTuneRun:
    """A run of three times through a passage."""
    run = Ledger(store).write(tune_ended(somebody(store), ONE))
    with store.reading() as connection:
        return tune_runs_to_judge(connection, LATER, run=run)[0]


def test_a_damaged_result_is_made_again_from_the_take(
    store: Store, stored: StoredTuneRun, tables: Tables, tmp_path: Path
) -> None:
    """As it was when it was played, and when it was judged is noted."""
    with store.writing() as connection:
        connection.exec_driver_sql("UPDATE tune_results SET result = CAST('damaged' AS BLOB)")
    again = judge_tune_again(store, stored, Shelf(tmp_path), tables, LATER)
    with store.reading() as connection:
        assert result_of(connection, stored.run) == again
        assert tune_run_of(connection, stored.run).judged_ns == LATER.ns
    before = ONE.run().found()
    assert [(one["note"], one["state"]) for one in again["notes"]] == [
        (one["note"], one["state"]) for one in before["notes"]
    ]
    assert again["summary"]["clean"] == before["summary"]["clean"]


def test_a_tune_that_is_gone_or_has_changed_is_not_judged_by_another(stored: StoredTuneRun, tmp_path: Path) -> None:
    """A sentence says which."""
    gone = replace(stored, passage=replace(stored.passage, tune="gone"))
    with pytest.raises(ChanterdError, match="The tune 'gone' is not on the shelf"):
        tune_of_run(gone, Shelf(tmp_path))
    changed = replace(stored, passage=replace(stored.passage, written="0" * 64))
    with pytest.raises(ChanterdError, match="The notes of 'Seven Gulls' have changed since it was played"):
        tune_of_run(changed, Shelf(tmp_path))


def test_a_standard_that_is_gone_is_named(store: Store, stored: StoredTuneRun, tables: Tables) -> None:
    """Nothing is judged by another in its place."""
    with store.reading() as connection:
        take = parse_take(Path("a"), tune_take_of(connection, stored.run))
    other = replace(stored, passage=replace(stored.passage, standard="my own"))
    with pytest.raises(ChanterdError, match="my own"):
        judged(other, take, shipped("seven-gulls"), tables)


def test_a_take_sounds_as_it_was_played(store: Store, stored: StoredTuneRun, tables: Tables) -> None:
    """Every note at its time, with its place in the tune; clicks a beat apart, the first of each bar accented."""
    with store.reading() as connection:
        take = parse_take(Path("a"), tune_take_of(connection, stored.run))
    tune = shipped("seven-gulls")
    heard = heard_again(stored, take, tune, tables)
    truth = ONE.performance.truth
    sounding = [one for one in heard.notes if one.note is not None]
    assert [one.note for one in sounding] == [one.note for one in truth]
    for one, true in zip(sounding, truth, strict=True):
        assert one.at_s - heard.begins_s == pytest.approx(max(true.at_ms, 0.0) / 1000, abs=0.001)
    right = sum(one.place == true.segment for one, true in zip(sounding, truth, strict=True))
    assert right >= 0.98 * len(truth)
    clicks = [at_s - heard.begins_s for at_s, _ in heard.clicks]
    assert [after - before for before, after in pairwise(clicks)] == pytest.approx([60 / 116] * (len(clicks) - 1))
    on_beat = next(one.at_ms / 1000 for one in truth if one.segment == 1 and one.step == 0)
    accented = [at_s - heard.begins_s for at_s, accent in heard.clicks if accent]
    assert min(abs(at_s - on_beat) for at_s in accented) < 0.06  # note 1 begins the first full bar
    without = heard_again(stored, take, None, tables)
    assert [one.note for one in without.notes] == [one.note for one in heard.notes]
    assert {one.place for one in without.notes} == {None}
    assert Note.LOW_A in {one.note for one in without.notes}
