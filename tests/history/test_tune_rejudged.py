"""Old runs through tunes: which can be judged again, and by what."""

from dataclasses import replace

from chanterd.history.ledger import Ledger
from chanterd.history.store import Store
from chanterd.history.tune_record import TunePartPlayed
from chanterd.history.tune_rejudged import tune_runs_to_judge
from chanterd.history.wall_clock import WallTime
from tests.history.played_tunes import simulated, tune_begun, tune_ended
from tests.history.practised_runs import DAY_NS, noon, profile, somebody


def test_what_goes_on_and_what_has_no_take_is_left_alone(store: Store) -> None:
    """A run that was cut off days ago is over all the same, and was never judged."""
    one, person, other = simulated(), somebody(store), somebody(store, "Rory")
    ledger = Ledger(store)
    over = ledger.write(tune_ended(person, one))
    running = ledger.write(TunePartPlayed(tune_begun(other, one), 0, noon(), b"\x00\x90\x43\x40"))
    ledger.write(tune_ended(person, one, midi=b""))
    now, later = WallTime(noon().ns + 1, 0), WallTime(noon().ns + DAY_NS, 0)
    with store.reading() as connection:
        assert [stored.run for stored in tune_runs_to_judge(connection, now)] == [over]
        assert [stored.run for stored in tune_runs_to_judge(connection, later)] == [over, running]
        assert [stored.run for stored in tune_runs_to_judge(connection, later, only_unjudged=True)] == [running]
        assert [stored.run for stored in tune_runs_to_judge(connection, later, player=other.number)] == [running]
        [stored] = tune_runs_to_judge(connection, now, run=over)
    assert stored.passage == tune_ended(person, one).begun.passage
    assert (stored.profile.notes, stored.imported) == (profile().notes, False)


def test_an_imported_take_is_known_as_such(store: Store) -> None:
    """Its time 0 is that of its file."""
    entry = replace(tune_ended(somebody(store), simulated()), whole=True)
    run = Ledger(store).write(entry)
    with store.reading() as connection:
        assert tune_runs_to_judge(connection, noon(), run=run)[0].imported
