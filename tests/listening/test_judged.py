"""The shape of an ornament is judged without a beat, by the limits of the standard."""

import pytest

from chanterd.listening.judged import ShapeJudged, judge_found
from tests.listening.played_notes import found_in, steady

GRIPS = "B700 G60 d30 G60 c700 B700 G60 d30 G60 c700"
GOOD = "A700 g35 c60 d30 c700"


def judged(played: str) -> ShapeJudged:
    """The last ornament of what was played."""
    found = judge_found(found_in(played)[-1], steady())
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("played", "faults"),
    [
        (GOOD, []),
        ("B700 G60 d30 G60 c700", []),
        ("B700 G60 d30 G10 c700", ["crushed"]),
        (f"{GRIPS} B700 G60 d160 G60 c700", ["too long"]),
        (f"{GRIPS} B700 G50 d30 G130 c700", ["uneven"]),
        ("B700 A34 G60 d30 G60 c700", ["crossing noise"]),
        ("c700 G60 c30 G60 e30 A700", ["wrong note"]),
        (f"{GOOD} {GOOD} {GOOD} A700 c60 d30 c700", ["missing step"]),
    ],
)
def test_each_fault_of_shape_is_named(played: str, faults: list[str]) -> None:
    """And only that: nothing is early or late."""
    found = judged(played)
    assert [fault.fault for fault in found.verdict.faults] == faults
    assert found.verdict.clean == (not faults)


def test_slow_notes_around_it_are_no_fault() -> None:
    """Nothing is wound up or paused without a beat."""
    assert judged("B3000 G60 d30 G60 c4000").verdict.clean


def test_a_movement_added_is_an_extra_note() -> None:
    """The ornament itself is right."""
    found = judged(f"{GOOD} {GOOD} {GOOD} A700 g35 c60 d30 c60 d30 c700")
    assert [fault.said for fault in found.verdict.faults] == ["Extra note: a second D gracenote, 30 ms."]


def test_short_notes_that_are_no_ornament_are_not_judged() -> None:
    """There is nothing to hold them against."""
    assert judge_found(found_in("B600 e30 G30 f30 G30 a30 B600")[0], steady()) is None


def test_it_lasts_from_its_first_step_to_the_theme_note() -> None:
    """In ns, as heard."""
    found = judged("B700 G60 d30 G60 c700")
    assert found.theme_ns - found.start_ns == 150_000_000
