"""Who is sent what."""

import pytest

from chanterd.serving.wire.topic import EVERYTHING, Topic

FRAMES: dict[str, dict[str, object]] = {
    "hello": {"kind": "hello"},
    "mine": {"kind": "step", "seat": "2"},
    "another's": {"kind": "rep", "seat": "1", "final": True},
    "just played": {"kind": "ornament", "seat": "2", "final": True},
    "today": {"kind": "free", "seat": "2"},
    "a tune": {"kind": "cursor", "seat": "2"},
    "history": {"kind": "history"},
    "band": {"kind": "band", "rep": 1},
    "wall": {"kind": "wall"},
    "clock": {"kind": "clock"},
    "seats": {"kind": "seats", "seats": []},
    "offer": {"kind": "offer", "offers": []},
    "class": {"kind": "class", "now": {}},
    "sound": {"kind": "sound", "seat": "2", "sounds": False},
}

PLAYED = ["just played", "today", "a tune"]


@pytest.mark.parametrize(
    ("topic", "sent"),
    [
        (
            EVERYTHING,
            ["hello", "mine", "another's", *PLAYED, "history", "band", "clock", "seats", "offer", "class", "sound"],
        ),
        (Topic(seat="2"), ["hello", "mine", *PLAYED, "history", "clock", "sound"]),
        (Topic(wall=True), ["hello", "wall", "clock"]),
        (Topic(desk=True), ["hello", "history", "band", "wall", "clock", "seats", "offer", "class", "sound"]),
    ],
)
def test_each_topic_has_its_own_frames(topic: Topic, sent: list[str]) -> None:
    """A seat's page sees no other seat and nothing of the band; the wall sees no step and no note."""
    assert [name for name, frame in FRAMES.items() if topic.has(frame)] == sent
