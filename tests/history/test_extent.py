"""Since when a player has practised, and what it was heard by; on both databases."""

from chanterd.history.answers import Span
from chanterd.history.extent import first_day_of, inputs_of
from chanterd.history.ledger import Ledger
from chanterd.history.store import Store
from tests.history.practised_runs import GRIP, begun, closed, judged, noon, practise, somebody


def test_a_new_player_has_no_first_day_and_no_inputs(store: Store) -> None:
    """There is nothing yet."""
    person = somebody(store)
    with store.reading() as connection:
        assert first_day_of(connection, person.number) is None
        assert inputs_of(connection, person.number) == []


def test_the_first_day_is_the_earliest_and_each_input_is_named_once(store: Store) -> None:
    """Whatever order the runs were written in; the inputs are those of the asked days."""
    person = somebody(store)
    practise(store, person, [0.0] * 2, wall=noon(3))
    practise(store, person, [0.0] * 2, wall=noon(1))
    with store.reading() as connection:
        assert first_day_of(connection, person.number) == "2026-04-01"
        assert inputs_of(connection, person.number) == ["demo"]
        assert inputs_of(connection, person.number, Span("2026-04-04")) == []


def test_a_day_of_rests_is_not_the_first_day(store: Store) -> None:
    """A run that was started and never played has no practice in it."""
    person = somebody(store)
    rest = [rep for rep in judged(GRIP, [0.0, None, 0.0]) if rep["skipped"]]
    Ledger(store).write(closed(begun(person), rest))
    practise(store, person, [0.0, 0.0], wall=noon(2))
    with store.reading() as connection:
        assert first_day_of(connection, person.number) == "2026-04-02"


def test_a_span_includes_both_its_days_and_nobody_else(store: Store) -> None:
    """A run of 31 March, from either side; another player's inputs are not yours."""
    person, other = somebody(store), somebody(store, "Rory")
    practise(store, person, [0.0] * 2)
    with store.reading() as connection:
        for span, inputs in (
            (Span("2026-03-31", "2026-03-31"), ["demo"]),
            (Span("2026-03-31"), ["demo"]),
            (Span(None, "2026-03-31"), ["demo"]),
            (Span(None, "2026-03-30"), []),
            (Span("2026-04-01"), []),
        ):
            assert inputs_of(connection, person.number, span) == inputs
        assert inputs_of(connection, other.number) == []
        assert first_day_of(connection, other.number) is None
