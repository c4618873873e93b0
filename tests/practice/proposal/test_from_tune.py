"""The ornaments of a tune as a plan."""

import pytest

from chanterd.config import ChanterdError
from chanterd.judging.standard import read_standards
from chanterd.music.book import standard_book
from chanterd.music.drill import drill_from_words
from chanterd.music.layout import read_layouts
from chanterd.music.units import Bpm
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.feedback.schedule import read_schedules
from chanterd.practice.proposal.from_tune import WARM_UP, plan_of_tune
from chanterd.practice.proposal.mastery import Mastery, WayWork

KNOWN = Vocabulary(standard_book(), read_standards(), read_layouts(), read_schedules())
GRIP, BIRL, DOUBLING = (drill_from_words(one) for one in ("grip from B to C", "birl from E", "doubling from E to E"))
WORK = [
    WayWork(GRIP, 4, Mastery.NOT_YET, 20, 4, None),
    WayWork(BIRL, 1, Mastery.NEVER, 0, 0, None),
    WayWork(DOUBLING, 2, Mastery.STEADY, 20, 19, 72.0),
]


def test_what_goes_well_warms_up_and_the_worst_comes_next() -> None:
    """At the tempo that was held, or the slow one; every ornament of the tune is in it."""
    plan = plan_of_tune("Seven Gulls", WORK, Bpm(60.0), KNOWN)
    assert plan.name == "The ornaments of Seven Gulls"
    assert [(part.exercise.words, part.exercise.click_bpm) for part in plan.parts] == [
        (DOUBLING.words, 72.0),
        (GRIP.words, 60.0),
        (BIRL.words, 60.0),
    ]
    assert [part.warm_up for part in plan.parts] == [True, False, False]
    assert plan.break_after_minutes <= 30


def test_without_anything_that_goes_well_one_finger_warms_up() -> None:
    """Then all ornaments, none left out."""
    plan = plan_of_tune("Seven Gulls", WORK[:2], Bpm(60.0), KNOWN)
    assert [part.exercise.words for part in plan.parts] == [WARM_UP, GRIP.words, BIRL.words]


def test_a_tune_without_ornaments_has_no_plan() -> None:
    """One sentence says why."""
    with pytest.raises(ChanterdError, match="'Slow Air' has no ornament that the book knows"):
        plan_of_tune("Slow Air", [], Bpm(60.0), KNOWN)
