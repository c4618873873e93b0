"""A tune as it is written, ready to be sounded."""

from pathlib import Path

import pytest

from chanterd.hearing.model_tune import ModelTune, model_tune
from chanterd.music.book import standard_book
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import Bpm

HEAD = "X:1\nM:2/4\nL:1/8\nK:HP\n"


def read(music: str) -> Tune:
    """One tune of two clicks a bar."""
    [tune] = read_abc((HEAD + music + "\n").encode())
    return tune


def modelled(tune: Tune, first: int = 0, last: int | None = None, bpm: float = 60.0) -> ModelTune:
    """All of it, or a passage."""
    end = len(tune.notes) - 1 if last is None else last
    return model_tune(tune, first, end, Bpm(bpm), standard_spread(), standard_book())


def test_notes_last_as_written_at_the_tempo() -> None:
    """Two quavers to a click; twice the tempo, half the time."""
    tune = read("AB cd | e4 |")
    assert [one.at_s for one in modelled(tune).notes] == pytest.approx([0.0, 0.5, 1.0, 1.5, 2.0])
    assert [one.at_s for one in modelled(tune, bpm=120).notes] == pytest.approx([0.0, 0.25, 0.5, 0.75, 1.0])
    assert modelled(tune).end_s == pytest.approx(4.0)


def test_repeats_and_endings_are_played_as_written() -> None:
    """First ending, back, second ending."""
    tune = read("|: A4 |1 B4 :|2 c4 |]")
    assert [one.place for one in modelled(tune).notes] == [0, 1, 0, 2]


def test_an_ornament_is_on_its_beat_with_its_gracenotes() -> None:
    """A G gracenote is on the beat and its note right after it; both are of one place."""
    [gracenote, note] = modelled(read("{g}A4 |")).notes
    assert (gracenote.place, note.place) == (0, 0)
    assert gracenote.at_s == pytest.approx(0.0, abs=1e-6)
    assert 0.03 < note.at_s < 0.1


def test_the_clicks_fall_on_the_beats_and_bars_begin_with_an_accent(tmp_path: Path) -> None:
    """Of the march that ships: after its pick-up, every second click; of a passage in the middle of a bar, too."""
    tune = Shelf(tmp_path).find("lamp-at-quarry-hollow").tune
    assert tune is not None
    whole = modelled(tune)
    assert [at for at, _ in whole.clicks[:3]] == pytest.approx([0.5, 1.5, 2.5])
    assert [accent for _, accent in whole.clicks[:6]] == [True, False] * 3
    bar = next(index for index, note in enumerate(tune.notes) if note.bar == 3)
    assert [accent for _, accent in modelled(tune, bar, bar + 2).clicks][:1] == [True]
    assert len(whole.clicks) == 64
