"""The ornaments of a tune as a plan."""

from dataclasses import replace

import pytest

from chanterd.config import ChanterdError, bundled
from chanterd.judging.standard import read_standards
from chanterd.music.book import standard_book
from chanterd.music.drill import drill_from_words
from chanterd.music.layout import read_layouts
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import Bpm
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.feedback.schedule import read_schedules
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.proposal.from_tune import WARM_UP, plan_of_tune
from chanterd.practice.proposal.mastery import Mastery, WayWork

KNOWN = Vocabulary(standard_book(), read_standards(), read_layouts(), read_schedules())
GRIP, BIRL, DOUBLING = (drill_from_words(one) for one in ("grip from B to C", "birl from E", "doubling from E to E"))


def gulls() -> Tune:
    """A tune that ships."""
    tune = Shelf(bundled("configs")).find("seven-gulls").tune
    assert tune is not None
    return tune


WORK = [
    WayWork(GRIP, 4, Mastery.NOT_YET, 20, 4, None),
    WayWork(BIRL, 1, Mastery.NEVER, 0, 0, None),
    WayWork(DOUBLING, 2, Mastery.STEADY, 20, 19, 72.0),
]


def test_what_goes_well_warms_up_and_the_worst_comes_next() -> None:
    """At the tempo that was held, or the slow one; every ornament of the tune is in it."""
    plan = plan_of_tune("seven-gulls", gulls(), WORK, Bpm(60.0), KNOWN)
    assert plan.name == "The ornaments of Seven Gulls"
    assert [(part.exercise.words, part.exercise.click_bpm) for part in plan.parts] == [
        (DOUBLING.words, 72.0),
        (GRIP.words, 60.0),
        (BIRL.words, 60.0),
        ("Seven Gulls, the whole tune", 60.0),
    ]
    assert [part.warm_up for part in plan.parts] == [True, False, False, False]
    assert plan.break_after_minutes <= 30


def test_without_anything_that_goes_well_one_finger_warms_up() -> None:
    """Then all ornaments, none left out."""
    plan = plan_of_tune("seven-gulls", gulls(), WORK[:2], Bpm(60.0), KNOWN)
    assert [part.exercise.words for part in plan.parts] == [
        WARM_UP,
        GRIP.words,
        BIRL.words,
        "Seven Gulls, the whole tune",
    ]


def test_a_tune_without_ornaments_has_no_plan() -> None:
    """One sentence says why."""
    with pytest.raises(ChanterdError, match="'Slow Air' has no ornament that the book knows"):
        plan_of_tune("slow-air", replace(gulls(), title="Slow Air"), [], Bpm(60.0), KNOWN)


@pytest.mark.parametrize(("held_bpm", "tempo"), [(52.0, 52.0), (72.0, 60.0)])
def test_it_ends_with_the_tune_as_fast_as_its_slowest_ornament(held_bpm: float, tempo: float) -> None:
    """What is taken out is put back (common practice, no source), where none of it is faster than it was held."""
    plan = plan_of_tune("seven-gulls", gulls(), [*WORK, replace(WORK[2], held_bpm=held_bpm)], Bpm(60.0), KNOWN)
    last = plan.parts[-1]
    assert isinstance(last.exercise, TuneAsked)
    assert (last.tune, last.how_long, last.exercise.click_bpm) == ("seven-gulls", "2 rounds", tempo)
    assert plan.said.endswith("at the end the ornaments go back into the tune.")
