"""A tune while it is played at a seat: the cursor, the ornaments, and what became of it."""

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from chanterd.assessing.tune_again import judged
from chanterd.hearing.take import parse_take
from chanterd.history.tune_rejudged import tune_runs_to_judge
from chanterd.history.tune_runs import result_of, tune_runs_of, tune_take_of
from chanterd.music.note import Note
from chanterd.music.units import Ns
from chanterd.practice.passage.asked import TuneWords
from chanterd.serving.seats.tune_playing import TunePlaying
from tests.bench.tune_performances import shipped
from tests.serving.played_seat import Sitting

TUNE = shipped("seven-gulls")


def begin(sitting: Sitting, first: int = 4, last: int = 9, **more: Any) -> dict[str, Any]:
    """A run through a passage."""
    return dict(sitting.daemon.play_tune(None, "seven-gulls", TUNE, TuneWords(116.0, first, last, **more)))


def test_the_first_note_is_due_where_it_is_in_its_bar(sitting: Sitting) -> None:
    """After four clicks of count-in at least; beat 0 is the beginning of a bar."""
    whole = begin(sitting, 0, 40)
    grid = whole["grid"]
    click_ns = 60e9 / grid["click_bpm"]
    assert grid["count_in"] == 5
    assert round((grid["beat0_ns"] - whole["begins_ns"]) / click_ns, 3) == round(1 / 3, 3)
    on_beat = begin(sitting, 1, 40)
    assert (on_beat["grid"]["count_in"], on_beat["begins_ns"]) == (4, on_beat["grid"]["beat0_ns"])


def test_the_cursor_goes_through_the_passage_over_and_over(sitting: Sitting) -> None:
    """Note for note, and the ornaments that are over are judged."""
    begin(sitting)
    sitting.perform(8.0)
    notes = [frame["note"] for frame in sitting.of("cursor")]
    assert set(notes) == set(range(4, 10))
    assert sum(after < before for before, after in pairwise(notes)) >= 3
    ornaments = sitting.of("tune ornament")
    assert {frame["note"] for frame in ornaments} == {4, 6, 8}
    rounds = sum(note == 9 for note in notes)
    assert len(ornaments) <= 3 * rounds + 6
    assert sitting.seat.shown()["tune_run"] is not None


def test_stopping_shows_what_became_of_it(sitting: Sitting) -> None:
    """The summary and each place; it stays until something else begins."""
    begin(sitting)
    sitting.perform(8.0)
    sitting.seat.stop_practice()
    last = sitting.of("tune")[-1]["tune_run"]
    assert last["going"] is False
    result = last["result"]
    assert [place["note"] for place in result["places"]] == [4, 6, 8]
    assert result["summary"]["click_bpm"] == 116.0
    assert abs(result["summary"]["deviation_ms"]) < 80
    assert sitting.seat.shown()["tune_run"] == last
    assert not sitting.seat.busy


def test_what_is_heard_in_the_count_in_is_no_part_of_it(sitting: Sitting) -> None:
    """The player tries the chanter; nothing played, nothing to say."""
    run = begin(sitting)
    sitting.play([(Note.C, run["begins_ns"] - 1_000_000_000)])
    sitting.source.release(run["begins_ns"] - 900_000_000)
    sitting.settle()
    sitting.seat.stop_practice()
    assert sitting.of("cursor") == []
    assert sitting.of("tune")[-1]["tune_run"]["result"] is None


def test_without_the_click_the_simulated_player_has_a_pulse_of_its_own(sitting: Sitting) -> None:
    """And it is followed."""
    begin(sitting, 0, 63, click_off=True)
    sitting.perform(12.0)
    sitting.seat.stop_practice()
    summary = sitting.of("tune")[-1]["tune_run"]["result"]["summary"]
    assert summary["click_off"] is True
    assert summary["click_bpm"] == pytest.approx(116.0, rel=0.06)


def test_a_drill_takes_the_place_of_a_tune(sitting: Sitting) -> None:
    """One thing at a time at a seat."""
    begin(sitting)
    sitting.seat.learn()
    assert sitting.of("tune")[-1]["tune_run"]["going"] is False
    assert sitting.seat.shown()["tune_run"] is None


def test_an_input_that_ends_ends_the_run(sitting: Sitting) -> None:
    """What was played is judged."""
    begin(sitting)
    sitting.perform(4.0)
    activity = sitting.seat._activity
    assert isinstance(activity, TunePlaying)
    sitting.source.status("ended")
    sitting.settle()
    assert activity.shown["going"] is False
    assert Ns(activity.shown["begins_ns"]) > 0


def test_its_take_is_kept_and_judged_again_it_is_what_it_was_live(sitting: Sitting) -> None:
    """With the click and without; what was tried in the count-in is in the take, and no part of the run."""
    history = sitting.daemon.history
    for click_off in (False, True):
        run = begin(sitting, 0, 20, click_off=click_off)
        sitting.play([(Note.C, run["begins_ns"] - 1_000_000_000)])
        sitting.source.release(run["begins_ns"] - 900_000_000)
        sitting.perform(14.0)
        sitting.seat.stop_practice()
        assert history.writer.settle()
        with history.store.reading() as connection:
            [seen] = tune_runs_of(connection, sitting.seat.player.number, most=1)
            [stored] = tune_runs_to_judge(connection, history.wall(), run=seen.run)
            live, take = result_of(connection, seen.run), tune_take_of(connection, seen.run)
        assert (seen.why, seen.title, seen.click_off) == ("stopped", "Seven Gulls", click_off)
        again = judged(stored, parse_take(Path("a"), take), TUNE, sitting.daemon.tables)
        assert live is not None
        assert [(one["note"], one["pass"], one["state"]) for one in again["notes"]] == [
            (one["note"], one["pass"], one["state"]) for one in live["notes"]
        ]
        for one, before in zip(again["notes"], live["notes"], strict=True):
            assert one["onset_ms"] == pytest.approx(before["onset_ms"], abs=0.1)  # a take has ticks
        assert again["summary"]["said"] == live["summary"]["said"]


def test_a_run_goes_into_the_history_while_it_is_played(sitting: Sitting) -> None:
    """Every few seconds a part of its take: whatever happens then, it can be judged from that."""
    begin(sitting, 0, 63)
    sitting.perform(16.0)
    history = sitting.daemon.history
    assert history.writer.settle()
    with history.store.reading() as connection:
        [seen] = tune_runs_of(connection, sitting.seat.player.number)
        assert seen.why is None
        assert seen.heard
    sitting.seat.stop_practice()
