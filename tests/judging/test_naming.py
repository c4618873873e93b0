"""How sentences begin, and how times are said."""

from chanterd.judging.naming import say_ms, upper_first


def test_notes_and_times_are_said_aloud() -> None:
    """A capital that leaves the notes' names alone, whole milliseconds without a sign."""
    assert upper_first("a high G") == "A high G"
    assert say_ms(-80_400_000) == "80 ms"
