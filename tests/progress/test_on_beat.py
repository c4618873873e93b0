"""One limit for the words, the dots and the tables of a span."""

from chanterd.history.players import Player
from chanterd.history.store import Store
from chanterd.judging.standard import read_standards
from chanterd.progress.on_beat import on_beat_ms
from tests.history.practised_runs import noon, practise, somebody

STANDARDS = read_standards()


def limit(store: Store, person: Player) -> float:
    """Theirs now."""
    with store.reading() as connection:
        return on_beat_ms(connection, person.number, STANDARDS)


def test_it_is_the_limit_that_the_newest_run_was_judged_by(store: Store) -> None:
    """The usual standard: 40 ms, or a twenty-fifth of a slower click; before the first run, the one at 60."""
    person = somebody(store)
    assert limit(store, person) == 40.0
    practise(store, person, [0.0], bpm=40.0, wall=noon(0))
    assert limit(store, person) == 60.0
    practise(store, person, [0.0], bpm=90.0, wall=noon(1))
    assert limit(store, person) == 40.0


def test_a_standard_that_is_gone_counts_as_the_usual_one(store: Store) -> None:
    """A standard of one's own may be renamed; its runs stay."""
    person = somebody(store)
    practise(store, person, [0.0], bpm=40.0)
    with store.reading() as connection:
        only = {"steady": STANDARDS["steady"], "learner": STANDARDS["learner"]}
        assert on_beat_ms(connection, person.number, only) == 60.0
        assert on_beat_ms(connection, person.number, {"steady": STANDARDS["competition"]}) < 60.0
