"""The frames of playing with nothing chosen."""

from chanterd.serving.wire.frames import frames_schema


def test_an_ornament_frame_has_all_that_the_list_of_a_take_has() -> None:
    """So that a program reads both alike."""
    definitions = frames_schema()["$defs"]
    frame = set(definitions["OrnamentFrame"]["properties"])
    assert {"start_ms", "theme_ms", "ornament", "drill", "or", "clean", "faults", "steps"} <= frame
    assert {"kind", "seat", "final"} <= frame
    assert definitions["OrnamentFrame"]["additionalProperties"] is False


def test_the_state_has_what_was_played_today() -> None:
    """A page that is opened later draws the same."""
    seat = frames_schema()["$defs"]["SeatShown"]
    assert "free" in seat["required"]
