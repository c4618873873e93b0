"""Measures: when a step was expected, when it came, how long it was."""

import pytest

from chanterd.following.reading import ExtraKind, StepState
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.units import Ns, ms
from tests.judging.followed_reps import Rep

MISSING = {0: StepState.MISSING, 1: StepState.MISSING, 2: StepState.MISSING, 3: StepState.MISSING}


def test_late_is_more_and_early_is_less() -> None:
    """A deviation is the onset less what was expected, whatever the daemon's clock read at beat 0."""
    rep = Rep(off_ms={-1: 4.2, 0: -3.0, 3: 12.3}).measured()
    assert [ms(step.deviation_ns or Ns(0)) for step in (rep.lead, *rep.steps)] == [4.2, -3.0, 0.0, 0.0, 12.3]
    assert [ms(step.onset_ns or Ns(0)) for step in (rep.lead, *rep.steps)] == [4.2, 837.0, 900.0, 940.0, 1012.3]


@pytest.mark.parametrize(("bpm", "click_ms"), [(60, 1000.0), (72, 833.333), (160, 375.0)])
def test_times_count_from_beat_0_of_the_run(bpm: float, click_ms: float) -> None:
    """Rep k's lead is expected on beat 2k and a grip's theme on beat 2k + 1, at any tempo."""
    rep = Rep(bpm=bpm, rep=3).measured()
    assert ms(rep.lead.expected_ns) == pytest.approx(6 * click_ms, abs=0.01)
    assert ms(rep.anchor.expected_ns) == pytest.approx(7 * click_ms, abs=0.01)
    assert rep.anchor.deviation_ns == pytest.approx(0, abs=2)


def test_each_step_shows_its_written_note_and_kind_beside_what_was_played() -> None:
    """The lead is of no kind; a wrong note keeps the asked note and says what came in its place."""
    rep = Rep(wrong={1: Note.E}).measured()
    assert [step.note for step in (rep.lead, *rep.steps)] == [Note.B, Note.LOW_G, Note.D, Note.LOW_G, Note.C]
    assert [step.kind for step in (rep.lead, *rep.steps)] == [None, Kind.HELD, Kind.QUICK, Kind.HELD, Kind.THEME]
    assert [step.played_note for step in rep.steps] == [None, Note.E, None, None]


def test_what_did_not_sound_has_no_times() -> None:
    """A missing step and one that melted into its neighbour have neither onset, deviation nor length."""
    rep = Rep(states={1: StepState.MISSING, 2: StepState.MERGED}).measured()
    for step in rep.steps[1:3]:
        assert (step.onset_ns, step.deviation_ns, step.length_ns, step.played_note) == (None, None, None, None)
    assert [step.state for step in rep.steps] == [
        StepState.PLAYED,
        StepState.MISSING,
        StepState.MERGED,
        StepState.PLAYED,
    ]


def test_the_anchor_is_the_step_that_shows_the_beat() -> None:
    """A grip's theme, a doubling's first gracenote, a light throw's D; where it melts, the note it melts into."""
    words = {
        "grip from B to C": 3,
        "doubling from low A to C": 0,
        "throw on D from low A": 1,
        "taorluath from C to low A": 3,
        "grip from low G to low G": 2,
    }
    for drill, step in words.items():
        rep = Rep(words=drill, off_ms={step: 7.0}).measured()
        assert rep.anchor is rep.steps[step]
        assert ms(rep.anchor.deviation_ns or Ns(0)) == 7.0, drill


def test_extras_are_passed_on_with_their_times() -> None:
    """Note, kind, onset from beat 0, and the length if it is known."""
    noise = (Note.LOW_A, 831.0, 9.0, ExtraKind.CROSSING_NOISE)
    bounce = (Note.B, 3.0, None, ExtraKind.BOUNCE)
    rep = Rep(extras=[noise, bounce]).measured()
    shown = [(extra.note, ms(extra.onset_ns), extra.length_ns, extra.kind) for extra in rep.extras]
    assert shown == [(Note.LOW_A, 831.0, 9_000_000, ExtraKind.CROSSING_NOISE), (Note.B, 3.0, None, ExtraKind.BOUNCE)]


def test_a_rep_is_skipped_when_no_step_of_it_sounded() -> None:
    """A lead that only goes on, or even restarts, is no playing: the player rested."""
    assert Rep(states=MISSING).measured().skipped
    assert not Rep(states={**MISSING, 1: StepState.PLAYED}).measured().skipped
