"""What the ear makes of MIDI messages, as a player and a listener would put it."""

from itertools import pairwise
from random import Random

import mido
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.hearing.chanter import Profile
from chanterd.hearing.ear import Ear
from chanterd.music.heard import Heard, Onset, Silence, Stray
from chanterd.music.note import Note
from chanterd.music.units import Ns

PROFILE = Profile("test", "", {note.midi: note for note in Note}, drones=frozenset({45, 57}), bounce_ms=8)
G, A, B, C, D = Note.LOW_G, Note.LOW_A, Note.B, Note.C, Note.D


def on(note: int, velocity: int = 64, channel: int = 0) -> mido.Message:
    """A note-on, by note or by MIDI number."""
    midi = note.midi if isinstance(note, Note) else note
    return mido.Message("note_on", note=midi, velocity=velocity, channel=channel)


def off(note: int, channel: int = 0) -> mido.Message:
    """A note-off, by note or by MIDI number."""
    return mido.Message("note_off", note=note.midi if isinstance(note, Note) else note, channel=channel)


def ms(value: float) -> Ns:
    """Milliseconds as nanoseconds."""
    return Ns(round(value * 1e6))


def hear(*timed: tuple[float, mido.Message], profile: Profile = PROFILE) -> list[Heard]:
    """All that a fresh ear makes of messages with their stamps in ms."""
    ear = Ear(profile)
    return [heard for at_ms, message in timed for heard in ear.hear(message, ms(at_ms))]


def test_a_note_lasts_from_its_onset_to_silence() -> None:
    """A note-on is an onset, its note-off silence; both carry the stamp they came with."""
    assert hear((1, on(B)), (500, off(B))) == [Onset(B, ms(1)), Silence(ms(500))]


def test_note_on_with_velocity_0_is_a_note_off() -> None:
    """MIDI 1.0, from memory: a note-on with velocity 0 means note-off."""
    assert hear((0, on(B)), (500, on(B, velocity=0))) == [Onset(B, ms(0)), Silence(ms(500))]


def test_overlapping_notes_are_one_after_the_other() -> None:
    """The latest note-on sounds; the late note-off of the one before says nothing."""
    assert hear((0, on(B)), (100, on(C)), (104, off(B)), (300, off(C))) == [
        Onset(B, ms(0)),
        Onset(C, ms(100)),
        Silence(ms(300)),
    ]


def test_a_note_held_underneath_sounds_again() -> None:
    """Whoever holds a note and plays a gracenote over it hears the note again after it."""
    assert hear((0, on(B)), (100, on(D)), (140, off(D))) == [Onset(B, ms(0)), Onset(D, ms(100)), Onset(B, ms(140))]


def test_three_notes_held_sound_again_latest_first() -> None:
    """Of several notes held underneath, the one pressed last comes back first."""
    heard = hear((0, on(G)), (100, on(A)), (200, on(B)), (300, off(B)), (400, off(A)), (500, off(G)))
    assert heard[3:] == [Onset(A, ms(300)), Onset(G, ms(400)), Silence(ms(500))]


def test_a_note_off_for_what_does_not_sound_is_nothing() -> None:
    """A stray note-off changes nothing."""
    assert hear((0, on(B)), (50, off(C)), (60, off(99))) == [Onset(B, ms(0))]


@pytest.mark.parametrize("message", [off(B), None])
def test_the_same_note_within_the_bounce_time_is_a_bounce(message: mido.Message | None) -> None:
    """Common practice, no source: some chanters send a note twice within a few ms, with or without a note-off."""
    between = [] if message is None else [(3.0, message)]
    heard = hear((0, on(B)), *between, (7, on(B)))
    assert heard[-1] == Onset(B, ms(7), bounce=True)


def test_a_release_long_after_and_a_press_right_after_it_is_a_bounce() -> None:
    """The bounce time counts from the release as well as from the press."""
    assert hear((0, on(B)), (500, off(B)), (508, on(B)))[-1] == Onset(B, ms(508), bounce=True)


def test_the_same_note_after_the_bounce_time_was_struck_again() -> None:
    """A tap on one note that comes later than a bounce could is an onset of its own."""
    assert hear((0, on(B)), (500, off(B)), (509, on(B)))[-1] == Onset(B, ms(509))
    assert hear((0, on(B)), (500, on(B)))[-1] == Onset(B, ms(500))


def test_letting_go_of_another_note_does_not_make_a_bounce() -> None:
    """C was struck at 100 ms and again at 110: that B was let go between does not bring the two closer."""
    heard = hear((0, on(B)), (100, on(C)), (104, off(B)), (110, on(C)))
    assert heard[-1] == Onset(C, ms(110))


def test_a_note_that_comes_back_over_another_is_no_bounce() -> None:
    """Tap, tap: C, B, C within a few ms is three notes, for whoever skips bounces would think that B still sounds."""
    heard = hear((0, on(B)), (10, on(C)), (12, off(C)), (14, on(C)))
    assert heard[1:] == [Onset(C, ms(10)), Onset(B, ms(12)), Onset(C, ms(14))]


def test_a_birl_is_not_taken_for_bounces() -> None:
    """Low A, low G, low A, low G at 10 ms each: four onsets, since another note is between."""
    heard = hear(*((10.0 * k, on(note)) for k, note in enumerate((A, G, A, G))))
    assert heard == [Onset(note, ms(10 * k)) for k, note in enumerate((A, G, A, G))]


@pytest.mark.parametrize("channel", [0, 5])
def test_drones_are_not_heard(channel: int) -> None:
    """A drone on the same or on another channel disturbs nothing."""
    assert hear((0, on(45, channel=channel)), (10, on(B)), (500, off(B)), (600, off(45, channel=channel))) == [
        Onset(B, ms(10)),
        Silence(ms(500)),
    ]


def test_only_the_chanters_channel_is_heard() -> None:
    """Channel 2 in the profile is channel number 1 on the wire; notes and quietings on others do not count."""
    profile = Profile("two", "", PROFILE.notes, channel=2)
    quiet = mido.Message("control_change", control=123, channel=0)
    assert hear((0, on(B, channel=1)), (9, on(C)), (20, quiet), (30, off(B)), profile=profile) == [Onset(B, ms(0))]


@pytest.mark.parametrize(
    "message",
    [
        mido.Message("control_change", control=123),
        mido.Message("control_change", control=120),
        mido.Message("control_change", control=124),
        mido.Message("control_change", control=127),
        mido.Message("reset"),
    ],
    ids=["all notes off", "all sound off", "omni off", "poly", "reset"],
)
def test_everything_off_is_silence(message: mido.Message) -> None:
    """Controllers 120 and 123 to 127 and the system reset (MIDI 1.0, from memory) end all notes, once."""
    heard = hear((0, on(B)), (50, on(C)), (100, message), (110, message), (120, off(B)))
    assert heard == [Onset(B, ms(0)), Onset(C, ms(50)), Silence(ms(100))]


def test_an_unplugged_chanter_is_silent() -> None:
    """A message that nothing sounds gives silence if something did, else nothing."""
    ear = Ear(PROFILE)
    assert ear.quiet(ms(1)) == ()
    ear.hear(on(B), ms(2))
    assert ear.sounding is B
    assert ear.quiet(ms(3)) == (Silence(ms(3)),)
    assert ear.sounding is None


def test_an_unknown_number_is_shown_and_does_not_disturb_the_note() -> None:
    """A number that belongs to none of the nine notes is a stray; the note sounds on beneath it."""
    heard = hear((0, on(B)), (50, on(99)), (60, off(99)), (100, off(B)))
    assert heard == [Onset(B, ms(0)), Stray(99, ms(50)), Silence(ms(100))]


def test_two_numbers_for_one_note_sound_on_as_one() -> None:
    """When one of two numbers of the same note is let go, the note has not begun again."""
    profile = Profile("two", "", {**PROFILE.notes, 72: C})
    heard = hear((0, on(C)), (50, on(72)), (100, off(72)), (200, off(C)), profile=profile)
    assert heard == [Onset(C, ms(0)), Onset(C, ms(50)), Silence(ms(200))]


def test_a_lost_note_off_is_mended_when_the_note_is_played_again() -> None:
    """B's note-off was cut on the wire: B comes back once, and after its next note-off no more."""
    heard = hear((0, on(B)), (100, on(C)), (200, off(C)), (250, on(B)), (300, off(B)), (400, on(D)), (500, off(D)))
    assert heard[-2:] == [Onset(D, ms(400)), Silence(ms(500))]


@pytest.mark.parametrize(
    "message",
    [
        mido.Message("program_change", program=3),
        mido.Message("pitchwheel", pitch=100),
        mido.Message("aftertouch", value=3),
        mido.Message("control_change", control=7),
        mido.Message("clock"),
        mido.Message("active_sensing"),
        mido.Message("sysex", data=(1, 2)),
        mido.MetaMessage("set_tempo", tempo=500_000),
    ],
    ids=lambda message: str(message.type),
)
def test_other_messages_are_nothing_to_the_listener(message: mido.Message) -> None:
    """What neither begins nor ends a note is passed over."""
    assert hear((0, message)) == []


NUMBERS = st.sampled_from([*(note.midi for note in Note), 45, 99])
MESSAGES = st.one_of(
    st.builds(on, NUMBERS, st.sampled_from([0, 64]), st.integers(0, 1)),
    st.builds(off, NUMBERS, st.integers(0, 1)),
    st.builds(lambda control: mido.Message("control_change", control=control), st.sampled_from([7, 120, 123])),
    st.just(mido.Message("reset")),
)


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 30), MESSAGES), max_size=60))
def test_any_stream_of_messages_gives_one_line_of_notes(stream: list[tuple[int, mido.Message]]) -> None:
    """No two silences running, none before a note; a note that begins twice running was struck again or bounced."""
    ear = Ear(PROFILE)
    at_ms = 0
    line: list[tuple[Heard, mido.Message]] = []
    for gap_ms, message in stream:
        at_ms += gap_ms
        for heard in ear.hear(message, ms(at_ms)):
            assert heard.at_ns == ms(at_ms)
            if isinstance(heard, Stray):
                assert heard.midi == 99
            else:
                line.append((heard, message))
    assert not line or isinstance(line[0][0], Onset)
    for (before, _), (after, cause) in pairwise(line):
        assert not (isinstance(before, Silence) and isinstance(after, Silence))
        if isinstance(before, Onset) and isinstance(after, Onset) and before.note is after.note:
            assert cause.type == "note_on"
            assert cause.velocity > 0
            assert after.bounce == (after.at_ns - before.at_ns <= ms(8))
    sounding = line[-1][0].note if line and isinstance(line[-1][0], Onset) else None
    assert ear.sounding is sounding


def test_ten_thousand_random_messages_do_no_harm() -> None:
    """Seeded random bytes, decoded as they come, never crash the ear, and after a reset it is silent."""
    random = Random(5)  # noqa: S311 - noise, not secrets
    ear = Ear(PROFILE)
    for at_ns, message in enumerate(mido.parse_all(random.randbytes(30_000))):
        ear.hear(message, Ns(at_ns))
    ear.hear(mido.Message("reset"), Ns(10**9))
    assert ear.sounding is None
    assert ear.hear(on(B), Ns(2 * 10**9)) == (Onset(B, Ns(2 * 10**9)),)


def test_a_bounce_is_counted_from_all_notes_off_too() -> None:
    """A note that sounds again within 8 ms of the silence is the same blow, after 9 ms another one."""
    quiet = mido.Message("control_change", control=123)
    assert hear((0, on(B)), (100, quiet), (108, on(B)))[-1] == Onset(B, ms(108), bounce=True)
    assert hear((0, on(B)), (100, quiet), (109, on(B)))[-1] == Onset(B, ms(109), bounce=False)
