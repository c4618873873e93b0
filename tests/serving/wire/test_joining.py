"""The frames of a joiner; links are in tests/serving/routes/test_join.py and tests/hearing/test_joiner.py."""

import json

import mido

from chanterd.hearing.joiner import Joiner
from chanterd.music.units import NS_PER_S, Ns
from chanterd.serving.wire.joining import _FRAMES, LONGEST_FRAME, MOST_MESSAGES


def test_every_frame_of_our_own_joiner_is_one_that_the_class_takes() -> None:
    """Ten seconds of the fastest chanter at once, too: 3,125 bytes a second on a DIN wire (MIDI 1.0)."""
    joiner = Joiner("Ailsa", "my chanter")
    frames = [joiner.hello()]
    joiner.take(json.dumps({"kind": "joined", "seat": "1", "next": 0}), Ns(0))
    frames += joiner.due(Ns(0))
    joiner.take(json.dumps({"kind": "clock", "sent": 0, "received_ns": 1, "replied_ns": 2}), Ns(3))
    for number in range(10 * 3125 // 3):
        joiner.hear(mido.Message("note_on", note=69), Ns(number * NS_PER_S // 1041))
    frames += joiner.due(Ns(2 * NS_PER_S))
    kinds = [_FRAMES.validate_json(frame).kind for frame in frames]
    assert kinds[:4] == ["join", "clock", "clock", "stamps"]
    assert set(kinds[4:]) == {"midi"}
    assert max(map(len, frames)) < LONGEST_FRAME
    assert max(len(json.loads(frame).get("messages", [])) for frame in frames) <= MOST_MESSAGES
