"""A recording of which nothing is known."""

from itertools import pairwise
from pathlib import Path

import mido
import pytest

from chanterd.assessing.listen import HeardTake, listen_to, stretches_in
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import load_profiles
from chanterd.hearing.take import Take, parse_take
from chanterd.hearing.track import whole_take
from chanterd.music.book import standard_book
from chanterd.music.heard import Onset
from chanterd.music.units import Ns
from tests.listening.played_notes import heard_notes

GRIPS = "B850 G60 d30 G60 c1000 " * 5


def taken(written: str, semitones: int = 0) -> Take:
    """A take of those notes, moved up by some semitones."""
    messages = []
    heard = heard_notes(written)
    for one, after in pairwise(heard):
        if isinstance(one, Onset):
            number = one.note.midi + semitones
            messages.append((mido.Message("note_on", note=number, velocity=64), one.at_ns))
            messages.append((mido.Message("note_off", note=number), Ns(after.at_ns - 1_000_000)))
    return parse_take(Path("take.mid"), whole_take(messages, 60.0))


def listened(written: str, semitones: int = 0) -> HeardTake:
    """What is heard in it."""
    return listen_to(taken(written, semitones), load_profiles(None), standard_book())


def test_a_drill_is_found_with_its_tempo() -> None:
    """And every one of its ornaments."""
    heard = listened(GRIPS)
    assert [(one.kind, one.drill) for one in heard.passages] == [("drill", "grip from B to C")]
    assert heard.passages[0].click_bpm == pytest.approx(60.0, rel=0.01)
    assert len(heard.found) == 5


@pytest.mark.parametrize("semitones", [-5, 3, 7])
def test_a_transposed_take_is_heard_all_the_same(semitones: int) -> None:
    """Which is said."""
    heard = listened(GRIPS + "e400 f400 g400 a400 A400", semitones)
    assert heard.passages[0].drill == "grip from B to C"
    assert f"{abs(semitones)} semitones" in heard.said


def test_notes_that_no_chanter_has_are_refused_with_their_numbers() -> None:
    """However the take is moved."""
    messages = [
        (mido.Message("note_on", note=60 + number, velocity=64), Ns(number * 100_000_000)) for number in range(12)
    ]
    take = parse_take(Path("piano.mid"), whole_take(messages, 60.0))
    with pytest.raises(ChanterdError, match=r"piano\.mid: no chanter profile knows all its notes .MIDI 60, 61"):
        listen_to(take, load_profiles(None), standard_book())


def test_a_rest_parts_what_sounded() -> None:
    """A chanter's way of changing notes does not."""
    stretches = stretches_in(heard_notes("B500 -20 c500 -4000 e500"))
    assert [(round(one.start_ns / 1e6), round(one.end_ns / 1e6)) for one in stretches] == [(1000, 2020), (6020, 6520)]
