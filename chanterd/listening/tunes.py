"""Tunes noticed: what is played is found among the tunes at hand, by its melody, wherever it begins.

The melody is what is left of the onsets without gracenotes, steps and noises, equal neighbours melted into one. Runs of
a few notes are looked up in all tunes; where the same tune is found over and over, it is played, through repeats,
restarts and wrong notes. Pure; times in ns, notes of a tune count from 0. The figures are our own choice, tried on
simulated playing (``tests/bench/bench_listen.py``).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from chanterd.listening.found import Found
from chanterd.listening.passages import Passage, Stretch
from chanterd.listening.prices import STANDARD_PRICES
from chanterd.music.heard import Heard, Onset
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MS, Ns

RUN = 6
"""Notes that are looked up together: fewer are in any tune."""
FEWEST = 10
"""Notes of a tune that have to be found: two or three bars."""
MOST_LOST = 12
"""After more notes that are not in the tune, it is no longer played."""
LOOK_AHEAD = 40
"""Notes by which it is decided which of several tunes begins."""
NOISE_NS = round(STANDARD_PRICES.noise_ms * NS_PER_MS)
"""A shorter note is none of a melody: fingers that cross make it."""
Places = dict[str, list[tuple[int, int]]]
"""By a run of notes, where it is: the tunes by their place among all, and the places in their melodies."""


@dataclass(frozen=True, slots=True)
class KnownTune:
    """A tune by its melody."""

    title: str
    letters: str
    notes: tuple[int, ...]
    """Which note of the tune each letter is; of equal neighbours the first."""
    tune: Tune | None = None
    """None: nothing is known of its ornaments."""


@dataclass(frozen=True, slots=True)
class MelodyNote:
    """A note of what was played."""

    letter: str
    at_ns: Ns


def known_tune(title: str, tune: Tune) -> KnownTune:
    """A tune, to be found; ``title`` is what it is called."""
    letters, notes = "", list[int]()
    for index, one in enumerate(tune.notes):
        if not letters or letters[-1] != one.note.abc:
            letters += one.note.abc
            notes.append(index)
    return KnownTune(title, letters, tuple(notes), tune)


def places_of_runs(tunes: Iterable[KnownTune]) -> Places:
    """Every run of notes that is looked up, in all tunes."""
    places: Places = {}
    for number, tune in enumerate(tunes):
        for at in range(len(tune.letters) - RUN + 1):
            places.setdefault(tune.letters[at : at + RUN], []).append((number, at))
    return places


def melody_of(heard: Iterable[Heard], found: Iterable[Found]) -> list[MelodyNote]:
    """What was played without ornaments and noises."""
    steps = {sound.onset_ns for one in found for sound in one.sounds[:-1]}
    onsets = [one for one in heard if isinstance(one, Onset) and not one.bounce and one.at_ns not in steps]
    melody: list[MelodyNote] = []
    for place, one in enumerate(onsets):
        after = onsets[place + 1].at_ns if place + 1 < len(onsets) else None
        if after is not None and after - one.at_ns < NOISE_NS:
            continue
        if not melody or melody[-1].letter != one.note.abc:
            melody.append(MelodyNote(one.note.abc, one.at_ns))
    return melody


@dataclass(slots=True)
class _Playing:
    """A tune that is being played, so far: places in the melody, the last one included."""

    tune: int
    first: int
    last: int
    at: int
    """Place in the tune of ``first``."""
    found: int = RUN


def tunes_in(melody: Sequence[MelodyNote], tunes: Sequence[KnownTune], stretch: Stretch) -> list[Passage]:
    """The tunes in what was played in one stretch."""
    inside = [one for one in melody if stretch.start_ns <= one.at_ns <= stretch.end_ns]
    letters = "".join(one.letter for one in inside)
    places = places_of_runs(tunes)
    hits = [places.get(letters[place : place + RUN], []) for place in range(len(letters) - RUN + 1)]
    played: list[_Playing] = []
    now: _Playing | None = None
    for place, found in enumerate(hits):
        if now is not None and place - now.last > MOST_LOST:
            played.append(now)
            now = None
        if now is not None and any(number == now.tune for number, _ in found):
            now.found += min(RUN, place + RUN - 1 - now.last)
            now.last = place + RUN - 1
        elif now is None and found:
            number, at = _likeliest(found, hits, letters, place, tunes)
            now = _Playing(number, place, place + RUN - 1, at)
    if now is not None:
        played.append(now)
    return [
        _passage(one, letters, inside, tunes, stretch, before.last if before is not None else -1)
        for before, one in zip([None, *played], played, strict=False)
        if one.found >= FEWEST and 2 * one.found >= one.last - one.first
    ]


def _likeliest(
    found: Sequence[tuple[int, int]],
    hits: Sequence[Sequence[tuple[int, int]]],
    letters: str,
    place: int,
    tunes: Sequence[KnownTune],
) -> tuple[int, int]:
    """The tune that is found most in what follows, and the place in it from which it goes on for longest."""
    number = max((one for one, _ in found), key=lambda one: _ahead(hits, place, one))
    return max(
        (hit for hit in found if hit[0] == number),
        key=lambda hit: _alike(letters[place:], tunes[number].letters[hit[1] :]),
    )


def _alike(one: str, other: str) -> int:
    """How many notes are the same from the beginning on."""
    return next(
        (place for place, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other))
    )


def _ahead(hits: Sequence[Sequence[tuple[int, int]]], place: int, number: int) -> int:
    """How often that tune is found in the next notes."""
    return sum(any(one == number for one, _ in found) for found in hits[place : place + LOOK_AHEAD])


def _passage(
    one: _Playing,
    letters: str,
    melody: Sequence[MelodyNote],
    tunes: Sequence[KnownTune],
    stretch: Stretch,
    least: int,
) -> Passage:
    """Where it begins and ends: back and on as far as it fits."""
    tune, first, at, last = tunes[one.tune], one.first, one.at, one.last
    while first - 1 > least and at > 0 and letters[first - 1] == tune.letters[at - 1]:
        first, at = first - 1, at - 1
    end = melody[last + 1].at_ns if last + 1 < len(melody) else stretch.end_ns
    return Passage(melody[first].at_ns, end, "tune", tune=tune.title, first=tune.notes[at])
