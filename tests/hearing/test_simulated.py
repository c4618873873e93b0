"""The simulated player, held against the cue, the ear and the truth it keeps. All data here is simulated."""

import time
from dataclasses import replace
from itertools import islice, pairwise
from statistics import fmean, pstdev

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.hearing.chanter import load_profiles
from chanterd.hearing.ear import Ear
from chanterd.hearing.habits import GOOD, Habits, Truth
from chanterd.hearing.simulated import DemoSource, perform, scale_cue
from chanterd.hearing.source import Cue, Phrase
from chanterd.music.fingering import crossing_notes, fingers_moved
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.units import Ns
from tests.hearing.listener import Listener

WRITTEN = load_profiles(None)["written pitch"]
G, A, B, C, D, E = Note.LOW_G, Note.LOW_A, Note.B, Note.C, Note.D, Note.E
HIGH_G = Note.HIGH_G


def cue(notes: tuple[Note, ...], offsets_ms: tuple[float, ...], rep_ms: float = 2000.0) -> Cue:
    """A cue at time 0."""
    return Cue(Ns(0), Ns(round(rep_ms * 1e6)), (Phrase(notes, tuple(Ns(round(one * 1e6)) for one in offsets_ms)),))


GRIP = cue((B, G, D, G, C), (0, 880, 920, 960, 1000))
DOUBLING = cue((A, HIGH_G, C, D, C), (0, 1000, 1030, 1070, 1100))
BIRL = cue((E, A, G, A, G, A), (0, 960, 1000, 1030, 1060, 1090))
TURNS = replace(GRIP, phrases=(*GRIP.phrases, *DOUBLING.phrases))
TAPS = cue((A,), (0,), 1000)
SCALE = scale_cue(Ns(0))
CUES = [GRIP, DOUBLING, TURNS, BIRL, TAPS, SCALE, replace(GRIP, click_off=True)]


def heard(asked: Cue, reps: int, seed: int, habits: Habits) -> list[Onset]:
    """What a listener hears of it."""
    ear = Ear(WRITTEN)
    messages, _ = perform(asked, reps, seed, habits)
    return [one for message, at_ns in messages for one in ear.hear(message, at_ns) if isinstance(one, Onset)]


def onsets_of(truths: tuple[Truth, ...]) -> list[Onset]:
    """The truth in the words of a listener."""
    return [Onset(one.note, one.at_ns, one.extra == "bounce") for truth in truths for one in truth.onsets]


def deviations_ms(asked: Cue, truths: tuple[Truth, ...], step: int) -> list[float]:
    """How late that step came, rep by rep, where it was played."""
    return [
        (one.at_ns - truth.rep * asked.rep_ns - asked.phrase(truth.rep).offsets_ns[step]) / 1e6
        for truth in truths
        for one in truth.onsets
        if one.step == step
    ]


@pytest.mark.parametrize("asked", [GRIP, DOUBLING, TURNS, BIRL, SCALE])
def test_a_player_without_habits_plays_exactly(asked: Cue) -> None:
    """A machine plays every note of the cue on its time, rep after rep, and stops at the end."""
    assert heard(asked, 3, 1, Habits()) == [
        Onset(note, Ns(rep * asked.rep_ns + offset))
        for rep in range(3)
        for note, offset in zip(asked.phrase(rep).notes, asked.phrase(rep).offsets_ns, strict=True)
    ]


def test_taps_on_one_note_are_let_go_between() -> None:
    """One note asked over and over is struck over and over, as a calibration needs."""
    assert heard(TAPS, 16, 1, Habits()) == [Onset(A, Ns(k * 10**9)) for k in range(16)]


def test_a_note_that_sounds_already_is_not_played_again() -> None:
    """From C to C: the lead of the second rep only goes on sounding (a chanter cannot repeat a note)."""
    grip = cue((C, G, D, G, C), (0, 880, 920, 960, 1000))
    assert [one.note for one in heard(grip, 2, 1, Habits())] == [C, G, D, G, C, G, D, G, C]


HABITS = st.builds(
    Habits,
    bias_ms=st.floats(-30, 30),
    beat_sd_ms=st.floats(0, 40),
    correction=st.floats(0, 1),
    hurry=st.floats(-0.1, 0.1),
    step_sd_ms=st.floats(0, 25),
    **dict.fromkeys(
        ("crushed", "missing", "wrong", "wind_up", "skipped", "crossing", "bounce", "overlap"), st.floats(0, 1)
    ),
)


@given(st.sampled_from(CUES), st.integers(0, 2**32), HABITS)
@settings(max_examples=200, deadline=None)
def test_what_is_heard_is_the_truth(asked: Cue, seed: int, habits: Habits) -> None:
    """Whatever the habits, the ear hears each onset of the truth, in order, to the nanosecond, and nothing else."""
    messages, truths = perform(asked, 8, seed, habits)
    assert heard(asked, 8, seed, habits) == onsets_of(truths)
    stamps = [at_ns for _, at_ns in messages]
    assert stamps == sorted(stamps)
    assert not stamps or stamps[0] >= 0


@given(st.sampled_from([GRIP, DOUBLING, BIRL]), st.integers(0, 2**32), HABITS)
@settings(max_examples=100, deadline=None)
def test_extras_are_what_they_are_called(asked: Cue, seed: int, habits: Habits) -> None:
    """A crossing noise is between two notes whose fingers pass through it; a bounce repeats what sounds."""
    played = [one for truth in perform(asked, 8, seed, habits)[1] for one in truth.onsets]
    for position, one in enumerate(played):
        assert (one.step is None) == (one.extra is not None)
        if one.extra == "bounce":
            assert one.note is played[position - 1].note
            assert one.at_ns - played[position - 1].at_ns <= WRITTEN.bounce_ms * 1e6
        if one.extra == "crossing noise":
            before, after = played[position - 1], played[position + 1]
            assert fingers_moved(before.note, after.note) >= 2
            assert one.note in crossing_notes(before.note, after.note)
            assert after.at_ns - one.at_ns <= 26e6
    for before, after in pairwise(played):
        assert after.at_ns - before.at_ns >= 2_999_999
        assert before.note is not after.note or after.extra == "bounce"


def test_without_a_click_the_player_goes_by_a_pulse_of_its_own() -> None:
    """A little faster than asked, and as Wing and Kristofferson's model has it (1973, formulas from memory).

    Intervals vary by the timer, and by the hand at both their ends; neighbours against each other, by the hand alone.
    The timer is moved twice a rep, for the lead and for the ornament. With the click the player stays with it.
    """
    timer_ms, hand_ms = 7.0, 6.0
    habits = Habits(beat_sd_ms=timer_ms, step_sd_ms=hand_ms, hurry=0.01)
    alone, led = (perform(replace(GRIP, click_off=off), 3000, 1, habits)[1] for off in (True, False))
    beats_ms = [one.at_ns / 1e6 for truth in alone for one in truth.onsets if one.step == 4]
    intervals = [after - before for before, after in pairwise(beats_ms)]
    assert fmean(intervals) == pytest.approx(0.99 * 2000, abs=1)
    off = [interval - fmean(intervals) for interval in intervals]
    assert fmean([one * one for one in off]) == pytest.approx(2 * timer_ms**2 + 2 * hand_ms**2, rel=0.1)
    assert fmean([one * after for one, after in pairwise(off)]) == pytest.approx(-(hand_ms**2), rel=0.2)
    assert max(map(abs, deviations_ms(GRIP, led, 4))) < 60


def test_the_same_seed_plays_the_same() -> None:
    """A performance can be had again; another seed gives another one."""
    assert perform(GRIP, 20, 7) == perform(GRIP, 20, 7)
    assert onsets_of(perform(GRIP, 20, 7)[1]) != onsets_of(perform(GRIP, 20, 8)[1])


def test_a_steady_bias_is_on_every_note_and_adds_no_spread() -> None:
    """+ is late."""
    _, truths = perform(GRIP, 10, 1, Habits(bias_ms=12))
    assert [deviations_ms(GRIP, truths, step) for step in range(5)] == [[12.0] * 10] * 5


def test_the_timekeeper_moves_an_ornament_as_a_whole_and_the_fingers_each_step() -> None:
    """With timekeeper noise only, the steps keep their lengths; with finger noise only, they do not."""
    _, beat = perform(GRIP, 400, 1, Habits(beat_sd_ms=10, correction=0.2))
    firsts, lasts = deviations_ms(GRIP, beat, 1), deviations_ms(GRIP, beat, 4)
    assert firsts == pytest.approx(lasts, abs=1e-5)
    # First-order autoregression (textbook formula): the share kept is 0.8, so the spread is 10 / sqrt(1 - 0.8 ** 2).
    assert pstdev(firsts) == pytest.approx(10 / 0.6, rel=0.2)
    _, fingers = perform(GRIP, 400, 1, Habits(step_sd_ms=5))
    lengths = [b - a for a, b in zip(deviations_ms(GRIP, fingers, 1), deviations_ms(GRIP, fingers, 2), strict=True)]
    assert pstdev(lengths) == pytest.approx(5 * 2**0.5, rel=0.2)


def test_timing_noise_alone_is_centred() -> None:
    """Neither level of noise makes the player early or late."""
    _, truths = perform(GRIP, 400, 3, Habits(beat_sd_ms=8, step_sd_ms=4))
    assert abs(fmean(deviations_ms(GRIP, truths, 2))) < 2


def test_a_crushed_step_is_too_short_to_hear() -> None:
    """The second low G of the grip, asked for 40 ms, is left under 25 ms; all else is in place."""
    _, truths = perform(GRIP, 50, 1, Habits(crushed=1))
    for truth in truths:
        at = {one.step: one.at_ns for one in truth.onsets}
        assert 3e6 <= at[4] - at[3] < 25e6
        assert at[2] - at[1] == 40e6


def test_missing_and_wrong_and_skipped() -> None:
    """A missing step is not there, a wrong one is another note, a skipped rep is silence; the theme always comes."""
    _, missing = perform(DOUBLING, 50, 1, Habits(missing=1))
    assert all(len({1, 2, 3} - {one.step for one in truth.onsets}) in (1, 2) for truth in missing)
    assert {one.step for truth in missing for one in truth.onsets} == {0, 1, 2, 3, 4}
    _, wrong = perform(GRIP, 50, 1, Habits(wrong=1))
    mistaken = [
        [one for one in truth.onsets if one.step and one.note is not GRIP.phrase(0).notes[one.step]] for truth in wrong
    ]
    assert all(len(one) == 1 for one in mistaken)
    assert {one[0].step for one in mistaken} == {1, 2, 3}
    _, skipped = perform(GRIP, 100, 1, Habits(skipped=0.5))
    assert 25 < sum(not truth.onsets for truth in skipped) < 75


def test_a_wind_up_makes_the_ornament_late_and_not_the_lead() -> None:
    """A hesitation before the ornament."""
    _, truths = perform(GRIP, 20, 1, Habits(wind_up=1))
    assert deviations_ms(GRIP, truths, 0) == [0.0] * 20
    assert all(60 <= one <= 120 for one in deviations_ms(GRIP, truths, 1))


def test_the_good_player_plays_most_reps_correctly() -> None:
    """Of 500 grips, about two in three have all their steps and nothing else, no step under 20 ms, none 40 ms off."""
    _, truths = perform(GRIP, 500, 1, GOOD)
    clean = 0
    for truth in truths:
        at = [one.at_ns for one in truth.onsets]
        right = [(one.step, one.note) for one in truth.onsets if one.extra != "bounce"] == list(
            enumerate(GRIP.phrase(0).notes)
        )
        late = [
            abs(one.at_ns - truth.rep * GRIP.rep_ns - GRIP.phrase(0).offsets_ns[one.step])
            for one in truth.onsets
            if one.step
        ]
        clean += right and min(b - a for a, b in pairwise(at) if b - a > 8e6) >= 20e6 and max(late) < 40e6
    assert 0.55 < clean / len(truths) < 0.8


def test_the_demo_waits_plays_on_cue_and_falls_silent() -> None:
    """Nothing without a cue; rep after rep with one; when it is taken back the sounding note is let go, and no more."""
    source, listener = DemoSource(1, Habits()), Listener()
    source.start(listener.deliver, listener.report)
    listener.wait_for(lambda: listener.states == ["ready"])
    assert listener.messages == []
    # Two reps are in the past and arrive at once; the third is a quarter of an hour away.
    beat0_ns = time.perf_counter_ns() - 10**12
    source.cue(Cue(Ns(beat0_ns), Ns(950 * 10**9), GRIP.phrases))
    listener.wait_for(lambda: len(listener.messages) >= 19)
    source.cue(None)
    ear = Ear(WRITTEN)
    listener.wait_for(lambda: len(listener.messages) == 20)
    onsets = [one for message, at_ns in listener.messages for one in ear.hear(message, at_ns) if isinstance(one, Onset)]
    assert [(one.note, one.at_ns - beat0_ns) for one in onsets] == [
        (note, rep * 950 * 10**9 + offset)
        for rep in range(2)
        for note, offset in zip(GRIP.phrase(0).notes, GRIP.phrase(0).offsets_ns, strict=True)
    ]
    assert ear.sounding is None
    source.stop()


def test_the_demo_plays_another_run_each_time_and_the_same_runs_for_a_seed() -> None:
    """Starting again is not the same performance again; the whole demo can be had again by its seed."""

    def runs(seed: int) -> list[list[str]]:
        source = DemoSource(seed)
        return [[message.hex() for message, _ in islice(source._play_on(GRIP), 200)] for _ in range(2)]

    first = runs(1)
    assert first[0] != first[1]
    assert first == runs(1)
    assert first != runs(2)
