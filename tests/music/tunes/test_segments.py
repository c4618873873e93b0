"""When gracenotes are expected."""

import pytest

from chanterd.music.book import standard_book
from chanterd.music.note import Note
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.segments import MOST_OF_NOTE, Segments
from chanterd.music.units import NS_PER_MS

CLICK_NS = 1e9


def segments(music: str, click_ns: float = CLICK_NS) -> Segments:
    """Of a tune in eighths, a click being a quarter."""
    [tune] = read_abc(f"X:1\nM:2/4\nL:1/8\nK:HP\n{music}\n".encode())
    return Segments(make_passage(tune), standard_book(), standard_spread(), click_ns)


def test_the_step_on_the_beat_is_due_when_the_note_is_written() -> None:
    """The grip before its melody note, the doubling from its own beginning on; lengths as in a drill at 60."""
    found = segments("B2 {GdG}c2 | A2 {gcd}c2 |")
    grip, doubling = found.of(1, Note.B), found.of(3, Note.LOW_A)
    assert [round(at / NS_PER_MS) for at in grip.from_beat_ns] == [-160, -100, -60, 0]
    assert [round(at / NS_PER_MS) for at in doubling.from_beat_ns] == [0, 40, 100, 140]


def test_a_segment_reaches_from_a_click_before_its_note_to_a_click_after() -> None:
    """Like a rep of two clicks; its lengths leave no gap."""
    grip = segments("B2 {GdG}c2 |").of(1, Note.B)
    assert (grip.offsets_ns[0], grip.beat_ns, grip.lasts_ns) == (0, 1_000_000_000, 2_000_000_000)
    assert sum(grip.lengths_ns) == grip.lasts_ns


def test_the_score_of_a_tune_has_a_segment_for_each_note() -> None:
    """Each begins a click before its note; those without gracenotes are their melody note alone."""
    score = segments("A2 {g}B c | {GdG}c4 |").score()
    assert score.starts == (0.0, 1.0, 1.5, 2.0)
    assert [one.ornamented for one in score.segments] == [False, True, False, True]
    assert [one.phase for one in score.segments] == [0.0, 0.0, 0.5, 0.0]
    notes = ["".join(step.note.abc for step in one.drill.steps) for one in score.segments]
    assert notes == ["A", "gB", "c", "GdGc"]
    assert (score.bars, score.length) == ((0, 3), 4.0)


def test_a_passage_counts_its_notes_and_clicks_from_its_first() -> None:
    """The note before it is still that of the tune."""
    [tune] = read_abc(b"X:1\nM:2/4\nL:1/8\nK:HP\nA2 {g}B c | {GdG}c4 |\n")
    found = Segments(make_passage(tune, 1, 3), standard_book(), standard_spread(), CLICK_NS)
    assert found.score().starts == (0.0, 0.5, 1.0)
    assert found.lead(0) is Note.LOW_A


@pytest.mark.parametrize("click_ns", [CLICK_NS, 0.25e9])
def test_a_short_note_keeps_enough_of_itself(click_ns: float) -> None:
    """However fast the tune is."""
    score = segments("B/4{gcd}c/4{GdG}A/4 z z/4 |", click_ns).score()
    found = [off_ns for segment in score.segments for off_ns in segment.from_beat_ns]
    note = click_ns / 8
    assert max(found) <= MOST_OF_NOTE * note * 1.001
    assert min(found) >= -MOST_OF_NOTE * note * 1.001


def test_the_lead_is_the_note_as_written_and_none_before_the_first() -> None:
    """Then every gracenote sounds."""
    found = segments("{g}A2 {g}B2 |")
    assert [found.lead(0), found.lead(1)] == [None, Note.LOW_A]
    assert found.of(0, None).drill.steps[0].sounds
