"""MusicXML that another program writes: music21's writer, read by our reader, note for note.

The tunes are simulated, from fixed seeds: pick-ups, ties within and across bars, triplets, rests, gracenotes, dotted
notes. Nothing that music21 writes has passed through our own writer of MusicXML.
"""

import random
from dataclasses import dataclass, field
from fractions import Fraction
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from chanterd.music.note import Note
from chanterd.music.tunes.musicxml import read_musicxml
from chanterd.music.tunes.read import read_tunes

music21: Any = import_module("music21")
"""Its types are too loose for ours."""
NAMES = ("G4", "A4", "B4", "C#5", "D5", "E5", "F#5", "G5", "A5")
TIMES = ("2/4", "6/8", "4/4", "9/8")
LENGTHS = (Fraction(1), Fraction(1, 2), Fraction(3, 4), Fraction(1, 4), Fraction(3, 2))
"""In quarters, as music21 counts."""


@dataclass(slots=True)
class Sung:
    """One note as it was meant: all times as fractions of a whole note."""

    note: Note
    start: Fraction
    lasts: Fraction
    gracenotes: list[Note] = field(default_factory=list)


class Composer:
    """Makes a tune up, as music21's stream and as what it means."""

    def __init__(self, seed: int) -> None:
        self._chance = random.Random(seed)  # noqa: S311 - nothing is kept secret with it
        self._at = Fraction(0)
        self._tied = False
        self.meant: list[Sung] = []

    def score(self) -> Any:
        """Some bars."""
        chance, part = self._chance, music21.stream.Part()
        time = music21.meter.TimeSignature(chance.choice(TIMES))
        full = Fraction(time.barDuration.quarterLength)
        for number in range(chance.randint(2, 6)):
            measure = music21.stream.Measure(number=number)
            left = full
            if number == 0:
                measure.append([music21.key.KeySignature(2), time])
                left = Fraction(1, 2)
                measure.paddingLeft = full - left
            while left > 0:
                triplet = left >= 1 and not self._tied and chance.random() < 0.2
                for lasts in [Fraction(1, 3)] * 3 if triplet else [min(left, chance.choice(LENGTHS))]:
                    measure.append(self._note(lasts, ties=not triplet))
                    left -= lasts
            part.append(measure)
        whole = music21.stream.Score()
        whole.append(part)
        return whole

    def _note(self, lasts: Fraction, *, ties: bool) -> list[Any]:
        """A note with its gracenotes, what is tied to it, or a rest."""
        chance, start = self._chance, self._at
        self._at += lasts / 4
        if not self._tied and chance.random() < 0.1:
            return [music21.note.Rest(quarterLength=lasts)]
        goes_on = ties and chance.random() < 0.2
        if self._tied:
            sung = self.meant[-1]
            sung.lasts += lasts / 4
            made: list[Any] = []
        else:
            graces = chance.choices(list(Note), k=chance.choice((0, 0, 1, 3)))
            sung = Sung(chance.choice(list(Note)), start, lasts / 4, graces)
            self.meant.append(sung)
            made = [music21.note.Note(NAMES[grace]).getGrace() for grace in graces]
        note = music21.note.Note(NAMES[sung.note], quarterLength=lasts)
        if self._tied or goes_on:
            note.tie = music21.tie.Tie("continue" if self._tied and goes_on else "start" if goes_on else "stop")
        self._tied = goes_on
        return [*made, note]


@pytest.mark.parametrize("seed", range(40))
def test_what_music21_writes_is_read_as_it_was_meant(seed: int) -> None:
    """Pitch, start, length, gracenotes; ties are one note."""
    composer = Composer(seed)
    tune = read_musicxml(music21.musicxml.m21ToXml.GeneralObjectExporter(composer.score()).parse())
    assert [Sung(one.note, one.start, one.lasts, list(one.gracenotes)) for one in tune.notes] == composer.meant
    assert [bar.number for bar in tune.bars] == list(range(len(tune.bars)))  # from the pick-up, 0


def test_what_it_packs_is_read_too(tmp_path: Path) -> None:
    """As ``.mxl``."""
    composer = Composer(99)
    path = Path(composer.score().write("mxl", fp=tmp_path / "tune.mxl"))
    [tune] = read_tunes(path)
    assert [one.note for one in tune.notes] == [one.note for one in composer.meant]
