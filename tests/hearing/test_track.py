"""Writing a take as its messages come: read back by mido, which reads files by the format's own rules."""

import io
from typing import Any

import mido
import pytest

from chanterd.hearing.track import TrackWriter, lead_in_for, take_file, whole_take

SECOND = 1_000_000_000


def on(note: int) -> mido.Message:
    """A note begins."""
    return mido.Message("note_on", note=note, velocity=64)


def read(data: bytes) -> list[tuple[Any, float]]:
    """Every message of the file with its time in seconds."""
    at, found = 0.0, []
    for message in mido.MidiFile(file=io.BytesIO(data)):
        at += message.time
        found.append((message, round(at, 6)))
    return found


def test_parts_after_each_other_are_one_track() -> None:
    """Written in two goes or in one, the file is the same."""
    once, twice = TrackWriter(60.0), TrackWriter(60.0)
    parts = []
    for second in range(4):
        once.add(on(60 + second), second * SECOND)
        twice.add(on(60 + second), second * SECOND)
        parts.append(twice.part())
    assert take_file(60.0, 0, parts) == take_file(60.0, 0, [once.part()])
    assert twice.part() == b""


def test_a_take_may_be_read_after_any_of_its_parts() -> None:
    """It ends with the last message that is there."""
    track = TrackWriter(60.0)
    track.add(on(67), 0)
    first = track.part()
    track.add(on(69), SECOND)
    assert [message.note for message, _ in read(take_file(60.0, 0, [first])) if message.type == "note_on"] == [67]


def test_a_late_message_is_placed_with_the_last_one() -> None:
    """A track cannot go back; nothing is lost, and what follows is where it belongs."""
    track = TrackWriter(60.0)
    for note, at_ns in ((67, 2 * SECOND), (69, SECOND), (71, 3 * SECOND), (60, -SECOND)):
        track.add(on(note), at_ns)
    found = [
        (message.note, at) for message, at in read(take_file(60.0, 0, [track.part()])) if message.type == "note_on"
    ]
    assert found == [(67, 2.0), (69, 2.0), (71, 3.0), (60, 3.0)]


@pytest.mark.parametrize("click_bpm", [20.0, 60.0, 73.0, 160.0, 300.0])
def test_times_are_right_to_half_a_tick(click_bpm: float) -> None:
    """A tick is 1/25000 of a click; an hour on as well as at the beginning."""
    times = [0, 1_234_567, 10 * SECOND + 7, 3600 * SECOND + 333]
    track = TrackWriter(click_bpm, 2)
    for at_ns in times:
        track.add(on(67), at_ns)
    found = read(take_file(click_bpm, 2, [track.part()]))
    (marker,) = [at for message, at in found if message.type == "marker"]
    heard = [at - marker for message, at in found if message.type == "note_on"]
    half_s = 60 / click_bpm / 25_000 / 2
    assert heard == pytest.approx([at_ns / SECOND for at_ns in times], abs=half_s + 2e-6)


def test_the_lead_in_is_whole_clicks_and_holds_what_was_first() -> None:
    """1.2 clicks before beat 0 need two clicks; at beat 0 or later none."""
    assert lead_in_for(-1_200_000_000, 60.0) == 2
    assert lead_in_for(-1_000_000_000, 60.0) == 1
    assert lead_in_for(0, 60.0) == 0
    assert lead_in_for(5, 60.0) == 0


def test_what_a_file_cannot_hold_is_left_out_or_said_otherwise() -> None:
    """A clock has no place in a file; a reset becomes sound going off on every channel (MIDI 1.0)."""
    track = TrackWriter(60.0)
    for message in (mido.Message("clock"), mido.Message("tune_request"), mido.Message("reset"), on(67)):
        track.add(message, 0)
    found = [message for message, _ in read(take_file(60.0, 0, [track.part()])) if not message.is_meta]
    assert [message.type for message in found] == ["control_change"] * 16 + ["note_on"]
    assert {(message.channel, message.control) for message in found[:16]} == {(channel, 120) for channel in range(16)}


def test_system_exclusive_data_comes_through() -> None:
    """Some chanters send their settings."""
    track = TrackWriter(60.0)
    track.add(mido.Message("sysex", data=(125, 1, 2)), 0)
    assert any(message.type == "sysex" and message.data == (125, 1, 2) for message, _ in read(whole(track)))


def whole(track: TrackWriter) -> bytes:
    """The file."""
    return take_file(60.0, 0, [track.part()])


def test_messages_that_are_all_there_are_put_in_order() -> None:
    """However they are handed over."""
    found = read(whole_take([(on(69), SECOND), (on(67), 0)], 60.0))
    assert [message.note for message, _ in found if message.type == "note_on"] == [67, 69]


def test_a_rest_longer_than_a_number_of_the_format_is_written_in_parts() -> None:
    """Four bytes hold 2 ** 28 - 1 ticks (RP-001, Standard MIDI Files 1.0); at 300 clicks that is 36 minutes."""
    hour = 3_600_000_000_000
    messages = [(mido.Message("note_on", note=67), 0), (mido.Message("note_off", note=67), 2 * hour)]
    file = mido.MidiFile(file=io.BytesIO(whole_take(messages, 300)))
    assert max(message.time for message in file.tracks[1]) <= 2**28 - 1
    assert file.length == pytest.approx(2 * 3600)
