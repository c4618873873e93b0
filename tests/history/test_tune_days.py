"""What was played of tunes day by day."""

from chanterd.history.answers import Span
from chanterd.history.extent import first_day_of, inputs_of
from chanterd.history.store import Store
from chanterd.history.tune_days import tune_days, tune_way_days
from chanterd.history.tune_record import ways_played
from tests.history.played_tunes import JIG, play_tune, simulated
from tests.history.practised_runs import noon, practise, somebody

ONE = simulated()


def test_each_tune_has_its_days(store: Store) -> None:
    """Two runs of a day are one entry; half a minute each, as they are kept. Nobody else's are among them."""
    person, other = somebody(store), somebody(store, "Rory")
    for day in (0, 0, 2):
        play_tune(store, person, ONE, wall=noon(day))
    play_tune(store, other, ONE)
    summary = ONE.run().found()["summary"]
    with store.reading() as connection:
        days = tune_days(connection, person.number)
        assert [(one.tune, one.title, one.day, one.runs, one.minutes) for one in days] == [
            *[(JIG, "Seven Gulls", "2026-03-31", 2, 1.0), (JIG, "Seven Gulls", "2026-04-02", 1, 0.5)]
        ]
        assert (days[0].ornaments, days[0].clean) == (2 * summary["ornaments"], 2 * summary["clean"])
        ways = tune_way_days(connection, person.number, Span("2026-04-01", None))
        played = ways_played(ONE.run().found()["notes"])
        assert [(way.drill, way.day, way.played, way.clean) for way in ways] == [
            (way.drill, "2026-04-02", way.played, way.clean) for way in played
        ]


def test_a_first_day_may_be_one_of_tunes(store: Store) -> None:
    """And the simulated player is named wherever it played."""
    person = somebody(store)
    play_tune(store, person, ONE, wall=noon(-3))
    practise(store, person, [4.0])
    with store.reading() as connection:
        assert first_day_of(connection, person.number) == "2026-03-28"
        assert inputs_of(connection, person.number) == ["demo", "hand"]
        assert inputs_of(connection, person.number, Span(None, "2026-03-30")) == ["hand"]
