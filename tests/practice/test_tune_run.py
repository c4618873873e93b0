"""One run through a tune: the same live, bit by bit, as at once."""

from itertools import pairwise

import pytest

from chanterd.hearing.simulated_tune import TuneHabits
from chanterd.music.heard import Onset, Silence, Stray
from chanterd.music.note import Note
from chanterd.music.tunes.passage import make_passage
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, Ns
from chanterd.practice.tune_run import from_beat0
from tests.bench.tune_performances import CONDITIONS, sample, shipped


def test_looking_meanwhile_changes_nothing() -> None:
    """A page that asks for the notes so far gets the same in the end."""
    one = sample("net-mender", CONDITIONS["all mixed"], 41)
    whole = one.run().found()
    run = one.run()
    again = type(run)(run.passage, run.book, run.standard, run.spread, run.click_bpm)
    for index, heard in enumerate(one.heard):
        again.hear(heard)
        if index % 50 == 0:
            again.found()
    assert again.found() == whole


def test_a_passage_is_played_over_and_over() -> None:
    """Each round is another time through, and none is a leap."""
    passage = make_passage(shipped("seven-gulls"), 6, 13, loops=True)
    one = sample("seven-gulls", CONDITIONS["clean"], 42, passage, rounds=4)
    found = one.run().found()
    assert [note["note"] for note in found["notes"]] == list(range(6, 14)) * 4
    assert {note["pass"] for note in found["notes"]} == {1, 2, 3, 4}
    assert (found["summary"]["restarts"], found["summary"]["stops"]) == (0, 0)
    assert abs(found["summary"]["deviation_ms"] or 99) < 25


def test_times_count_from_the_beginning_of_the_run() -> None:
    """Whatever was heard."""
    assert from_beat0(Onset(Note.B, Ns(7), bounce=True), Ns(5)) == Onset(Note.B, Ns(2), bounce=True)
    assert from_beat0(Silence(Ns(7)), Ns(5)) == Silence(Ns(2))
    assert from_beat0(Stray(3, Ns(7)), Ns(5)) == Stray(3, Ns(7))


def test_the_tempo_of_a_bar_is_its_own() -> None:
    """From its first note to that of the next; a pick-up, too short to have a tempo, takes no bar's name."""
    found = sample("seven-gulls", TuneHabits(), 1).run().found()
    tempi = found["summary"]["tempi"]
    assert tempi[0]["bar"] == 1
    assert [one["bar"] for one in tempi[:8]] == list(range(1, 9))
    assert all(abs(one["click_bpm"] - 116.0) < 0.6 for one in tempi)


def test_the_tempo_by_bar_is_the_tempo_that_was_played() -> None:
    """A simulated player whose tempo wanders by 12 % and who is otherwise a machine: bar by bar within one per cent."""
    one = sample("net-mender", TuneHabits(wander=0.12), 5)
    tempi, played = one.run(click_off=True).found()["summary"]["tempi"], one.performance.tempo
    assert max(bar["click_bpm"] for bar in tempi) > 1.15 * min(bar["click_bpm"] for bar in tempi)
    for bar, after in pairwise(tempi):
        since, until = (Ns(round(each["at_ms"] * NS_PER_MS)) for each in (bar, after))
        clicks = played.beats(until) - played.beats(since)
        assert bar["click_bpm"] == pytest.approx(clicks * NS_PER_MINUTE / (until - since), rel=0.01)
