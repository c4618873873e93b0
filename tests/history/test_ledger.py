"""Writing runs: a rep whole or not at all, and never twice."""

import pytest
from sqlalchemy import func, select
from sqlalchemy.exc import IntegrityError

from chanterd.config import ChanterdError
from chanterd.history.ledger import Ledger
from chanterd.history.players import delete_player
from chanterd.history.queries import reps_of, run_of
from chanterd.history.record import RunEnded
from chanterd.history.schema import reps, runs, steps, takes
from chanterd.history.store import Store
from chanterd.history.takes import take_of
from tests.history.practised_runs import GRIP, begun, closed, judged, somebody

RESULTS = judged(GRIP, [4.0, 5.0, 90.0, 6.0])


def test_each_rep_is_there_as_soon_as_it_is_written(store: Store) -> None:
    """The run's figures are kept up with it."""
    run, ledger = begun(somebody(store)), Ledger(store)
    for number, result in enumerate(RESULTS, 1):
        written = ledger.write(closed(run, [result], b"\x00\x90\x43\x40"))
        with store.reading() as connection:
            assert reps_of(connection, written) == RESULTS[:number]
            seen = run_of(connection, written)
            assert seen is not None
            assert (seen.played, seen.why) == (number, None)
            assert connection.scalar(select(func.count()).select_from(takes)) == number


def test_telling_the_same_again_changes_nothing(store: Store) -> None:
    """A commit whose answer was lost on the way is repeated."""
    run, ledger = begun(somebody(store)), Ledger(store)
    entry = closed(run, RESULTS[:2], b"\x00\x90\x43\x40")
    number = ledger.write(entry)
    assert ledger.write(entry) == number
    assert Ledger(store).write(entry) == number  # by one that remembers nothing
    with store.reading() as connection:
        assert reps_of(connection, number) == RESULTS[:2]
        assert connection.scalar(select(func.count()).select_from(takes)) == 1


def test_a_run_goes_on_under_a_ledger_that_remembers_nothing(store: Store) -> None:
    """After an error what is known of the run is read again: the figures come to the same."""
    run = begun(somebody(store))
    number = Ledger(store).write(closed(run, RESULTS[:2], b"\x00\x90\x43\x40"))
    Ledger(store).write(closed(run, RESULTS[2:], b"\x00\x80\x43\x40"))
    other = begun(somebody(store, "Rory"))
    whole = Ledger(store).write(closed(other, RESULTS))
    with store.reading() as connection:
        columns = [runs.c.played, runs.c.clean, runs.c.longest_row, runs.c.bias_ns, runs.c.spread_ns, runs.c.held_ns]
        first, second = (connection.execute(select(*columns).where(runs.c.id == one)).one() for one in (number, whole))
        assert first == second
        assert connection.scalars(select(takes.c.part).where(takes.c.run_id == number)).all() == [0, 1]


def test_a_rep_that_cannot_be_written_leaves_nothing_of_itself(store: Store) -> None:
    """Steps of a rep that is refused are refused with it: here the same rep stands twice in one telling."""
    run, ledger = begun(somebody(store)), Ledger(store)
    number = ledger.write(closed(run, RESULTS[:1]))
    with pytest.raises(IntegrityError):
        ledger.write(closed(run, [RESULTS[1], RESULTS[1]]))
    with store.reading() as connection:
        assert connection.scalar(select(func.count()).select_from(reps)) == 1
        assert set(connection.scalars(select(steps.c.rep))) == {0}
    ledger.write(closed(run, RESULTS[1:2]))
    with store.reading() as connection:
        assert reps_of(connection, number) == RESULTS[:2]


def test_the_end_is_written_once_with_its_reason(store: Store) -> None:
    """The first reason stands."""
    run, ledger = begun(somebody(store)), Ledger(store)
    number = ledger.write(closed(run, RESULTS))
    ledger.write(RunEnded(run, "stopped", b"\x00\x80\x43\x40"))
    ledger.write(RunEnded(run, "another", b"\x00\x80\x43\x40"))
    with store.reading() as connection:
        seen = run_of(connection, number)
        assert seen is not None
        assert seen.why == "stopped"
        assert connection.scalar(select(func.count()).select_from(takes)) == 1


def test_a_run_of_a_player_who_was_deleted_meanwhile_goes_on_under_their_name(store: Store) -> None:
    """The player is made again with the same number; what was played before is gone, what comes is there."""
    person = somebody(store)
    said: list[str] = []
    run, ledger = begun(person), Ledger(store, lambda _, sentence: said.append(sentence))
    ledger.write(closed(run, RESULTS[:1]))
    delete_player(store, person.number)
    number = ledger.write(closed(run, RESULTS[1:2]))
    ledger.write(closed(run, RESULTS[1:2]))  # again, as after a commit that was not confirmed
    ledger.write(closed(run, RESULTS[2:]))
    with store.reading() as connection:
        assert reps_of(connection, number) == RESULTS[1:]
    assert len(said) == 1


def test_the_take_of_a_player_who_was_deleted_meanwhile_is_not_heard_at_wrong_times(store: Store) -> None:
    """Times count from the event before, and the first ones are gone; nor is it judged again."""
    person = somebody(store)
    run, ledger = begun(person), Ledger(store)
    ledger.write(closed(run, RESULTS[:1], b"\x00\x90\x43\x40"))
    delete_player(store, person.number)
    ledger.write(closed(run, RESULTS[1:2], b"\x10\x80\x43\x40"))
    number = ledger.write(closed(run, RESULTS[2:], b"\x10\x90\x43\x40"))
    with store.reading() as connection, pytest.raises(ChanterdError, match=f"take of run {number} lacks its beginning"):
        take_of(connection, number)
