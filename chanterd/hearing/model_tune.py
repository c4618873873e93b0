"""A tune as it is written, ready to be sounded: the simulated player without any habit of its own. Pure.

Conventions: times are seconds from the beginning; a place is a melody note's index in the tune.
"""

from dataclasses import dataclass
from math import floor

from chanterd.hearing.simulated_tune import TuneHabits, TunePlayer
from chanterd.music.note import Note
from chanterd.music.ornament import Book
from chanterd.music.spread import Spread
from chanterd.music.tunes.passage import make_passage, within_bar
from chanterd.music.tunes.segments import Segments
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MINUTE, NS_PER_S, Bpm

CLOSE_S = 1e-3
"""A note this near to a click is on it: what is left over from rounding."""


@dataclass(frozen=True, slots=True)
class Sounded:
    """One note, a gracenote or a melody note."""

    at_s: float
    note: Note
    place: int
    """The melody note, or the one that the gracenote belongs to."""


@dataclass(frozen=True, slots=True)
class ModelTune:
    """A passage, with its repeats unfolded."""

    notes: tuple[Sounded, ...]
    clicks: tuple[tuple[float, bool], ...]
    """When each click is, and whether a bar begins with it."""
    end_s: float


def model_tune(tune: Tune, first: int, last: int, click_bpm: Bpm, spread: Spread, book: Book) -> ModelTune:
    """The notes from ``first`` to ``last``, both included, played once."""
    click_ns = NS_PER_MINUTE / click_bpm
    passage = make_passage(tune, first, last)
    score = Segments(passage, book, spread, click_ns).score()
    played = TunePlayer(passage, score, click_ns, 0, TuneHabits()).play()
    # Gracenotes before the first beat come earlier than the beginning.
    early_s = max(0.0, -min(one.at_ms for one in played.truth) / 1000)
    notes = tuple(
        Sounded(early_s + one.at_ms / 1000, one.note, first + one.segment)
        for one in played.truth
        if one.segment is not None
    )
    end_s = early_s + played.end_ns / NS_PER_S
    # One of a melody note's gracenotes, or the note itself, is on its beat.
    downbeats = [one.at_s for one in notes if within_bar(tune, tune.notes[one.place].start)[1] == 0]
    click_s = click_ns / NS_PER_S
    begins_s = early_s + passage.pickup * click_s % click_s
    count = floor((end_s - begins_s) / click_s) + 1
    at_s = [begins_s + number * click_s for number in range(count)]
    clicks = tuple((at, any(abs(at - down) < CLOSE_S for down in downbeats)) for at in at_s if at < end_s - CLOSE_S)
    return ModelTune(notes, clicks, end_s)
