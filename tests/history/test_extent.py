"""Since when a player has practised, and what it was heard by; on both databases."""

from chanterd.history.answers import Span
from chanterd.history.extent import first_day_of, inputs_of
from chanterd.history.store import Store
from tests.history.practised_runs import noon, practise, somebody


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
