"""Building a tune note by note."""

from fractions import Fraction

from chanterd.music.note import Note
from chanterd.music.tunes.builder import TuneBuilder
from chanterd.music.tunes.tune import Meter

QUARTER = Fraction(1, 4)


def test_an_ending_in_the_middle_of_a_bar_divides_it() -> None:
    """Both halves have the same number."""
    build = TuneBuilder()
    build.meter(Meter(2, 4))
    build.note(Note.D, QUARTER * 2)
    build.bar_line()
    build.note(Note.LOW_A, QUARTER)
    build.ending((1,))
    build.note(Note.B, QUARTER)
    build.bar_line(closes=True)
    build.note(Note.C, QUARTER * 2)
    tune = build.tune()
    assert [(bar.number, bar.ending, bar.closes_repeat) for bar in tune.bars] == [
        (1, (), False),
        (2, (), False),
        (2, (1,), True),
        (3, (), False),
    ]
    assert [note.bar for note in tune.notes] == [1, 2, 2, 3]


def test_nothing_is_stretched_over_a_bar_line() -> None:
    """Broken rhythm takes its time from the same bar."""
    build = TuneBuilder()
    build.note(Note.LOW_A, QUARTER)
    build.bar_line()
    assert not build.stretch(Fraction(3, 2))
    build.note(Note.B, QUARTER)
    assert build.stretch(Fraction(3, 2))
    assert [note.lasts for note in build.tune().notes] == [QUARTER, QUARTER * Fraction(3, 2)]


def test_a_tie_to_another_note_is_none() -> None:
    """It is a slur then."""
    build = TuneBuilder()
    build.note(Note.LOW_A, QUARTER)
    build.tie()
    build.note(Note.B, QUARTER)
    build.tie()
    build.note(Note.B, QUARTER)
    assert [note.lasts for note in build.tune().notes] == [QUARTER, QUARTER * 2]


def test_bars_in_free_time_count_one_by_one() -> None:
    """Without a time signature nobody knows which is full."""
    build = TuneBuilder()
    for _ in range(3):
        build.note(Note.LOW_A, QUARTER)
        build.bar_line()
    assert [bar.number for bar in build.tune().bars] == [1, 2, 3]
