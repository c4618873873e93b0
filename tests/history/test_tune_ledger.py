"""Writing runs through tunes: once, part by part, and never for a run that was deleted."""

from dataclasses import replace

import pytest
from sqlalchemy import func, select

from chanterd.history.ledger import Ledger
from chanterd.history.players import delete_player
from chanterd.history.run_rows import RunDeletedError
from chanterd.history.schema import tune_results, tune_takes, tune_ways
from chanterd.history.store import Store
from chanterd.history.tune_ledger import write_judged
from chanterd.history.tune_record import TunePartPlayed, ways_played
from chanterd.history.tune_runs import delete_tune_run, result_of, tune_run_of, tune_runs_of, tune_take_of
from tests.history.played_tunes import simulated, tune_ended, tune_midi
from tests.history.practised_runs import noon, somebody

ONE = simulated()


def test_the_same_entry_again_changes_nothing(store: Store) -> None:
    """As after a lost confirmation."""
    ledger, entry = Ledger(store), tune_ended(somebody(store), ONE)
    run = ledger.write(entry)
    with store.reading() as connection:
        before = tune_take_of(connection, run), tune_run_of(connection, run)
    assert ledger.write(entry) == run
    with store.reading() as connection:
        assert (tune_take_of(connection, run), tune_run_of(connection, run)) == before
        assert connection.scalar(select(func.count()).select_from(tune_ways)) == len(ways_played(entry.played["notes"]))


def test_a_run_that_is_cut_off_keeps_its_take(store: Store) -> None:
    """Part by part, without an end: nothing is judged, and all that was played is there."""
    person, ledger = somebody(store), Ledger(store)
    ended = tune_ended(person, ONE)
    midi = tune_midi(ONE)
    for number, part in enumerate((midi[:40], midi[40:])):
        run = ledger.write(TunePartPlayed(ended.begun, number, noon(), part))
    with store.reading() as connection:
        seen = tune_run_of(connection, run)
        assert (seen.why, seen.ornaments, seen.heard) == (None, 0, True)
        assert result_of(connection, run) is None
        assert midi in tune_take_of(connection, run)


def test_a_run_that_is_deleted_while_it_is_played_stays_deleted(store: Store) -> None:
    """Its further parts are refused; those of the next run are kept."""
    person, ledger = somebody(store), Ledger(store)
    ended = tune_ended(person, ONE)
    run = ledger.write(TunePartPlayed(ended.begun, 0, noon(), b"\x00\x90\x43\x40"))
    delete_tune_run(store, run)
    with pytest.raises(RunDeletedError):
        ledger.write(replace(ended, part=1))
    ledger.write(tune_ended(person, ONE))
    with store.reading() as connection:
        assert len(tune_runs_of(connection, person.number)) == 1


def test_a_player_who_is_deleted_meanwhile_is_made_again(store: Store) -> None:
    """What is played after that is kept, and a sentence says under which name."""
    said: list[str] = []
    person = somebody(store)
    ledger = Ledger(store, lambda _, words: said.append(words))
    ended = tune_ended(person, ONE)
    ledger.write(TunePartPlayed(ended.begun, 0, noon(), b"\x00\x90\x43\x40"))
    delete_player(store, person.number)
    run = ledger.write(replace(ended, part=1))
    assert said == ["Ailsa was deleted elsewhere while playing. Reps from here on are kept under 'Ailsa'."]
    with store.reading() as connection:
        assert result_of(connection, run) == ended.played


def test_new_results_take_the_place_of_the_old_ones_whole(store: Store) -> None:
    """Ways and figures too; the take stays as it is."""
    run = Ledger(store).write(tune_ended(somebody(store), ONE))
    other = simulated(last=6).run().found()
    with store.writing() as connection:
        write_judged(connection, run, other, noon(5).ns)
    with store.reading() as connection:
        assert result_of(connection, run) == other
        seen = tune_run_of(connection, run)
        assert (seen.ornaments, seen.judged_ns) == (other["summary"]["ornaments"], noon(5).ns)
        assert connection.scalar(select(func.count()).select_from(tune_results)) == 1
        assert connection.scalar(select(func.count()).select_from(tune_takes)) == 1
        assert connection.scalar(select(func.count()).select_from(tune_ways)) == len(ways_played(other["notes"]))
