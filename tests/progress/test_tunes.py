"""Tunes over weeks."""

from dataclasses import replace

from chanterd.hearing.simulated_tune import HUMAN
from chanterd.history.answers import DayPractised, Span
from chanterd.history.store import Store
from chanterd.progress.tunes import days_with_tunes, tunes_over_time
from tests.history.played_tunes import play_tune, simulated
from tests.history.practised_runs import noon, somebody

CRUSHED = simulated(habits=replace(HUMAN, crushed=1.0))
GOOD = simulated(habits=HUMAN)
EVERY = Span()
DRILLED = DayPractised(day="2026-03-31", runs=1, played=2, clean=2, ways=1, minutes=2.0)


def test_a_tune_is_followed_week_by_week(store: Store) -> None:
    """By Mondays: 31 March 2026 is a Tuesday. What got better shows in each ornament, what goes worst now is first."""
    person = somebody(store)
    play_tune(store, person, CRUSHED, wall=noon(0))
    play_tune(store, person, CRUSHED, wall=noon(1))
    play_tune(store, person, GOOD, wall=noon(14))
    play_tune(store, person, simulated("net-mender"), "net-mender", wall=noon(20))
    with store.reading() as connection:
        last, jig = tunes_over_time(connection, person.number, EVERY)
        assert tunes_over_time(connection, person.number, Span("2030-01-01", None)) == []
    assert (last.tune, last.days, jig.title, jig.days, jig.runs) == ("net-mender", 1, "Seven Gulls", 3, 3)
    then, now = (one.run().found()["summary"] for one in (CRUSHED, GOOD))
    assert [(week.day, week.runs, week.ornaments, week.clean) for week in jig.weeks] == [
        ("2026-03-30", 2, 2 * then["ornaments"], 2 * then["clean"]),
        ("2026-04-13", 1, now["ornaments"], now["clean"]),
    ]
    assert (jig.weeks[0].slowest_bpm, jig.weeks[0].fastest_bpm) == (116.0, 116.0)
    assert sum(one.last_clean for one in jig.ornaments) > sum(one.first_clean for one in jig.ornaments)
    shares = [one.last_clean / one.last_played for one in jig.ornaments]
    assert shares == sorted(shares)
    assert {one.weeks for one in jig.ornaments} == {2}


def test_time_with_tunes_is_practice(store: Store) -> None:
    """Their ornaments are no reps; a day with both has the time of both."""
    person = somebody(store)
    play_tune(store, person, GOOD, wall=noon(0))
    play_tune(store, person, GOOD, wall=noon(1))
    with store.reading() as connection:
        days = days_with_tunes(connection, person.number, EVERY, [DRILLED])
    assert [(day.day, day.runs, day.played, day.minutes) for day in days] == [
        ("2026-03-31", 2, 2, 2.5),
        ("2026-04-01", 1, 0, 0.5),
    ]
