"""One page's connection: what is answered to what it sends. Sockets are in test_app."""

import json
from typing import Any

import pytest

from chanterd.serving.wire.connection import answer
from tests.serving.played_seat import VALIDATOR


@pytest.mark.parametrize("sent", [0, 1234.5678, -3, 1e300, 2**53])
def test_a_clock_question_is_answered_with_the_two_middle_stamps(sent: float) -> None:
    """What the page sent comes back, with when it was received and when the answer left (RFC 5905, section 8)."""
    frame = answer(json.dumps({"kind": "clock", "sent": sent}), 7, lambda: 9)
    assert frame == {"kind": "clock", "sent": sent, "received_ns": 7, "replied_ns": 9}
    VALIDATOR.validate(frame)


@pytest.mark.parametrize(
    "text",
    [
        None,  # binary
        "",
        "hello",
        "{",
        "[]",
        "5",
        "null",
        '"clock"',
        "{}",
        '{"kind": "clock"}',
        '{"kind": "clock", "sent": null}',
        '{"kind": "clock", "sent": "1"}',
        '{"kind": "clock", "sent": true}',
        '{"kind": "clock", "sent": NaN}',
        '{"kind": "clock", "sent": Infinity}',
        '{"kind": "clock", "sent": 1e999}',
        '{"kind": "clock", "sent": 1' + "0" * 400 + "}",
        '{"kind": "clock", "sent": [1]}',
        '{"kind": "surprise", "sent": 1}',
        '{"kind": ["clock"], "sent": 1}',
        "[" * 1000,
        '{"a":' * 190,
        '{"kind": "clock", "sent": 1}' + " " * 1000,
        "x" * 60_000,
        "\x00\ud800",
    ],
    ids=lambda text: str(text)[:30],
)
def test_anything_else_gets_one_sentence(text: str | None) -> None:
    """It repeats the beginning of what was sent, says what would be right, and is a frame by the schema."""
    frame: Any = answer(text, 7, lambda: 9)
    VALIDATOR.validate(json.loads(json.dumps(frame)))
    assert frame["kind"] == "error"
    assert 'send {"kind": "clock", "sent": <a number of ms>}' in frame["said"]
    assert len(frame["said"]) < 400
