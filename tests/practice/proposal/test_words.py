"""Days, counts and stages as they are said."""

from datetime import date, timedelta

import pytest

from chanterd.music.drill import drill_from_words
from chanterd.practice.proposal.words import clicks, day_said, on_day, stage_of, times
from tests.practice.made_up_sittings import TODAY


@pytest.mark.parametrize(
    ("ago", "words"),
    [(-1, "today"), (0, "today"), (1, "yesterday"), (2, "on Monday"), (6, "on Thursday"), (7, "on 1 May")],
)
def test_a_day_is_said_as_people_say_it(ago: int, words: str) -> None:
    """2030-05-08 is a Wednesday (ISO 8601); a weekday names one day only within a week."""
    assert day_said(TODAY - timedelta(ago), TODAY) == words


def test_another_year_is_named() -> None:
    """So that last year's third of March is not taken for this year's."""
    assert day_said(date(2029, 3, 3), TODAY) == "on 3 March 2029"


def test_several_days_are_said_from_the_first() -> None:
    """One day by itself."""
    assert on_day(TODAY - timedelta(2), TODAY - timedelta(1), TODAY) == "since Monday"
    assert on_day(TODAY - timedelta(2), TODAY - timedelta(2), TODAY) == "on Monday"


def test_counts_and_tempi_read_well() -> None:
    """No 0 times, no 64.0."""
    assert [times(clean, 10) for clean in (0, 1, 4)] == ["not once in 10", "once in 10", "4 times in 10"]
    assert [clicks(64.0), clicks(64.5)] == ["64", "64.5"]
    assert stage_of(drill_from_words("grip from B to C"), 2) == "stage 2 of the grip from B to C"
