"""A tune that was noticed: its tempo as it was played, and how much of it is followed at once."""

from typing import Any

import pytest

from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.music.book import standard_book
from chanterd.music.tunes.excerpts import chosen
from chanterd.music.tunes.passage import make_passage
from chanterd.music.units import Bpm, Ns
from chanterd.practice.passage.asked import TuneAsked
from chanterd.serving.seats.activity import Output
from chanterd.serving.seats.noticed_tune import AT_ONCE, NoticedTune, tempo_of
from tests.bench.tune_performances import CONDITIONS, sample, shipped

NAME = "net-mender"
TUNE = shipped(NAME)


def test_the_tempo_is_that_of_the_notes_that_fit() -> None:
    """In clicks as written; where they show none, the usual one."""
    pairs = [(0, Ns(0)), (4, Ns(1_000_000_000))]
    clicks = float((TUNE.notes[4].start - TUNE.notes[0].start) * 4)
    assert tempo_of(TUNE, pairs, Bpm(80.0)) == pytest.approx(60 * clicks, abs=0.1)
    assert tempo_of(TUNE, [], Bpm(80.0)) == 80.0
    assert tempo_of(TUNE, [(4, Ns(5)), (4, Ns(6))], Bpm(80.0)) == 80.0
    assert tempo_of(TUNE, [(0, Ns(0)), (4, Ns(1000))], Bpm(80.0)) <= 400


def test_what_was_played_before_is_followed_a_little_at_a_time() -> None:
    """No note waits for it; only then is the tune shown, and the cursor is where the player is."""
    heard = sample(NAME, CONDITIONS["clean"], 1).heard
    frames: list[Any] = []
    output = Output("1", frames.append, lambda: Ns(0))
    asked = TuneAsked(
        NAME,
        TUNE.title,
        make_passage(TUNE, loops=True),
        standard_book(),
        read_standards()[DEFAULT],
        Bpm(124.0),
        click_off=True,
        excerpt=chosen(TUNE, 0, len(TUNE.notes) - 1),
    )
    tune = NoticedTune(asked, output, heard[:60], heard[0].at_ns)
    ticks = 0
    while not frames:
        tune.tick(heard[59].at_ns)
        ticks += 1
        assert ticks < 60
    assert ticks >= 60 / AT_ONCE
    assert frames[0]["kind"] == "tune"
    cursor = tune.shown["cursor"]
    assert cursor is not None
    assert cursor > 8
    tune.hear(heard[60])
    tune.leave()
    tune.judge()
    assert tune.shown["result"] is not None
    assert tune.shown["going"] is False
