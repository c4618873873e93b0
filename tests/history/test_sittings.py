"""What is known of each way in, out of real runs of simulated playing."""

from dataclasses import replace
from datetime import date
from math import sqrt

import pytest

from chanterd.history.ledger import Ledger
from chanterd.history.record import RepsClosed
from chanterd.history.sittings import known_ways
from chanterd.history.store import Store
from chanterd.music.book import standard_book
from chanterd.music.ornament import Book
from chanterd.music.units import Bpm
from chanterd.practice.ladder.rule import OFFERED
from chanterd.practice.proposal.known import Known, Sitting
from tests.history.practised_runs import GRIP, begun, closed, exercise, judged, noon, practise, somebody

DAY = date(2026, 3, 31)


def known(store: Store, player: int, book: Book | None = None) -> list[Known]:
    """What is known of them."""
    with store.reading() as connection:
        return known_ways(connection, player, 3, book or standard_book())


def test_the_runs_of_a_day_are_one_sitting(store: Store) -> None:
    """Counted together; held is the fastest at which three in a row were clean, tried the fastest there was."""
    person = somebody(store)
    practise(store, person, [0.0, 2.0, 1.0, 90.0], bpm=60.0)
    practise(store, person, [0.0, 95.0, None, 90.0], bpm=66.0)
    practise(store, person, [0.0, 0.0, 0.0], bpm=60.0, wall=noon(1))
    (grip,) = known(store, person.number)
    assert grip.drill.words == "grip from B to C"
    first, second = grip.sittings
    assert (first.day, first.stage, first.played, first.tried_bpm) == (DAY, None, 7, 66.0)
    assert (first.clean, first.held_bpm) == (4, 60.0)
    assert first.spread_ms is not None
    assert replace(second, spread_ms=None) == Sitting(date(2026, 4, 1), None, 3, 3, 60.0, 60.0, None)
    assert second.spread_ms == pytest.approx(0.0)


def test_stages_are_sittings_of_their_own_before_the_whole(store: Store) -> None:
    """So that the build-up counts as over once the full ornament was played."""
    person = somebody(store)
    practise(store, person, [0.0, 1.0])
    practise(store, person, [0.0, 1.0, 2.0], words="grip from B to C, stage 1")
    (grip,) = known(store, person.number)
    assert [(one.stage, one.played) for one in grip.sittings] == [(1, 3), (None, 2)]


def test_the_aim_is_that_of_the_last_ladder(store: Store) -> None:
    """Its performing tempo; a run without one changes nothing."""
    person = somebody(store)
    for bpm in (72.0, 84.0):
        ladder = replace(OFFERED, performing_bpm=Bpm(bpm))
        run = replace(begun(person), exercise=replace(exercise(), ladder=ladder))
        Ledger(store).write(RepsClosed(run, judged("grip from B to C", [0.0]), run.wall, b""))
    practise(store, person, [0.0])
    (grip,) = known(store, person.number)
    assert grip.aim_bpm == 84.0


def test_what_the_book_has_not_is_left_out(store: Store) -> None:
    """A teacher may take an ornament out of it; its runs stay, but it cannot be proposed. Nor is another's practice."""
    person, other = somebody(store), somebody(store, "Rory")
    practise(store, person, [0.0])
    assert known(store, person.number, Book(())) == []
    assert known(store, other.number) == []


def test_only_playing_one_way_to_the_click_counts(store: Store) -> None:
    """Up and down the scale, without the click, or with nothing played, something else is practised."""
    person = somebody(store)
    practise(store, person, [0.0, 1.0], walks=True)
    practise(store, person, [0.0, 1.0], click_off=True)
    rest = [rep for rep in judged(GRIP, [0.0, None, 0.0]) if rep["skipped"]]
    Ledger(store).write(closed(begun(person), rest))
    assert known(store, person.number) == []


def test_the_scatter_of_a_day_weighs_each_run_by_its_reps(store: Store) -> None:
    """Two reps 10 ms apart and six 40 ms apart: closer to the six; pooled variance, as textbooks have it."""
    person = somebody(store)
    few, many = [0.0, 10.0], [0.0, 40.0] * 3
    practise(store, person, few)
    practise(store, person, many, wall=noon(1))
    practise(store, person, few, wall=noon(2))
    practise(store, person, many, wall=noon(2))
    (grip,) = known(store, person.number)
    first, second, both = (one.spread_ms or 0.0 for one in grip.sittings)
    assert 0.0 < first < second
    assert both == pytest.approx(sqrt((2 * first**2 + 6 * second**2) / 8), abs=0.01)


def test_ways_are_in_the_order_of_their_words(store: Store) -> None:
    """Whichever was practised first."""
    person = somebody(store)
    for words in ("grip from B to C", "birl from E", "doubling from low A to C"):
        practise(store, person, [0.0], words=words)
    ways = [one.drill.words for one in known(store, person.number)]
    assert ways == ["birl from E", "doubling from low A to C", "grip from B to C"]
