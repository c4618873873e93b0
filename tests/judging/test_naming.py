"""What steps and times are called."""

import pytest

from chanterd.judging.naming import say_ms, step_name, upper_first
from chanterd.music.drill import all_drills, drill_from_words


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("grip from B to C", ["first low G", "D gracenote", "second low G", "C"]),
        ("taorluath from C to low A", ["first low G", "D gracenote", "second low G", "E gracenote", "low A"]),
        ("doubling from low A to C", ["G gracenote", "short C", "D gracenote", "C"]),
        ("throw on D from low A", ["low G", "D gracenote", "C", "D"]),
        ("heavy throw on D from B", ["first low G", "D gracenote", "second low G", "C", "D"]),
        ("grip from D to E", ["first low G", "B gracenote", "second low G", "E"]),
        ("birl from E", ["first short low A", "first low G tap", "second short low A", "second low G tap", "low A"]),
    ],
)
def test_steps_are_called_what_a_teacher_calls_them(words: str, names: list[str]) -> None:
    """Gracenotes, taps, the short notes on the theme's own pitch, and ordinals (common practice, no source)."""
    drill = drill_from_words(words)
    assert [step_name(drill, step) for step in range(len(drill.steps))] == names


def test_no_two_steps_of_a_drill_have_one_name() -> None:
    """Otherwise the player would not know which was meant."""
    for drill in all_drills():
        names = [step_name(drill, step) for step in range(len(drill.steps))]
        assert len(set(names)) == len(names), drill.words


def test_notes_and_times_are_said_aloud() -> None:
    """A capital that leaves the notes' names alone, whole milliseconds without a sign."""
    assert upper_first("a high G") == "A high G"
    assert say_ms(-80_400_000) == "80 ms"
