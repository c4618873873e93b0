"""Questions to the history, on both databases."""

import pytest

from chanterd.history.answers import Span, Way
from chanterd.history.queries import (
    days_practised,
    fastest_by_day,
    hand_by_day,
    overall,
    placement_by_day,
    reps_of,
    run_of,
    runs_of,
    weakest,
)
from chanterd.history.store import Store
from tests.history.practised_runs import GRIP, judged, noon, practise, somebody

STEADY = [4.0, 5.0, 6.0]
LATE = [90.0, 4.0, 95.0]
DOUBLING = "doubling from low A to C"
DAYS = ("2026-03-31", "2026-04-01", "2026-04-02")
WAY = Way("grip", "B", "C")


def test_runs_are_listed_newest_first_with_their_figures(store: Store) -> None:
    """A run says what was asked and what came of it."""
    person = somebody(store)
    first = practise(store, person, STEADY)
    second = practise(store, person, LATE, bpm=72.0, wall=noon(1))
    with store.reading() as connection:
        newest, oldest = runs_of(connection, person.number)
        assert (newest.run, oldest.run) == (second, first)
        assert (oldest.way.ornament, oldest.way.lead, oldest.way.theme, oldest.way.drill) == ("grip", "B", "C", GRIP)
        assert (oldest.played, oldest.clean, oldest.longest_row, oldest.why) == (3, 3, 3, "stopped")
        assert oldest.bias_ms == pytest.approx(5.0, abs=0.01)
        assert run_of(connection, second) == newest
        assert run_of(connection, 999) is None


def test_reps_come_back_as_they_were_judged(store: Store) -> None:
    """Whole, in order."""
    run = practise(store, somebody(store), LATE)
    with store.reading() as connection:
        assert reps_of(connection, run) == judged(GRIP, LATE)


def test_the_fastest_tempo_of_a_day_is_the_one_held_clean_in_a_row(store: Store) -> None:
    """At 80 only two came clean in a row, so 60 counts; asked for one in a row, 80 does."""
    person = somebody(store)
    practise(store, person, STEADY, bpm=60.0)
    practise(store, person, [5.0, 5.0, 90.0, 5.0], bpm=80.0)
    practise(store, person, STEADY, bpm=72.0, wall=noon(1))
    with store.reading() as connection:
        three = fastest_by_day(connection, person.number, 3)
        assert [(one.day, one.click_bpm) for one in three] == [(DAYS[0], 60.0), (DAYS[1], 72.0)]
        assert fastest_by_day(connection, person.number, 1)[0].click_bpm == 80.0
        assert three[0].way.drill == GRIP


def test_a_stage_of_the_build_up_is_no_tempo_held(store: Store) -> None:
    """It is an easier thing; it counts as practice."""
    person = somebody(store)
    practise(store, person, STEADY, words=f"{GRIP}, stage 1")
    with store.reading() as connection:
        assert fastest_by_day(connection, person.number, 3) == []
        assert placement_by_day(connection, person.number) == []
        assert days_practised(connection, person.number)[0].played == 3


@pytest.mark.parametrize(("click_off", "walks"), [(True, False), (False, True)])
def test_without_the_click_and_up_the_scale_it_is_practice_and_no_more(
    store: Store, *, click_off: bool, walks: bool
) -> None:
    """Held against one's own pulse, or on many ways in turn, a figure would not be of this way at this tempo."""
    person = somebody(store)
    practise(store, person, LATE * 4, click_off=click_off, walks=walks)
    with store.reading() as connection:
        assert fastest_by_day(connection, person.number, 1) == []
        assert placement_by_day(connection, person.number) == []
        assert weakest(connection, person.number) == []
        assert overall(connection, person.number, 1) == []
        assert days_practised(connection, person.number)[0].played == 12
        assert [one.played for one in hand_by_day(connection, person.number)] == [12]


def test_placement_of_a_day_weighs_its_runs_by_their_reps(store: Store) -> None:
    """Three reps with a median of 5 and one of 13: (3 * 5 + 13) / 4 = 7."""
    person = somebody(store)
    practise(store, person, STEADY)
    practise(store, person, [13.0])
    with store.reading() as connection:
        (day,) = placement_by_day(connection, person.number)
    assert (day.day, day.heard, day.played, day.clean) == (DAYS[0], 4, 4, 4)
    assert day.bias_ms == pytest.approx(7.0, abs=0.01)
    assert day.spread_ms == pytest.approx(1.4826, abs=0.01)  # of the run that has one: MAD 1 ms


def test_a_span_includes_both_its_days_and_a_way_leaves_the_others_out(store: Store) -> None:
    """Three days, three ways to ask."""
    person = somebody(store)
    for day in range(3):
        practise(store, person, STEADY, wall=noon(day))
        practise(store, person, STEADY, words=DOUBLING, wall=noon(day))
    with store.reading() as connection:
        assert len(runs_of(connection, person.number, Span(DAYS[1], DAYS[2]))) == 4
        assert len(runs_of(connection, person.number, Span(last=DAYS[0]), WAY)) == 1
        assert {one.way.ornament for one in placement_by_day(connection, person.number, way=WAY)} == {"grip"}
        assert len(runs_of(connection, person.number, most=2)) == 2
        every = runs_of(connection, person.number)
        pages = [*every[:2], *runs_of(connection, person.number, before=every[1])]
        assert pages == every


def test_the_day_is_the_one_at_the_players_place(store: Store) -> None:
    """Noon in UTC is the next day already, thirteen hours to the east."""
    person = somebody(store)
    practise(store, person, STEADY, wall=noon(0, utc_offset_s=13 * 3600))
    with store.reading() as connection:
        assert [day.day for day in days_practised(connection, person.number)] == [DAYS[1]]


def test_days_practised_count_runs_reps_and_ways(store: Store) -> None:
    """A day in which nothing was played is none."""
    person = somebody(store)
    practise(store, person, STEADY)
    practise(store, person, LATE)
    practise(store, person, STEADY, words=DOUBLING)
    with store.reading() as connection:
        (day,) = days_practised(connection, person.number)
    assert (day.day, day.runs, day.played, day.clean, day.ways) == (DAYS[0], 3, 9, 7, 2)


def test_the_hand_is_grouped_by_family(store: Store) -> None:
    """The held steps of the simulated grip and doubling last 60 ms both: an even hand across families."""
    person = somebody(store)
    practise(store, person, STEADY)
    practise(store, person, STEADY, words=DOUBLING)
    with store.reading() as connection:
        doublings, grips = hand_by_day(connection, person.number)
    assert (doublings.family, grips.family) == ("Doublings", "Grips and taorluath")
    assert doublings.held_ms == pytest.approx(60.0, abs=0.1)
    assert grips.held_ms == pytest.approx(60.0, abs=0.1)
    assert grips.held_spread_ms == pytest.approx(0.0, abs=0.1)


def test_the_weakest_has_the_smallest_share_of_clean_reps(store: Store) -> None:
    """What was hardly played is not judged."""
    person = somebody(store)
    practise(store, person, STEADY)
    practise(store, person, LATE, words=DOUBLING)
    practise(store, person, [90.0], words="throw on D from low A")
    with store.reading() as connection:
        weak = weakest(connection, person.number, least_played=3)
        assert [one.way.ornament for one in weak] == ["doubling", "grip"]
        assert weak[0].clean_share == pytest.approx(1 / 3)
        assert (weak[0].last_day, weak[0].days) == (DAYS[0], 1)
        assert len(weakest(connection, person.number, least_played=1, most=2)) == 2


def test_overall_shows_progress_on_each_way(store: Store) -> None:
    """The fastest clean tempo is None until enough were in a row."""
    person = somebody(store)
    practise(store, person, STEADY, bpm=60.0)
    practise(store, person, STEADY, bpm=66.0, wall=noon(2))
    practise(store, person, LATE, words=DOUBLING)
    with store.reading() as connection:
        doubling, grip = overall(connection, person.number, 3)
    assert (grip.runs, grip.days, grip.first_day, grip.last_day) == (2, 2, DAYS[0], DAYS[2])
    assert grip.fastest_clean_bpm == 66.0
    assert doubling.fastest_clean_bpm is None


def test_nobody_sees_anothers_practice(store: Store) -> None:
    """Every answer is about one player."""
    practise(store, somebody(store), STEADY)
    other = somebody(store, "Rory").number
    with store.reading() as connection:
        assert runs_of(connection, other) == []
        assert days_practised(connection, other) == []
        assert fastest_by_day(connection, other, 1) == []
        assert hand_by_day(connection, other) == []
        assert weakest(connection, other, least_played=1) == []
        assert overall(connection, other, 1) == []
