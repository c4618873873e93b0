"""Old free playing: which runs can be judged again, and by what."""

from chanterd.history.free_rejudged import free_runs_to_judge
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from chanterd.music.units import NS_PER_S
from tests.history.played_tunes import play_tune
from tests.history.practised_runs import somebody
from tests.history.test_free_runs import part, way


def test_those_that_are_over_with_what_was_a_tune_meanwhile(store: Store) -> None:
    """One that goes on is left; a tune of another player, or of another hour, is none of it."""
    ledger = Ledger(store)
    over = part(store, "a" * 32, [way(2, 1)], 5, why="rested")
    number = ledger.write(part(store, "a" * 32, [way(1, 1)]))
    ledger.write(over)
    ledger.write(part(store, "b" * 32, [way(2, 1)], day=1))
    begun = over.begun
    ada = Player(begun.player, "Ada")
    meanwhile = WallTime(begun.wall.ns + 20 * NS_PER_S, 0)
    play_tune(store, ada, wall=meanwhile)
    play_tune(store, ada, wall=WallTime(begun.wall.ns + 4000 * NS_PER_S, 0))
    play_tune(store, somebody(store), wall=meanwhile)
    with store.reading() as connection:
        (stored,) = free_runs_to_judge(connection, ada.number, over.wall)
        assert (stored.run, stored.standard, stored.in_tunes_ms) == (number, "steady", ((20_000.0, 50_000.0),))
        assert stored.profile.notes == begun.profile.notes
        assert free_runs_to_judge(connection, ada.number + 1, over.wall) == []
