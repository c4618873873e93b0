"""The entries of free playing."""

from chanterd.history.free_record import WaysPlayed, faults_from, since, way_row
from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.listening.judged import judge_found
from tests.history.test_free_runs import HEARD, way
from tests.listening.played_notes import found_in


def test_times_count_from_the_beginning_of_the_take() -> None:
    """Of steps too."""
    moved = since(HEARD, 900.0)
    assert (moved["start_ms"], moved["theme_ms"], moved["steps"][0]["onset_ms"]) == (100.0, 250.0, 100.0)


def test_ways_are_counted_apart_from_those_in_tunes() -> None:
    """By their words, each with its figures."""
    ways = WaysPlayed()
    limits = read_standards()[DEFAULT]
    judged = [judge_found(one, limits) for one in found_in("B700 G60 d30 G60 c700 B700 G60 d30 G10 c700 e500 g30 e900")]
    for place, one in enumerate(judged):
        assert one is not None
        ways.add(one, in_tune=place == 2)
    grip, single = sorted(ways.rows(), key=lambda one: one.row["ornament"], reverse=True)
    assert (grip.drill, grip.in_tune, grip.row["played"], grip.row["clean"]) == ("grip from B to C", False, 2, 1)
    assert (single.row["ornament"], single.in_tune) == ("G gracenote", True)


def test_faults_are_read_as_they_were_written() -> None:
    """Damaged ones are none."""
    row = way_row(7, way(3, 1))
    assert faults_from(row["faults"]) == {"crushed": 2}
    assert (row["held_ns"], row["quick_ns"]) == (60_000_000, None)
    assert faults_from("{") == faults_from("[]") == {}
