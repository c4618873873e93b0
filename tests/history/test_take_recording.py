"""The track of a take: when messages are, and that silence is in it."""

import io
from dataclasses import replace

import mido
import pytest

from chanterd.hearing.chanter import DEFAULT_PROFILE, load_profiles
from chanterd.hearing.track import ALL_SOUND_OFF, TrackWriter, take_file
from chanterd.history.take_recording import TakeRecording
from chanterd.music.units import NS_PER_S, Ns

BEGINS_NS = Ns(7_000 * NS_PER_S)


@pytest.mark.parametrize(("channel", "sent_on"), [(None, 0), (1, 0), (3, 2)])
def test_a_chanter_that_is_unplugged_falls_silent_in_the_take(channel: int | None, sent_on: int) -> None:
    """On its own channel: profiles count channels from 1, messages from 0. Of a note that ended nothing more is said.

    "All sound off" is controller 120 in the MIDI 1.0 specification.
    """
    profile = replace(load_profiles(None)[DEFAULT_PROFILE], channel=channel)
    track = TrackWriter(60.0)
    recording = TakeRecording(track, BEGINS_NS, profile, Ns(NS_PER_S // 2))
    ended_ns = Ns(BEGINS_NS + 2 * NS_PER_S)
    recording.take(mido.Message("note_on", note=67), Ns(BEGINS_NS + NS_PER_S))
    recording.take(mido.Message("note_off", note=67), ended_ns)
    recording.silence(Ns(ended_ns - NS_PER_S // 2))
    recording.take(mido.Message("note_on", note=67), Ns(BEGINS_NS + 3 * NS_PER_S))
    recording.silence(Ns(BEGINS_NS + 4 * NS_PER_S))
    at_s, found = 0.0, []
    for message in mido.MidiFile(file=io.BytesIO(take_file(60.0, 0, [track.part()]))):
        at_s += message.time
        if not message.is_meta:
            found.append((message.type, round(at_s, 3)))
            last = message
    assert found == [("note_on", 0.5), ("note_off", 1.5), ("note_on", 2.5), ("control_change", 4.0)]
    assert ALL_SOUND_OFF == 120
    assert (last.control, last.channel) == (120, sent_on)
