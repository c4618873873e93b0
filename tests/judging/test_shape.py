"""The shape of a rep: the lengths of its steps among themselves, wherever it was placed."""

import pytest

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.report import RepResult
from chanterd.judging.shape import NONE_OF_IT, shape_of
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from tests.judging.followed_reps import Rep, ns
from tests.judging.played_reps import Played, played_run


def test_held_and_quick_steps_are_apart() -> None:
    """A grip has two held low Gs and one quick D; the theme is neither."""
    shape = Rep(length_ms={0: 50.0, 1: 33.0, 2: 75.0}).shape()
    assert (shape.held.steps, shape.held.lengths_ns) == ((0, 2), (ns(50), ns(75)))
    assert (shape.quick.steps, shape.quick.lengths_ns) == ((1,), (ns(33),))
    assert shape.of(Kind.HELD) is shape.held
    assert shape.of(Kind.QUICK) is shape.quick


def test_evenness_is_the_longest_over_the_shortest_and_a_spread() -> None:
    """60, 40, 80 and 60: twice; their standard deviation is the root of 800 / 3 (by hand)."""
    shape = Rep(words="crunluath from C to E", length_ms={0: 60.0, 2: 40.0, 4: 80.0, 6: 60.0}).shape()
    assert [length / 1e6 for length in shape.held.lengths_ns] == [60, 40, 80, 60]
    assert shape.held.longest_over_shortest == 2
    assert shape.held.spread_ns == pytest.approx(1e6 * (800 / 3) ** 0.5)


def test_one_step_is_neither_even_nor_uneven() -> None:
    """Nor is none."""
    shape = Rep().shape()
    assert (shape.quick.longest_over_shortest, shape.quick.spread_ns) == (None, None)
    assert (NONE_OF_IT.longest_over_shortest, NONE_OF_IT.spread_ns) == (None, None)


def test_only_steps_played_correctly_count() -> None:
    """A wrong note has no place in the shape of the right ones; a missing or melted step has no length."""
    assert Rep(wrong={0: Note.LOW_A}).shape().held.steps == (2,)
    assert Rep(states={0: StepState.MISSING, 1: StepState.MERGED}).shape().quick == NONE_OF_IT
    # Without its D, the first low G of a grip sounds on for it.
    assert Rep(states={1: StepState.MISSING}).shape().held.steps == (2,)


def test_placement_does_not_change_the_shape() -> None:
    """The same rep 80 ms later is as even as before."""
    early = Rep(off_ms=dict.fromkeys(range(-1, 4), -40.0), length_ms={0: 44.0})
    late = Rep(off_ms=dict.fromkeys(range(-1, 4), 40.0), length_ms={0: 44.0})
    assert early.shape() == late.shape()


def test_a_placeholder_for_several_steps_is_not_uneven() -> None:
    """Stage 2 of a throw holds a long low G beside a C: each is compared with its own target."""
    for rep in (Rep(words="heavy throw on D from B, stage 2"), Rep(words="grip from B to C, stage 1")):
        shape = shape_of(rep.measured(), rep.segment)
        assert shape.held.longest_over_shortest in (None, pytest.approx(1.0, abs=1e-6))


def test_a_crossing_noise_counts_to_the_step_before_it() -> None:
    """The fingers were on their way: 40 ms of low G with 20 ms of noise behind it are as long as 60 ms."""
    began = 1000.0 - 160.0
    noise = (Note.C, began + 40.0, 20.0, ExtraKind.CROSSING_NOISE)
    assert Rep(length_ms={0: 40.0}, extras=[noise]).shape().held.lengths_ns[0] == ns(60.0)
    elsewhere = (Note.C, began + 41.0, 20.0, ExtraKind.CROSSING_NOISE)
    assert Rep(length_ms={0: 40.0}, extras=[elsewhere]).shape().held.lengths_ns[0] == ns(40.0)


def test_each_step_is_compared_with_its_own_target_length() -> None:
    """Stage 2 of a light throw: its C replaces the D gracenote too; at its target length it counts as even."""
    rep = Rep(words="throw on D from low A, stage 2")
    asked = {step: rep.segment.lengths_ns[step + 1] for step in rep.shape().held.steps}
    assert len(set(asked.values())) > 1
    assert rep.shape().held.even_ns == pytest.approx([min(asked.values())] * len(asked))


def test_an_extra_note_after_a_step_does_not_lengthen_it() -> None:
    """Only the fingers on their way are."""
    stray = (Note.F, 1000.0 - 160.0 + 40.0, 20.0, ExtraKind.EXTRA_NOTE)
    assert Rep(length_ms={0: 40.0}, extras=[stray]).shape().held.lengths_ns[0] == ns(40.0)


def test_two_steps_are_enough_to_be_uneven() -> None:
    """A grip has no more: 80 ms over 50 ms."""
    assert Rep(length_ms={0: 50.0, 2: 80.0}).shape().held.longest_over_shortest == pytest.approx(1.6)


WRITTEN_LONG = [
    ("cadence from B to low A", 1, "E"),
    ("thumb cadence from high G to low A", 1, "E"),
    ("E-D cadence from C to low G", 0, "E"),
    ("introductory E from B to low A", 0, "E"),
    ("G gracenote and introductory E from C to B", 1, "E"),
    ("crunluath fosgailte from B", 1, "first low A"),
]


@pytest.mark.parametrize("bpm", [40, 60, 80, 120, 200])
@pytest.mark.parametrize(("words", "place", "name"), WRITTEN_LONG)
def test_a_step_that_is_written_long_is_as_long_as_the_school_has_it(
    words: str, place: int, name: str, bpm: float
) -> None:
    """Not to be even with the others and never too long, only not as short as they are; common practice, no source."""
    room_ms = 60_000 / bpm
    for length_ms in (60.0, 100.0, 150.0, 240.0, 400.0, 600.0, 900.0):
        if length_ms < 0.7 * room_ms:
            reps = played_run(words, bpm, Played(length_ms={place: length_ms}))
            assert [fault["said"] for rep in reps for fault in rep["faults"]] == [], length_ms
            assert place not in shape_steps(reps[1])
    short = played_run(words, bpm, Played(length_ms={place: 45.0}))[1]["faults"]
    assert [fault["said"] for fault in short] == [f"You crushed the {name}: 45 ms, and it is written long."]


def shape_steps(rep: RepResult) -> list[int]:
    """The held steps that are compared with each other."""
    return rep["shape"]["held"]["steps"]
