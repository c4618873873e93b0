"""Reading, writing and replaying takes, against the file format's rules and an outside reader."""

import io
import struct
import time
from fractions import Fraction
from pathlib import Path
from random import Random

import mido
import pretty_midi
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.config import ChanterdError
from chanterd.hearing.source import Cue, Phrase
from chanterd.hearing.take import TakeSource, read_take, write_take
from chanterd.music.note import Note
from chanterd.music.units import Ns
from tests.hearing.listener import Listener


def on(note: int, time: int = 0, velocity: int = 64) -> mido.Message:
    """A note-on, ``time`` ticks after the message before it."""
    return mido.Message("note_on", note=note, velocity=velocity, time=time)


def tempo(us: int, time: int = 0) -> mido.MetaMessage:
    """A tempo in us to the quarter note."""
    return mido.MetaMessage("set_tempo", tempo=us, time=time)


def save(path: Path, *tracks: list[mido.Message], kind: int = 1, division: int = 480) -> Path:
    """A file of these tracks, whatever its header says."""
    whole = io.BytesIO()
    mido.MidiFile(type=1, ticks_per_beat=480, tracks=[mido.MidiTrack(track) for track in tracks]).save(file=whole)
    data = bytearray(whole.getvalue())
    data[8:10], data[12:14] = struct.pack(">h", kind), struct.pack(">h", division)
    path.write_bytes(data)
    return path


def times(path: Path) -> list[int]:
    """The stamps of a take's messages, ns."""
    return [at_ns for _, at_ns in read_take(path).messages]


def test_a_quarter_note_is_half_a_second_unless_the_file_says_otherwise(tmp_path: Path) -> None:
    """Standard MIDI File: with no tempo event it is 500,000 us to the quarter note, 120 a minute."""
    path = save(tmp_path / "a.mid", [on(67), on(67, 480, velocity=0)])
    take = read_take(path)
    assert (take.name, take.click_bpm, take.tempi) == ("a.mid", 120.0, ((0, 120.0),))
    assert times(path) == [0, 500_000_000]


def test_the_tempo_map_is_followed_from_any_track(tmp_path: Path) -> None:
    """A change in the middle counts for what comes after it, and the file has no one tempo any more."""
    path = save(
        tmp_path / "a.mid",
        [tempo(1_000_000), tempo(500_000, 960)],
        [on(67, 480), on(69, 480), on(71, 480), on(73, 480)],
    )
    take = read_take(path)
    assert [at_ns for _, at_ns in take.messages] == [10**9, 2 * 10**9, 25 * 10**8, 3 * 10**9]
    assert take.click_bpm is None
    assert take.tempi == ((0, 60.0), (2 * 10**9, 120.0))


def test_a_tempo_set_twice_at_one_time_is_no_change(tmp_path: Path) -> None:
    """Of several tempi at one time the last counts; the same tempo again, or one after the last note, is no change."""
    path = save(tmp_path / "a.mid", [tempo(400_000), tempo(750_000), tempo(750_000, 10), on(67, 100), tempo(1, 9)])
    assert read_take(path).click_bpm == 80.0


def test_stamps_do_not_drift(tmp_path: Path) -> None:
    """Ten thousand ticks of 1/7 of 333,334 us are right to the nanosecond: rounded once, never added up."""
    path = save(tmp_path / "a.mid", [tempo(333_334), *(on(67, 1) for _ in range(10_000))], division=7)
    assert times(path)[-1] == round(Fraction(333_334_000 * 10_000, 7))


@pytest.mark.parametrize(
    ("frames", "ticks", "second_ns"),
    [(25, 40, 1_000_000_000), (24, 4, 1_000_000_000), (30, 80, 1_000_000_000), (29, 100, 1_001_000_000)],
)
def test_film_frames_count_time_without_a_tempo(tmp_path: Path, frames: int, ticks: int, second_ns: int) -> None:
    """Standard MIDI File (from memory): a negative division counts SMPTE frames, 29 for 30000/1001."""
    ticks_a_second = (30 if frames == 29 else frames) * ticks
    path = save(tmp_path / "a.mid", [tempo(1_000_000), on(67, ticks_a_second)], division=(-frames << 8) | ticks)
    take = read_take(path)
    assert [at_ns for _, at_ns in take.messages] == [second_ns]
    assert (take.click_bpm, take.tempi) == (None, ())


def test_half_a_nanosecond_goes_to_the_even_neighbour(tmp_path: Path) -> None:
    """As Python's ``round`` does: at 1 us to the quarter note of 16 ticks, a tick is 62.5 ns."""
    path = save(tmp_path / "a.mid", [tempo(1), *(on(60, 1) for _ in range(5))], division=16)
    assert times(path) == [round(Fraction(125 * tick, 2)) for tick in range(1, 6)] == [62, 125, 188, 250, 312]


def test_type_0_and_1_are_read_whole_and_type_2_if_it_holds_one_take(tmp_path: Path) -> None:
    """All tracks of type 0 and 1 sound together; the tracks of type 2 are separate, so one alone may have notes."""
    for kind in (0, 1, 2):
        assert times(save(tmp_path / "a.mid", [tempo(500_000, 5)], [on(67, 480)], kind=kind)) == [500_000_000]
    two = save(tmp_path / "two.mid", [on(67)], [tempo(5)], [on(69)], kind=2)
    with pytest.raises(ChanterdError, match=r"two\.mid: holds 2 separate takes \(type 2, tracks 0, 2\); save the one"):
        read_take(two)


def test_all_channel_messages_are_kept(tmp_path: Path) -> None:
    """What is not a note may matter to the ear: all-notes-off comes through, meta events do not."""
    quiet = mido.Message("control_change", control=123, time=10)
    path = save(tmp_path / "a.mid", [mido.MetaMessage("text", text="x"), on(67), quiet])
    assert [message.type for message, _ in read_take(path).messages] == ["note_on", "control_change"]


def refusal(path: Path) -> str:
    """What is said about a file that cannot be read."""
    with pytest.raises(ChanterdError) as caught:
        read_take(path)
    said = str(caught.value)
    assert said.startswith(f"{path}: ")
    assert "\n" not in said
    return said


def test_what_is_no_midi_file_is_refused(tmp_path: Path) -> None:
    """Each refusal is one sentence with the path, what is wrong, where, and the mend."""
    path = tmp_path / "a.mid"
    assert "cannot be read (No such file" in refusal(path)
    path.write_bytes(b"")
    assert "it is empty; export" in refusal(path)
    path.write_bytes(b"RIFF....RMID")
    assert "begins with 'RIFF' instead of 'MThd'" in refusal(path)
    assert "there is no note in it" in refusal(save(path, [tempo(500_000), on(67, velocity=0)]))
    assert "there is no note in it" in refusal(save(path))
    assert "the tempo set at 0.500 s is 0 us to the quarter note, and must be 1 to 16777215" in refusal(
        save(path, [tempo(0, 480), on(67, 10)])
    )
    assert "its type is 3, but only 0, 1 and 2 exist" in refusal(save(path, [on(67)], kind=3))
    assert "counts time in 0x0000, which is no division" in refusal(save(path, [on(67)], division=0))
    assert "counts time in 0xe900, which is no division" in refusal(save(path, [on(67)], division=-23 << 8))
    assert "counts time in 0xe700, which is no division" in refusal(save(path, [on(67)], division=-25 << 8))


def test_a_file_cut_off_anywhere_is_refused(tmp_path: Path) -> None:
    """Wherever a copy broke off, that is said with the byte, and nothing is made of the rest."""
    whole = save(tmp_path / "whole.mid", [tempo(500_000), on(67), on(69, 480)], [on(71)]).read_bytes()
    path = tmp_path / "cut.mid"
    for length in range(4, len(whole)):
        path.write_bytes(whole[:length])
        assert f"is cut off: it ends at byte {length} in the middle" in refusal(path)


def test_a_damaged_byte_is_reported_with_its_place(tmp_path: Path) -> None:
    """A data byte over 127 in the middle of a note."""
    path = save(tmp_path / "a.mid", [on(67)])
    data = bytearray(path.read_bytes())
    data[data.index(0x90) + 1] = 0xFF
    path.write_bytes(data)
    assert f"is damaged near byte {data.index(0x90) + 3} (data byte must be in range" in refusal(path)


def test_random_damage_is_read_or_refused_in_words(tmp_path: Path) -> None:
    """Five hundred files with a few bytes changed (seeded): a take or a sentence, never a crash."""
    random = Random(7)  # noqa: S311 - noise, not secrets
    whole = save(tmp_path / "a.mid", [tempo(500_000), on(67), on(69, 480), on(71, 9000)]).read_bytes()
    path, refused = tmp_path / "b.mid", 0
    for _ in range(500):
        data = bytearray(whole)
        for _ in range(random.randint(1, 4)):
            data[random.randrange(4, len(data))] = random.randrange(256)
        path.write_bytes(data)
        try:
            assert read_take(path).messages
        except ChanterdError:
            refused += 1
    assert 0 < refused < 500


NOTES = st.lists(st.tuples(st.integers(60, 80), st.integers(1, 5000), st.integers(0, 2000)), min_size=1, max_size=30)


@given(
    notes=NOTES,
    tempi=st.lists(st.tuples(st.integers(0, 5000), st.integers(200_000, 2_000_000)), max_size=5),
    division=st.sampled_from([24, 96, 480, 960, 25_000]),
)
@settings(max_examples=60, deadline=None)
def test_onsets_are_where_an_outside_reader_finds_them(
    tmp_path_factory: pytest.TempPathFactory,
    notes: list[tuple[int, int, int]],
    tempi: list[tuple[int, int]],
    division: int,
) -> None:
    """pretty_midi (a general-purpose library) reads the same file: onsets agree to 1 us, with any tempo changes."""
    path = tmp_path_factory.mktemp("take") / "a.mid"
    played = [
        message
        for note, length, gap in notes
        for message in (on(note, gap), mido.Message("note_off", note=note, time=length))
    ]
    save(path, [tempo(us, gap) for gap, us in tempi], played, division=division)
    ours = [at_ns / 1e9 for message, at_ns in read_take(path).messages if message.type == "note_on"]
    midi = pretty_midi.PrettyMIDI(str(path))
    theirs = sorted(note.start for instrument in midi.instruments for note in instrument.notes)
    assert ours == pytest.approx(theirs, abs=1e-6)


def test_click_tempo_agrees_with_an_outside_reader(tmp_path: Path) -> None:
    """pretty_midi's tempo map has the same tempi at the same times."""
    path = save(tmp_path / "a.mid", [tempo(895_522), tempo(600_000, 999), tempo(1_234_567, 7777)], [on(67, 20_000)])
    at_s, bpm = pretty_midi.PrettyMIDI(str(path)).get_tempo_changes()
    tempi = read_take(path).tempi
    assert [at_ns / 1e9 for at_ns, _ in tempi] == pytest.approx(list(at_s), abs=1e-6)
    assert [one for _, one in tempi] == pytest.approx(list(bpm), rel=1e-9)


@pytest.mark.parametrize("click_bpm", [50, 60, 66.5, 80, 200])
def test_what_is_written_is_read_back(tmp_path: Path, click_bpm: float) -> None:
    """Messages come back in order of time, and the click; stamps to half a tick, 20 us at 60 clicks a minute."""
    messages = [
        (on(67), Ns(0)),
        (on(69), Ns(880_123_456)),
        (on(67, velocity=0), Ns(880_123_456)),
        (mido.Message("note_off", note=69), Ns(3_600_000_000_123)),
    ]
    write_take(tmp_path / "a.mid", [messages[-1], *messages[:-1]], click_bpm)
    take = read_take(tmp_path / "a.mid")
    assert take.click_bpm == pytest.approx(click_bpm, rel=1e-6)
    assert [message.copy(time=0) for message, _ in take.messages] == [message for message, _ in messages]
    for (_, read_ns), (_, written_ns) in zip(take.messages, messages, strict=True):
        assert abs(read_ns - written_ns) <= 20_000 * 60 / click_bpm


def test_what_was_played_before_beat_0_comes_back_before_beat_0(tmp_path: Path) -> None:
    """A file cannot hold times before its start: it begins whole clicks earlier, and a marker says where beat 0 is."""
    path = tmp_path / "a.mid"
    write_take(path, [(on(67), Ns(-1_200_000_000)), (on(69), Ns(0)), (on(71), Ns(500_000_000))], 60.0)
    (marker,) = [message for message in mido.MidiFile(path) if message.type == "marker"]
    assert marker.text == "beat 0"
    assert [at_ns for _, at_ns in read_take(path).messages] == [-1_200_000_000, 0, 500_000_000]


def test_another_marker_moves_nothing(tmp_path: Path) -> None:
    """Only the marker called beat 0 does: a file of another program may hold any."""
    path = save(tmp_path / "a.mid", [mido.MetaMessage("marker", text="verse", time=25_000), on(67, 25_000)])
    assert read_take(path).messages[0][1] > 0


def test_a_take_is_replayed_with_the_files_own_times(tmp_path: Path) -> None:
    """The stamps are beat 0 and the file's time, to the nanosecond, however late the thread woke up."""
    path = save(tmp_path / "a.mid", [tempo(333_333), on(67), on(69, 17), on(71, 13)])
    take = read_take(path)
    source, listener = TakeSource(path), Listener()
    source.start(listener.deliver, listener.report)
    listener.wait_for(lambda: listener.states == ["ready"])
    assert listener.statuses[0].said == "The take starts with the practice."
    beat0_ns = time.perf_counter_ns()
    source.cue(Cue(Ns(beat0_ns), Ns(10**9), (Phrase((Note.B,), (Ns(0),)),)))
    listener.wait_for(lambda: "ended" in listener.states)
    source.stop()
    assert source.name == "a.mid"
    assert listener.messages == [(message, beat0_ns + at_ns) for message, at_ns in take.messages]
    assert time.perf_counter_ns() >= listener.messages[-1][1]
