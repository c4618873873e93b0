"""What is said while a plan is gone through."""

from dataclasses import replace

from chanterd.judging.standard import read_standards
from chanterd.music.book import standard_book
from chanterd.music.layout import read_layouts
from chanterd.music.units import NS_PER_MINUTE, Ns
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.feedback.schedule import read_schedules
from chanterd.practice.plans.plan import read_plans
from chanterd.practice.plans.session import Session, SessionState, begin, pause
from chanterd.practice.plans.words import name_of, outcome, part_words, reminder, session_said

PLAN = read_plans(Vocabulary(standard_book(), read_standards(), read_layouts(), read_schedules()))["lighthouse-class"]


def at(state: SessionState, part: int) -> Session:
    """A session there."""
    return replace(begin(PLAN), state=state, part=part)


def test_each_state_has_its_sentence() -> None:
    """What comes first, what comes next, what it is now, a break, the end."""
    assert session_said(PLAN, begin(PLAN)) == (
        "First, 1 of 7. Warm-up: one finger, quietly: G gracenote from low A to B, 2 minutes at 60."
    )
    assert session_said(PLAN, at(SessionState.BETWEEN, 2)) == (
        "Next, 3 of 7. Build the grip up: grip from B to C, stage 1, 12 reps at 60."
    )
    assert session_said(PLAN, at(SessionState.PLAYING, 5)) == (
        "Now, 6 of 7. A first ladder: grip from B to C, ladder 56 to 68, 3 in a row."
    )
    assert session_said(PLAN, at(SessionState.BREAK, 3)) == "A break of 5 minutes: rest your hands and your ears."
    assert session_said(PLAN, pause(at(SessionState.PLAYING, 3))) == "Paused in part 4 of 7. Go on when you are ready."
    assert session_said(PLAN, at(SessionState.DONE, 6)) == (
        "'Lighthouse class: first grips' is done. Rest your hands and your ears."
    )
    assert session_said(PLAN, at(SessionState.STOPPED, 6)) == "'Lighthouse class: first grips' was stopped."


def test_a_part_without_a_title_is_called_by_its_drill() -> None:
    """Nothing is said twice."""
    part = replace(PLAN.parts[0], title="")
    assert (name_of(part), part_words(part)) == (
        part.exercise.words,
        f"{part.exercise.words}, 2 minutes at 60",
    )


def test_what_became_of_a_part_is_said() -> None:
    """By its title; nothing was played, nothing is said."""
    assert outcome(PLAN.parts[2], 9, 12) == "Build the grip up: 9 of 12 reps clean."
    assert outcome(PLAN.parts[2], 0, 0) == ""


def test_the_reminder_says_how_long_was_played() -> None:
    """Nothing before it is overdue; 31 minutes are shown as 31."""
    playing = at(SessionState.PLAYING, 5)
    assert reminder(PLAN, playing) == ""
    long = replace(playing, since_break_ns=Ns(31 * NS_PER_MINUTE))
    assert reminder(PLAN, long) == "You have played for 31 minutes: pause and rest your hands and ears."
