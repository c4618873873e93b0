"""Held steps by family and tempo, on both databases."""

from chanterd.history.answers import Span
from chanterd.history.held import held_by_tempo
from chanterd.history.store import Store
from tests.history.practised_runs import noon, practise, somebody


def test_lengths_of_full_ornaments_are_grouped_by_family_and_tempo(store: Store) -> None:
    """The scene plays every held step 60 ms long at any tempo; stages, which have placeholders, are left out."""
    person = somebody(store)
    practise(store, person, [5.0] * 4)
    practise(store, person, [5.0] * 2, bpm=72.0)
    practise(store, person, [5.0] * 2, words="grip from B to C, stage 1")
    with store.reading() as connection:
        held = held_by_tempo(connection, person.number)
    assert [(one.family, one.click_bpm, one.played) for one in held] == [
        ("Grips and taorluath", 60.0, 4),
        ("Grips and taorluath", 72.0, 2),
    ]
    assert all(abs(one.held_ms - 60.0) < 1 for one in held)


def test_only_the_chosen_days_and_player_count(store: Store) -> None:
    """The span includes both its ends; another player's practice is their own."""
    person, other = somebody(store), somebody(store, "Murdo")
    practise(store, person, [0.0] * 3, wall=noon(0))
    practise(store, person, [0.0] * 2, wall=noon(1))
    practise(store, other, [0.0] * 2, wall=noon(1))
    with store.reading() as connection:
        [second] = held_by_tempo(connection, person.number, Span("2026-04-01", "2026-04-01"))
        assert second.played == 2
        assert held_by_tempo(connection, person.number, Span("2026-04-02")) == []
