"""Runs through tunes in the history."""

from dataclasses import replace
from datetime import date

from sqlalchemy import func, select

from chanterd.history.ledger import Ledger
from chanterd.history.players import delete_player
from chanterd.history.schema import tune_runs, tune_ways
from chanterd.history.store import Store
from chanterd.history.tune_record import TuneBegun, TunePassage, TuneRunEnded, WayPlayed
from chanterd.history.tune_runs import runs_through, ways_in_tunes
from chanterd.history.wall_clock import WallTime
from chanterd.music.book import standard_book
from chanterd.music.units import Bpm
from tests.history.practised_runs import somebody

NS_PER_DAY = 86_400_000_000_000
PASSAGE = TunePassage(
    *("seven-gulls", 4, 9, Bpm(100.0)),
    click_off=False,
    standard="steady",
    ornaments=5,
    clean=3,
    ways=(WayPlayed("grip from B to C", 3, 1), WayPlayed("birl from E", 2, 2)),
)


def ended(player: int, key: str, day: int = 0, passage: TunePassage = PASSAGE) -> TuneRunEnded:
    """A run on a day since 1970."""
    return TuneRunEnded(TuneBegun(key, player, "Ailsa", WallTime(day * NS_PER_DAY, 0)), passage)


def test_a_run_is_kept_once_and_listed_newest_first(store: Store) -> None:
    """Written again, as after a lost confirmation, it changes nothing."""
    person, ledger = somebody(store), Ledger(store)
    first = ledger.write(ended(person.number, "a"))
    assert ledger.write(ended(person.number, "a")) == first
    ledger.write(ended(person.number, "b", 1, replace(PASSAGE, first=0, last=63, click_off=True)))
    ledger.write(ended(person.number, "c", 1, replace(PASSAGE, tune="net-mender")))
    with store.reading() as connection:
        found = runs_through(connection, person.number, "seven-gulls")
    assert [(one.day, one.first, one.last, one.click_off) for one in found] == [
        (date(1970, 1, 2), 0, 63, True),
        (date(1970, 1, 1), 4, 9, False),
    ]
    assert (found[1].ornaments, found[1].clean, found[1].click_bpm) == (5, 3, 100.0)


def test_how_ornaments_go_in_tunes_is_known_day_by_day(store: Store) -> None:
    """Of all tunes together, without a tempo held; what the book does not have is left out."""
    person, ledger = somebody(store), Ledger(store)
    odd = replace(PASSAGE, ways=(*PASSAGE.ways, WayPlayed("gripp from nowhere", 9, 9)))
    for key, day, passage in (("a", 0, PASSAGE), ("b", 0, replace(PASSAGE, tune="net-mender")), ("c", 3, odd)):
        ledger.write(ended(person.number, key, day, passage))
    with store.reading() as connection:
        known = ways_in_tunes(connection, person.number, standard_book())
    assert [one.drill.words for one in known] == ["birl from E", "grip from B to C"]
    grip = known[1].sittings
    assert [(one.day, one.played, one.clean, one.held_bpm) for one in grip] == [
        (date(1970, 1, 1), 6, 2, None),
        (date(1970, 1, 4), 3, 1, None),
    ]


def test_they_go_with_the_player_and_a_player_deleted_meanwhile_is_made_again(store: Store) -> None:
    """Deleted for good; what is played after that is kept."""
    person, ledger = somebody(store), Ledger(store)
    ledger.write(ended(person.number, "a"))
    delete_player(store, person.number)
    with store.reading() as connection:
        for table in (tune_runs, tune_ways):
            assert connection.scalar(select(func.count()).select_from(table)) == 0
    ledger.write(ended(person.number, "b"))
    with store.reading() as connection:
        assert len(runs_through(connection, person.number, "seven-gulls")) == 1
