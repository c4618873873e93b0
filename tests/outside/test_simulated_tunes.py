"""The simulated player of tunes against what it was set to play, and its truth against readers of MIDI of their own.

Sources: SciPy's binomial test for rates; partitura's and pretty_midi's readers of performed MIDI and mir_eval's
matching of transcribed notes for what was sent. A chance is taken to be kept if the count that was seen is not rarer
than one in ten thousand with it. Everything is simulated, from fixed seeds.
"""

import statistics
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import mir_eval
import numpy as np
import pretty_midi
import pytest
from scipy.stats import binomtest

from chanterd.hearing.simulated_tune import HUMAN, KEPT, LEARNER, TuneHabits, TunePerformance, TunePlayer
from chanterd.hearing.take import write_take
from chanterd.music.book import standard_book
from chanterd.music.score import Score
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.passage import Passage, make_passage
from chanterd.music.tunes.segments import Segments
from chanterd.music.tunes.unfolding import sections_of
from tests.bench.tune_performances import TEMPI, shipped

SEEDS = 30
RARE = 1e-4


@dataclass(frozen=True, slots=True)
class Played:
    """One performance of a tune that ships."""

    passage: Passage
    score: Score
    performance: TunePerformance

    @property
    def through(self) -> int:
        """How often a melody note was come by."""
        there = {(one.segment, one.time_through) for one in self.performance.truth if one.segment is not None}
        return len(there | {(note, time) for note, time, _ in self.performance.left_out})

    @property
    def ornaments(self) -> list[tuple[int, int, int]]:
        """Every coming-by of a note with gracenotes: the note, the time through, and how many gracenotes it has."""
        sizes = {index: len(note.gracenotes) for index, note in enumerate(self.passage.notes)}
        there = {(one.segment, one.time_through) for one in self.performance.truth if one.segment is not None}
        there |= {(note, time) for note, time, _ in self.performance.left_out}
        return [(note, time, sizes[note]) for note, time in sorted(there) if sizes[note]]


@cache
def at_tempo(name: str) -> tuple[Passage, Score, float]:
    """A tune that ships, laid out at its tempo."""
    passage, click_ns = make_passage(shipped(name)), 60e9 / TEMPI[name]
    return passage, Segments(passage, standard_book(), standard_spread(), click_ns).score(), click_ns


def play(name: str, habits: TuneHabits, seed: int) -> Played:
    """One performance."""
    passage, score, click_ns = at_tempo(name)
    return Played(passage, score, TunePlayer(passage, score, click_ns, seed, habits).play())


def many(habits: TuneHabits) -> Iterator[Played]:
    """Each tune, many times."""
    return (play(name, habits, seed) for name in TEMPI for seed in range(SEEDS))


def kept(seen: int, tries: int, chance: float) -> None:
    """Whether that count is one to be expected."""
    assert tries > 100
    assert binomtest(seen, tries, chance).pvalue > RARE, (seen, tries, chance)


@pytest.mark.parametrize("chance", [0.02, 0.1])
def test_wrong_notes(chance: float) -> None:
    """Of all melody notes."""
    seen = tries = 0
    for one in many(TuneHabits(wrong=chance)):
        notes = one.passage.notes
        melody = [
            played
            for played in one.performance.truth
            if played.segment is not None and played.step == len(notes[played.segment].gracenotes)
        ]
        seen += sum(played.note is not notes[played.segment or 0].note for played in melody)
        tries += one.through
    kept(seen, tries, chance)


@pytest.mark.parametrize("chance", [0.03, 0.2])
def test_gracenotes_left_out(chance: float) -> None:
    """Of ornaments by their size: one of the gracenotes is left out, as likely as if each had its chance."""
    by_size: dict[int, list[int]] = {}
    for one in many(TuneHabits(missing=chance)):
        gone = {(note, time) for note, time, _ in one.performance.left_out}
        for note, time, size in one.ornaments:
            by_size.setdefault(size, []).append((note, time) in gone)
    for size, gone_of in by_size.items():
        if len(gone_of) > 100:
            kept(sum(gone_of), len(gone_of), 1 - (1 - chance) ** size)
    assert len(by_size) > 3


@pytest.mark.parametrize("chance", [0.03, 0.2])
def test_whole_ornaments_left_out_and_crushed_ones(chance: float) -> None:
    """All of their gracenotes; and the last of them too short, where it is played."""
    left_out = crushed = tries = 0
    for one in many(TuneHabits(left_out=chance)):
        gone = one.performance.left_out
        left_out += sum(all((note, time, step) in gone for step in range(size)) for note, time, size in one.ornaments)
        tries += len(one.ornaments)
    kept(left_out, tries, chance)
    tries = 0
    for one in many(TuneHabits(crushed=chance)):
        crushed += sum(played.crushed for played in one.performance.truth)
        tries += len(one.ornaments)
        for played, after in pairwise(one.performance.truth):
            assert not played.crushed or after.at_ms - played.at_ms < 20
    kept(crushed, tries, chance)


def test_bars_begun_once_more() -> None:
    """Of bars with more than one note; those that begin with a gracenote are counted, since equal notes melt."""
    again = tries = 0
    for name in TEMPI:
        plain = most_times(play(name, TuneHabits(), 0))
        passage = at_tempo(name)[0]
        ends = [*passage.bars[1:], len(passage.notes)]
        counted = [
            start
            for start, end in zip(passage.bars, ends, strict=True)
            if end - start > 1 and passage.notes[start].gracenotes
        ]
        for seed in range(SEEDS):
            times = most_times(play(name, TuneHabits(bar_again=0.1), seed))
            again += sum(times[start] - plain[start] for start in counted)
            tries += sum(plain[start] for start in counted)
    kept(again, tries, 0.1)


def test_stops_and_repeats_left_out() -> None:
    """Of bars but the first, and of repeats."""
    stops = bars = left_out = repeats = 0
    for name in TEMPI:
        plain, passage = most_times(play(name, TuneHabits(), 0)), at_tempo(name)[0]
        sections = [section for section in sections_of(passage.tune.bars) if section.times > 1]
        starts = [passage.tune.bars[section.body.start].start for section in sections]
        firsts = [next(place for place, note in enumerate(passage.notes) if note.start >= start) for start in starts]
        for seed in range(SEEDS):
            played = play(name, TuneHabits(stop=0.05), seed).performance.truth
            stops += sum(one.until_ms is not None for one in played)
            bars += sum(plain[start] for start in passage.bars) - 1
            times = most_times(play(name, TuneHabits(repeat_left_out=0.3), seed))
            left_out += sum(times[first + 1] == 1 for first in firsts)
            repeats += len(firsts)
    kept(stops, bars, 0.05)
    kept(left_out, repeats, 0.3)


def most_times(one: Played) -> dict[int, int]:
    """By note, how often it was come by."""
    found: dict[int, int] = {}
    for played in one.performance.truth:
        if played.segment is not None:
            found[played.segment] = max(found.get(played.segment, 0), played.time_through)
    return found


def test_a_tempo_that_wanders_goes_as_far_as_it_is_asked_to_and_no_further() -> None:
    """12 % either way, and back to itself."""
    for name in TEMPI:
        passage, _, click_ns = at_tempo(name)
        steady, wandering = (_melody(play(name, TuneHabits(wander=by), 3)) for by in (0.0, 0.12))
        paces = [
            (after - before) / (right - left)
            for (before, after), (left, right) in zip(pairwise(wandering), pairwise(steady), strict=True)
            if right - left > 0.4 * click_ns / 1e6
        ]
        assert 1.10 < max(paces) < 1.13
        assert 0.87 < min(paces) < 0.90
        assert statistics.fmean(paces) == pytest.approx(1, abs=0.03)
        assert len(passage.notes) < len(paces) * 3


def _melody(one: Played) -> list[float]:
    """When each melody note without gracenotes began, in ms."""
    return [
        played.at_ms
        for played in one.performance.truth
        if played.segment is not None and not one.passage.notes[played.segment].gracenotes
    ]


def test_a_timekeepers_error_is_partly_taken_back_with_each_note() -> None:
    """An autoregressive error: its variance is that of each step, divided by 1 less the square of what is kept."""
    off: list[float] = []
    for name in TEMPI:
        steady = _melody(play(name, TuneHabits(), 0))
        for seed in range(SEEDS):
            off += [
                at - due for at, due in zip(_melody(play(name, TuneHabits(beat_sd_ms=8.0), seed)), steady, strict=True)
            ]
    assert statistics.stdev(off) == pytest.approx(8.0 / (1 - KEPT**2) ** 0.5, rel=0.06)
    assert statistics.fmean(off) == pytest.approx(0, abs=0.6)


@pytest.mark.parametrize("habits", [HUMAN, LEARNER, replace(LEARNER, stop=0.1, repeat_left_out=0.5, wander=0.12)])
@pytest.mark.parametrize("name", TEMPI)
def test_what_is_sent_is_what_is_said_to_be_played(tmp_path: Path, name: str, habits: TuneHabits) -> None:
    """Two readers of performed MIDI find every note of the truth within half a ms, and mir_eval matches them all."""
    one = play(name, habits, 7)
    path = tmp_path / "take.mid"
    write_take(path, one.performance.messages, TEMPI[name])
    first = min(at for _, at in one.performance.messages) / 1e9
    truth = [(max(0.0, played.at_ms / 1000), played.note.midi) for played in one.performance.truth]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its own, and those of what it imports
        import partitura  # noqa: PLC0415

        performed = partitura.load_performance_midi(path)
    theirs = sorted((float(note["note_on"]), int(note["midi_pitch"])) for note in performed.performedparts[0].notes)
    pretty = sorted(
        (note.start, note.end, note.pitch) for note in pretty_midi.PrettyMIDI(str(path)).instruments[0].notes
    )
    assert [pitch for _, pitch in theirs] == [pitch for _, _, pitch in pretty] == [pitch for _, pitch in truth]
    for (at, _), (start, _, _), (due, _) in zip(theirs, pretty, truth, strict=True):
        assert at == pytest.approx(due, abs=5e-4)
        assert start == pytest.approx(due, abs=5e-4)
    assert first >= 0
    spans = np.array([(start, max(end, start + 1e-3)) for start, end, _ in pretty])
    dues = np.array([(due, due + 1e-3) for due, _ in truth])
    pitches = np.array([pretty_midi.note_number_to_hz(pitch) for _, _, pitch in pretty])
    matched = mir_eval.transcription.match_notes(dues, pitches, spans, pitches, onset_tolerance=5e-4, offset_ratio=None)
    assert len(matched) == len(truth)
