"""Passages of a take."""

import pytest

from chanterd.listening.passages import Passage, Stretch, beat_of, passages_of
from chanterd.music.units import NS_PER_MS, Ns
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


def test_the_beat_of_a_doubling_is_its_first_step() -> None:
    """Where the beat falls: common practice, no source."""
    (one,) = found_in("A700 g35 c60 d30 c700")
    assert beat_of(one) == one.sounds[0].onset_ns
    (grip,) = found_in("B700 G60 d30 G60 c700")
    assert beat_of(grip) == grip.sounds[-1].onset_ns


def test_the_longer_of_a_drill_and_a_tune_counts() -> None:
    """A tune may hold the same ornament four times."""
    found = found_in(" ".join([GRIP] * 4))
    stretch = Stretch(Ns(1000 * NS_PER_MS), Ns(9000 * NS_PER_MS))
    long = Passage(stretch.start_ns, Ns(20_000 * NS_PER_MS), "tune", tune="Seven Gulls", first=0)
    assert [one.kind for one in passages_of(found, [stretch], [long])] == ["tune"]
    short = Passage(Ns(3000 * NS_PER_MS), Ns(5000 * NS_PER_MS), "tune", tune="Seven Gulls", first=0)
    assert [one.kind for one in passages_of(found, [stretch], [short])] == ["drill"]
