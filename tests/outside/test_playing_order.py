"""In which order a tune is played, against readers of their own that unfold repeats.

Sources: partitura's ``unfold_part_maximal`` and music21's ``expandRepeats`` for MusicXML; abc2midi of Debian's
``abcmidi`` for ABC. The tunes are made up, from fixed seeds. Where they cannot be asked: music21 expands no repeat with
an ending that is played again after another, and abc2midi goes on wrongly behind such an ending if it is the last.
"""

import tempfile
import warnings
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import music21
import pytest
from music21.note import Note as ReadNote

from chanterd.config import bundled
from chanterd.hearing.model_tune import model_tune
from chanterd.music.book import standard_book
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.musicxml import read_musicxml
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.route import route
from chanterd.music.tunes.tune import Meter, Tune
from chanterd.music.units import Bpm
from tests.music.tunes.piece_writer import Bar, Piece, Section, as_played, as_written, piece_abc, piece_xml
from tests.music.tunes.tune_writer import DIVISIONS
from tests.outside.made_up_pieces import METERS, made_up_piece
from tests.outside.test_tunes import abc2midi, sounding

SEEDS = range(60)
IN_ORDER = ((), ((1,), (2,)), ((1, 2), (3,)), ((1,), (2,), (3,)), ((1, 2, 3), (4,)))
PLAIN = {72: 73, 77: 78}
"""C and F as the letters alone have them, and as they sound."""


def bare(piece: Piece) -> list[Section]:
    """Without gracenotes, which some readers do not unfold."""

    def no_graces(bars: Sequence[Bar]) -> tuple[Bar, ...]:
        return tuple(tuple(replace(note, gracenotes=()) for note in bar) for bar in bars)

    return [
        replace(
            one,
            body=no_graces(one.body),
            endings=tuple(replace(ending, bars=no_graces(ending.bars)) for ending in one.endings),
        )
        for one in piece
    ]


def kinds(piece: Piece) -> list[tuple[tuple[int, ...], ...]]:
    """Of each section, the times through of its endings."""
    return [tuple(ending.times for ending in section.endings) for section in piece]


def ours(tune: Tune) -> list[int]:
    """The MIDI numbers in the order of playing."""
    return [sounding(tune.notes[owner].note) for owner in route(make_passage(tune))]


@pytest.mark.parametrize("ten", range(20))
def test_both_formats_are_played_as_they_were_made_up(ten: int) -> None:
    """Note for note, gracenotes, bars and repeats too; some are played three times without endings."""
    for seed in range(10 * ten, 10 * ten + 10):
        same_in_both(seed)


def same_in_both(seed: int) -> None:
    """One of them."""
    meter = METERS[seed % len(METERS)]
    piece = made_up_piece(seed, meter, thrice=True)
    [from_abc], from_xml = read_abc(piece_abc(piece, meter).encode()), read_musicxml(piece_xml(piece, meter).encode())
    meant = [(one.note, one.lasts, one.gracenotes) for one in as_written(piece)]
    for tune in (from_abc, from_xml):
        assert [(one.note, one.lasts, one.gracenotes) for one in tune.notes] == meant
        assert route(make_passage(tune)) == as_played(piece)
        assert tune.remarks == ()
    assert [replace(bar, ends_part=False) for bar in from_abc.bars] == [
        replace(bar, ends_part=False) for bar in from_xml.bars
    ]


def test_partitura_plays_musicxml_in_the_same_order(tmp_path: Path) -> None:
    """Every kind of endings; partitura does not read how often a repeat without endings is played."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its own, and those of what it imports
        import partitura  # noqa: PLC0415

        for seed in SEEDS:
            meter = METERS[seed % len(METERS)]
            path = tmp_path / f"{seed}.musicxml"
            path.write_text(piece_xml(bare(made_up_piece(seed, meter)), meter), encoding="utf-8")
            unfolded = partitura.score.unfold_part_maximal(partitura.load_musicxml(path).parts[0])
            notes = sorted(unfolded.iter_all(partitura.score.Note), key=lambda note: note.start.t)
            theirs = [PLAIN.get(note.midi_pitch, note.midi_pitch) for note in notes]
            assert ours(read_musicxml(path.read_bytes())) == theirs, seed


def test_music21_plays_musicxml_in_the_same_order() -> None:
    """Repeats that are played three times among them."""
    compared = 0
    for seed in SEEDS:
        meter = METERS[seed % len(METERS)]
        piece = bare(made_up_piece(seed, meter, thrice=True))
        if not set(kinds(piece)) <= set(IN_ORDER[:2]):
            continue
        document = piece_xml(piece, meter)
        score = music21.converter.parseData(document, format="musicxml")
        assert isinstance(score, music21.stream.Score)
        notes = score.parts[0].expandRepeats().recurse().getElementsByClass(ReadNote)
        assert ours(read_musicxml(document.encode())) == [PLAIN.get(note.pitch.midi, note.pitch.midi) for note in notes]
        compared += 1
    assert compared > 15


def test_abc2midi_plays_abc_in_the_same_order() -> None:
    """Every kind of endings but one."""
    compared = 0
    for seed in SEEDS:
        meter = METERS[seed % len(METERS)]
        piece = bare(made_up_piece(seed, meter))
        if ((1, 3), (2,)) in kinds(piece):
            continue
        text = piece_abc(piece, meter)
        with tempfile.TemporaryDirectory() as folder:
            theirs = [pitch for pitch, _ in abc2midi(text, Path(folder))]
        assert ours(read_abc(text.encode())[0]) == theirs, text
        compared += 1
    assert compared > 40


@pytest.mark.parametrize("path", sorted((bundled("configs") / "tunes").glob("*.abc")), ids=lambda path: path.stem)
def test_abc2midi_plays_our_tunes_in_the_same_order(tmp_path: Path, path: Path) -> None:
    """With their gracenotes."""
    [tune] = read_abc(path.read_bytes())
    mine = [
        sounding(note)
        for owner in route(make_passage(tune))
        for note in (*tune.notes[owner].gracenotes, tune.notes[owner].note)
    ]
    assert mine == [pitch for pitch, _ in abc2midi(path.read_text(encoding="utf-8"), tmp_path)]


def test_what_is_heard_is_when_partitura_has_it(tmp_path: Path) -> None:
    """Repeats unfolded, at any tempo: each new pitch begins within a ms of where partitura has it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its own, and those of what it imports
        import partitura  # noqa: PLC0415

        for seed in range(0, 60, 2):
            meter = METERS[seed % len(METERS)]
            piece = [replace(one, meter=None) for one in bare(made_up_piece(seed, meter)) if one.meter is None]
            path, bpm = tmp_path / f"{seed}.musicxml", (40.0, 60.0, 90.0)[seed % 3]
            path.write_text(piece_xml(piece, meter), encoding="utf-8")
            tune = read_musicxml(path.read_bytes())
            click_s = 60 / bpm / float((tune.meter or Meter(4, 4)).click)
            unfolded = partitura.score.unfold_part_maximal(partitura.load_musicxml(path).parts[0])
            notes = sorted(unfolded.iter_all(partitura.score.Note), key=lambda note: note.start.t)
            theirs = [(note.start.t / (4 * DIVISIONS) * click_s, note.midi_pitch) for note in notes]
            fresh = theirs[:1] + [after for before, after in pairwise(theirs) if before[1] != after[1]]
            heard = model_tune(tune, 0, len(tune.notes) - 1, Bpm(bpm), standard_spread(), standard_book()).notes
            assert [one.at_s for one in heard] == pytest.approx([at for at, _ in fresh], abs=1e-3)
