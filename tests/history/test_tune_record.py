"""A run through a tune, as the writer gets it."""

from dataclasses import replace

from chanterd.history.tune_record import ways_played, written_as
from chanterd.music.note import Note
from tests.bench.tune_performances import shipped
from tests.history.played_tunes import simulated


def test_every_drill_of_the_book_is_counted_over_all_its_places() -> None:
    """What is clean is never more than what was played; together they are the ornaments that the book knows."""
    found = simulated().run().found()
    ways = ways_played(found["notes"])
    assert [way.drill for way in ways] == sorted(way.drill for way in ways)
    known = [one["ornament"] for one in found["notes"] if one["ornament"] and one["ornament"]["drill"]]
    assert sum(way.played for way in ways) == len(known)
    assert sum(way.clean for way in ways) == sum(one["clean"] for one in known)


def test_a_tune_is_another_one_if_a_note_or_a_repeat_is() -> None:
    """Its title does not matter."""
    tune = shipped("seven-gulls")
    first = tune.notes[0]
    other = replace(tune, notes=(replace(first, gracenotes=(Note.HIGH_G,)), *tune.notes[1:]))
    repeated = replace(
        tune, bars=(*tune.bars[:-1], replace(tune.bars[-1], closes_repeat=not tune.bars[-1].closes_repeat))
    )
    assert written_as(replace(tune, title="Another")) == written_as(tune)
    assert len({written_as(one) for one in (tune, other, repeated)}) == 3
