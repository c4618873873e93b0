"""A cue that is sent to another machine is the same there."""

import json

import mido

from chanterd.hearing.cue_frame import Written, caught_up, cue_frame, cue_from_frame
from chanterd.hearing.source import Cue, Phrase
from chanterd.music.note import Note
from chanterd.music.units import Ns

UP = Phrase((Note.B, Note.LOW_G, Note.C), (Ns(0), Ns(900), Ns(1000)))
DOWN = Phrase((Note.C, Note.D, Note.B), (Ns(0), Ns(800), Ns(1000)))
CUE = Cue(Ns(5_000), Ns(2_000), (UP, DOWN), click_off=True)
PLAYED = (
    (mido.Message("note_on", note=69, velocity=64), Ns(-10)),
    (mido.Message("note_off", note=69, velocity=0), Ns(990)),
)


def sent(cue: Cue | None) -> Cue | None:
    """The cue after its way as text."""
    return cue_from_frame(json.loads(json.dumps(cue_frame(cue, 3))))


def test_a_cue_arrives_as_it_was_sent() -> None:
    """With every note and time; the end of one too."""
    assert sent(CUE) == CUE
    assert sent(None) is None


def test_a_performance_is_sent_note_by_note() -> None:
    """With the seed it was given, since only the class knows how a tune is played."""
    seeds = list[int]()

    def perform(seed: int) -> list[tuple[mido.Message, Ns]]:
        seeds.append(seed)
        return [*PLAYED]

    arrived = sent(Cue(Ns(5_000), Ns(2_000), (), performance=perform))
    assert seeds == [3]
    assert arrived is not None
    assert arrived.performance is not None
    assert tuple(arrived.performance(8)) == PLAYED


def test_who_is_in_time_misses_nothing() -> None:
    """The cue is as it was."""
    assert caught_up(CUE, Ns(5_000)) is CUE


def test_who_is_late_begins_with_the_next_rep() -> None:
    """With what that rep asks for."""
    late = caught_up(CUE, Ns(5_001))
    assert (late.beat0_ns, late.phrases) == (7_000, (DOWN, UP))
    later = caught_up(CUE, Ns(9_000))
    assert (later.beat0_ns, later.phrases) == (9_000, (UP, DOWN))


def test_a_performance_goes_on_where_it_is() -> None:
    """What is over is left out."""
    late = caught_up(Cue(Ns(5_000), Ns(2_000), (), performance=Written(PLAYED)), Ns(5_500))
    assert late.performance is not None
    assert tuple(late.performance(0)) == PLAYED[1:]
