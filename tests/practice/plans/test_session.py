"""Going through a plan: what must hold whatever happens, and the way it goes step by step."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.music.drill import drill_from_words
from chanterd.music.units import NS_PER_MINUTE, Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.ladder.rule import OFFERED
from chanterd.practice.plans.part import Part
from chanterd.practice.plans.plan import Plan
from chanterd.practice.plans.session import (
    OVER,
    READY_NS,
    Session,
    SessionState,
    begin,
    break_overdue,
    count_reps,
    end_ladder,
    go_on,
    left_ns,
    pass_time,
    pause,
    skip,
    stop,
)

DRILL = drill_from_words("birl from E")


def part(minutes: float | None = None, reps: int | None = None) -> Part:
    """A part of some minutes, some reps, or else a ladder."""
    rule = OFFERED if minutes is None and reps is None else None
    exercise = Exercise(DRILL, Bpm(60.0), read_standards()[DEFAULT], ladder=rule)
    return Part("", warm_up=True, exercise=exercise, minutes=minutes, reps=reps)


def plan_of(*parts: Part) -> Plan:
    """A plan with a break of five minutes after each ten."""
    return Plan("ours", "Ours", "", parts, 10.0, 5.0)


PLAN = plan_of(part(minutes=6), part(reps=8), part(minutes=6), part(), part(minutes=2))
Act = Callable[[Plan, Session], Session]


def minutes(number: float) -> Ns:
    """Minutes as nanoseconds."""
    return Ns(round(number * NS_PER_MINUTE))


def acts() -> st.SearchStrategy[Act]:
    """Anything that may happen."""
    time = st.integers(0, 4 * NS_PER_MINUTE).map(lambda ns: lambda plan, now: pass_time(plan, now, Ns(ns)))
    reps = st.integers(0, 10).map(lambda played: lambda plan, now: count_reps(plan, now, played))
    others: list[Act] = [
        end_ladder,
        skip,
        lambda _, now: pause(now),
        lambda _, now: go_on(now),
    ]
    return st.one_of(time, time, reps, st.sampled_from(others))


def after(*happened: Act) -> Session:
    """Where these lead from the beginning."""
    now = begin(PLAN)
    for act in happened:
        now = act(PLAN, now)
    return now


def wait(number: float) -> Act:
    """That many minutes pass."""
    return lambda plan, now: pass_time(plan, now, minutes(number))


READY = wait(READY_NS / NS_PER_MINUTE)


@given(st.lists(acts(), max_size=60))
def test_it_never_goes_back(happened: list[Act]) -> None:
    """Parts come one after the other, none twice and none left out."""
    now = begin(PLAN)
    for act in happened:
        before, now = now, act(PLAN, now)
        assert before.part <= now.part <= min(before.part + 1, len(PLAN.parts) - 1)
        assert before.state not in OVER or now == before


@given(st.lists(acts(), max_size=60), st.integers(0, 10**13))
def test_nothing_goes_on_in_a_pause(happened: list[Act], elapsed: int) -> None:
    """However long it is: the part, what is left of it and the reps stay as they were."""
    now = pause(after(*happened))
    later = pass_time(PLAN, count_reps(PLAN, end_ladder(PLAN, now), 999), Ns(elapsed))
    assert (later.state, later.part, later.spent_ns, later.reps) == (now.state, now.part, now.spent_ns, now.reps)


@given(st.lists(acts(), max_size=60))
def test_it_ends(happened: list[Act]) -> None:
    """From anywhere: skipping each part and break ends it, and so does time with ladders that end and reps played."""
    now = after(*happened)
    skipped = now
    for _ in range(2 * len(PLAN.parts)):
        skipped = skip(PLAN, skipped)
    assert skipped.state in OVER
    played = go_on(now)
    for _ in range(8 * len(PLAN.parts)):
        played = end_ladder(PLAN, count_reps(PLAN, pass_time(PLAN, played, minutes(6)), 8))
    assert played.state in OVER
    assert stop(now).state in OVER


@given(st.lists(acts(), max_size=60))
def test_a_break_comes_only_between_parts_and_only_when_it_is_due(happened: list[Act]) -> None:
    """It begins when a part ends, after at least ten minutes of playing since the last one."""
    now = begin(PLAN)
    for act in happened:
        before, now = now, act(PLAN, now)
        if now.state is SessionState.BREAK and before.state is not SessionState.BREAK:
            assert now.part == before.part + 1
            assert now.since_break_ns >= minutes(10)
        if now.state is SessionState.BETWEEN and before.state is SessionState.PLAYING:
            assert now.since_break_ns < minutes(10)


def test_it_goes_through_the_parts_with_a_break_when_it_is_due() -> None:
    """Six minutes, eight reps, six minutes, a break of five, the ladder, two minutes: done."""
    way: list[tuple[Act, SessionState, int]] = [
        (READY, SessionState.PLAYING, 0),
        (wait(6), SessionState.BETWEEN, 1),
        (READY, SessionState.PLAYING, 1),
        (lambda plan, now: count_reps(plan, now, 7), SessionState.PLAYING, 1),
        (lambda plan, now: count_reps(plan, now, 8), SessionState.BETWEEN, 2),
        (READY, SessionState.PLAYING, 2),
        (wait(6), SessionState.BREAK, 3),
        (wait(4.9), SessionState.BREAK, 3),
        (wait(0.1), SessionState.BETWEEN, 3),
        (READY, SessionState.PLAYING, 3),
        (end_ladder, SessionState.BETWEEN, 4),
        (READY, SessionState.PLAYING, 4),
        (wait(2), SessionState.DONE, 4),
    ]
    now = begin(PLAN)
    for act, state, number in way:
        now = act(PLAN, now)
        assert (now.state, now.part) == (state, number)


def test_a_skipped_break_is_reminded_of_again() -> None:
    """Hands that had no rest are due one after the next part."""
    now = after(READY, wait(10), skip)  # the first part, over in six minutes at the latest
    now = Session(
        SessionState.PLAYING, 2, paused=False, spent_ns=Ns(0), reps=0, since_break_ns=minutes(12), paused_ns=Ns(0)
    )
    resting = skip(PLAN, now)
    assert resting.state is SessionState.BREAK
    again = skip(PLAN, pass_time(PLAN, skip(PLAN, resting), READY_NS))
    assert again.state is SessionState.BREAK


def test_a_pause_as_long_as_a_break_counts_as_one() -> None:
    """Ten minutes played, five paused: no break is due."""
    now = Session(
        SessionState.PLAYING, 2, paused=False, spent_ns=Ns(0), reps=0, since_break_ns=minutes(10), paused_ns=Ns(0)
    )
    rested = go_on(pass_time(PLAN, pause(now), minutes(5)))
    assert skip(PLAN, rested).state is SessionState.BETWEEN
    assert skip(PLAN, go_on(pass_time(PLAN, pause(now), minutes(4)))).state is SessionState.BREAK


def test_a_long_ladder_reminds_of_the_break_in_its_midst() -> None:
    """After ten minutes a break is due, after fifteen the player sees it though the ladder goes on."""
    now = pass_time(PLAN, Session(SessionState.PLAYING, 3, False, Ns(0), 0, minutes(8), Ns(0)), minutes(3))  # noqa: FBT003
    assert not break_overdue(PLAN, now)
    assert break_overdue(PLAN, pass_time(PLAN, now, minutes(4)))
    assert pass_time(PLAN, now, minutes(60)).state is SessionState.PLAYING


@pytest.mark.parametrize(
    ("state", "left"), [(SessionState.BETWEEN, READY_NS), (SessionState.BREAK, minutes(5)), (SessionState.DONE, None)]
)
def test_the_time_left_is_known(state: SessionState, left: Ns | None) -> None:
    """Of the announcement, of the break; nothing is left of a session that is over."""
    now = Session(state, 0, paused=False, spent_ns=Ns(0), reps=0, since_break_ns=Ns(0), paused_ns=Ns(0))
    assert left_ns(PLAN, now) == left
