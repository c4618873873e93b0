"""Tunes noticed by their melody; the tunes are those that ship, our own."""

from functools import cache

import pytest

from chanterd.config import bundled
from chanterd.listening.passages import Passage, Stretch
from chanterd.listening.tunes import FEWEST, KnownTune, known_tune, melody_of, tunes_in
from chanterd.music.tunes.read import read_tunes
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MS, Ns
from tests.listening.played_notes import found_in, heard_notes

NAMES = ("seven-gulls", "net-mender", "lamp-at-quarry-hollow")


@cache
def tune(name: str) -> Tune:
    """One that ships."""
    return read_tunes(bundled("configs") / "tunes" / f"{name}.abc")[0]


@cache
def known() -> tuple[KnownTune, ...]:
    """All that ship."""
    return tuple(known_tune(tune(name).title, tune(name)) for name in NAMES)


def played(written: str) -> list[Passage]:
    """The tunes that are found in what was played."""
    heard = heard_notes(written)
    stretch = Stretch(heard[0].at_ns, heard[-1].at_ns)
    return tunes_in(melody_of(heard, found_in(written)), known(), stretch)


def notes(name: str, first: int = 0, last: int | None = None) -> str:
    """Part of a tune with its gracenotes, a note every 300 ms."""
    words: list[str] = []
    for one in tune(name).notes[first:last]:
        words += [f"{grace.abc}35" for grace in one.gracenotes]
        words.append(f"{one.note.abc}300")
    return " ".join(words)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("first", [0, 17, 33])
def test_a_tune_is_found_from_any_start(name: str, first: int) -> None:
    """A few bars are enough; where it is in the tune is known, up to a phrase that comes twice."""
    (one,) = played(notes(name, first, first + 24))
    assert (one.kind, one.tune) == ("tune", tune(name).title)
    assert one.first is not None
    melody = [note.note for note in tune(name).notes]
    assert melody[one.first : one.first + 5] == melody[first : first + 5]
    assert one.start_ns <= 1500 * NS_PER_MS


def test_wrong_notes_and_a_jump_back_do_not_end_it() -> None:
    """A repeat, and notes that are not in the tune."""
    (one,) = played(f"{notes('net-mender', 0, 30)} A300 B300 d300 {notes('net-mender', 0, 30)}")
    assert one.tune == "The Net Mender"
    assert one.end_ns - one.start_ns > 18_000 * NS_PER_MS


def test_two_tunes_are_two_passages() -> None:
    """Each from where it began."""
    found = played(f"{notes('seven-gulls', 0, 40)} {notes('net-mender', 0, 40)}")
    assert [one.tune for one in found] == ["Seven Gulls", "The Net Mender"]


def test_what_is_in_no_tune_is_none() -> None:
    """A scale, up and down."""
    scale = " ".join(f"{letter}300" for letter in "GABcdefgagfedcBAGABcdefga")
    assert played(scale) == []


def test_fewer_notes_than_a_few_bars_are_none() -> None:
    """They are in many tunes."""
    assert played(notes("seven-gulls", 0, FEWEST - 3)) == []


def test_the_melody_is_without_gracenotes_and_noises() -> None:
    """Equal neighbours are one."""
    written = "A700 g35 c60 d30 c700 B12 A700 g35 A700"
    melody = melody_of(heard_notes(written), found_in(written))
    assert "".join(one.letter for one in melody) == "AcA"


def test_nothing_known_is_nothing_found() -> None:
    """Without tunes there is nothing to find."""
    heard = heard_notes(notes("seven-gulls"))
    assert tunes_in(melody_of(heard, []), (), Stretch(Ns(0), heard[-1].at_ns)) == []
