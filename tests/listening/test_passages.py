"""Passages of a take."""

import pytest

from chanterd.listening.passages import Passage, Stretch, passages_of
from chanterd.music.units import NS_PER_MS, NS_PER_S, Ns
from tests.listening.played_notes import found_in, heard_notes

GRIP = "B850 G60 d30 G60 c1000"
"""Two clicks of a second."""


def passages(*parts: str) -> list[Passage]:
    """The passages of parts that are played one after the other, with three seconds of silence between."""
    written = " -3000 ".join(parts)
    stretches, at_ms = [], 1000.0
    for part in parts:
        long = sum(float(word[1:]) for word in part.split())
        stretches.append(Stretch(Ns(round(at_ms * NS_PER_MS)), Ns(round((at_ms + long) * NS_PER_MS))))
        at_ms += long + 3000.0
    assert heard_notes(written)[0].at_ns == stretches[0].start_ns
    return passages_of(found_in(written), stretches)


def test_four_of_the_same_at_steady_distances_are_a_drill() -> None:
    """With its tempo, two clicks a rep, from the first note before to the end of the last theme note."""
    (one,) = passages(" ".join([GRIP] * 4))
    assert (one.kind, one.drill) == ("drill", "grip from B to C")
    assert one.click_bpm == pytest.approx(60.0)
    assert (one.start_ns, one.end_ns) == (1000 * NS_PER_MS, 9000 * NS_PER_MS)


def test_three_are_not() -> None:
    """They may be anything."""
    assert [one.kind for one in passages(" ".join([GRIP] * 3))] == ["free"]


def test_one_that_was_left_out_or_read_otherwise_ends_no_drill() -> None:
    """The tempo stays what it is."""
    plain = "B1000 c1000"
    (one,) = passages(f"{GRIP} {GRIP} {GRIP} {plain} {GRIP} {GRIP}")
    assert one.click_bpm == pytest.approx(60.0)
    assert one.end_ns == 13_000 * NS_PER_MS


def test_the_same_ornament_in_a_melody_is_no_drill() -> None:
    """Other notes come between."""
    turn = "B850 G60 d30 G60 c500 d500 e500 c500"
    assert [one.kind for one in passages(" ".join([turn] * 6))] == ["free"]


def test_another_drill_begins_where_it_is_played() -> None:
    """Each has its own tempo."""
    quick = "A440 g35 c60 d30 c435"
    first, second = passages(" ".join([GRIP] * 5 + [quick] * 6))
    assert (first.drill, second.drill) == ("grip from B to C", "doubling from low A to C")
    assert second.click_bpm == pytest.approx(120.0, rel=0.01)


def test_a_long_silence_is_a_passage() -> None:
    """What was before the first note, too, if that is long enough."""
    kinds = [(one.kind, round(one.start_ns / 1e6)) for one in passages(" ".join([GRIP] * 4), "e400 f400 e900")]
    assert kinds == [("drill", 1000), ("silence", 9000), ("free", 12000)]


def test_a_drill_goes_on_through_a_rep_of_silence() -> None:
    """However long a rep is: whoever breathes for one has not stopped."""
    slow = "B1700 G60 d30 G60 c2150"
    (one,) = passages(f"{slow} {slow} {slow}", f"{slow} {slow}")
    assert (one.kind, one.drill) == ("drill", "grip from B to C")


def test_what_was_not_recognised_at_the_edge_of_a_drill_belongs_to_it() -> None:
    """One rep: more than that is something else."""
    (one,) = passages(f"B1000 c1000 {' '.join([GRIP] * 5)} B1000 c1000")
    assert (one.start_ns, one.end_ns) == (1000 * NS_PER_MS, 15_000 * NS_PER_MS)
    other = "e1000 f1000 e1000 f1000"
    assert [one.kind for one in passages(f"{other} {' '.join([GRIP] * 5)} {other}")] == ["free", "drill", "free"]


def test_a_short_rest_does_not_cut_free_playing() -> None:
    """A breath is part of what is played."""
    stretches = [Stretch(Ns(0), Ns(NS_PER_S)), Stretch(Ns(2 * NS_PER_S), Ns(4 * NS_PER_S))]
    (one,) = passages_of([], stretches)
    assert (one.kind, one.start_ns, one.end_ns) == ("free", 0, 4 * NS_PER_S)


def test_the_longer_of_a_drill_and_a_tune_counts() -> None:
    """A tune may hold the same ornament four times."""
    found = found_in(" ".join([GRIP] * 4))
    stretch = Stretch(Ns(1000 * NS_PER_MS), Ns(9000 * NS_PER_MS))
    long = Passage(stretch.start_ns, Ns(20_000 * NS_PER_MS), "tune", tune="Seven Gulls", first=0)
    assert [one.kind for one in passages_of(found, [stretch], [long])] == ["tune"]
    short = Passage(Ns(3000 * NS_PER_MS), Ns(5000 * NS_PER_MS), "tune", tune="Seven Gulls", first=0)
    assert [one.kind for one in passages_of(found, [stretch], [short])] == ["drill"]
