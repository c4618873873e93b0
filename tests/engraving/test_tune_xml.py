"""Tunes as documents: read back they are the same tune."""

from fractions import Fraction
from pathlib import Path

import pytest

from chanterd.engraving.tune_xml import bars_between, tune_xml
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.musicxml import read_musicxml
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from tests.engraving.example_drills import parsed
from tests.music.tunes.tune_writer import abc
from tests.outside.made_up_tunes import made_up

HEAD = "X:1\nM:2/4\nL:1/8\nK:HP\n"


def read(music: str) -> Tune:
    """One tune of two crotchets a bar."""
    [tune] = read_abc((HEAD + music + "\n").encode())
    return tune


def written(tune: Tune) -> list[tuple[object, ...]]:
    """What a reader must find again."""
    return [(one.note, one.start, one.lasts, one.gracenotes) for one in tune.notes]


@pytest.mark.parametrize("name", ["lamp-at-quarry-hollow", "net-mender", "seven-gulls"])
def test_the_tunes_that_ship_are_read_back_as_they_are(tmp_path: Path, name: str) -> None:
    """Notes, starts, lengths and gracenotes."""
    tune = Shelf(tmp_path).find(name).tune
    assert tune is not None
    document = tune_xml(tune, 0, len(tune.notes) - 1)
    assert written(read_musicxml(document.encode())) == written(tune)


@pytest.mark.parametrize("seed", range(4))
def test_made_up_tunes_are_read_back_as_they_are(seed: int) -> None:
    """With bars of any length, triplets and ties over bar lines (simulated from a fixed seed)."""
    [tune] = read_abc(abc(made_up(seed)).encode())
    document = tune_xml(tune, 0, len(tune.notes) - 1)
    assert written(read_musicxml(document.encode())) == written(tune)


def test_notes_of_one_click_share_beams() -> None:
    """Two pairs in a bar of 2/4 are two groups; a note alone keeps its flag."""
    root = parsed(tune_xml(read("AB cd | e2 fe |"), 0, 6))
    beams = [[beam.text for beam in note.iter("beam")] for note in root.iter("note")]
    assert beams == [["begin"], ["end"], ["begin"], ["end"], [], ["begin"], ["end"]]


def test_a_passage_has_the_bars_it_is_in_and_no_others() -> None:
    """Repeat signs and the meter at its beginning are as in the tune."""
    tune = read("|: AB cd | e2 fe :| g4 |]")
    assert [bar.number for bar in bars_between(tune, 4, 6)] == [2]
    document = tune_xml(tune, 4, 6)
    assert '<repeat direction="backward"' in document
    assert "<beats>2</beats>" in document
    assert [note.start - tune.notes[4].start for note in tune.notes[4:7]] == [
        one.start for one in read_musicxml(document.encode()).notes
    ]
    assert Fraction(1, 4) == read_musicxml(document.encode()).notes[0].lasts
