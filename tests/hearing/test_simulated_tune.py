"""The simulated player of tunes: does what its habits say, and knows the truth about it."""

from dataclasses import replace
from itertools import pairwise

import pytest

from chanterd.hearing.simulated_tune import HUMAN, TuneHabits
from chanterd.music.heard import Onset
from tests.bench.tune_performances import TEMPI, sample

MACHINE = TuneHabits()


@pytest.mark.parametrize("name", TEMPI)
def test_the_ear_hears_what_the_truth_says(name: str) -> None:
    """Every onset, in order, at its time."""
    one = sample(name, replace(HUMAN, wrong=0.05, bar_again=0.1, stop=0.1, crossing=0.1), 3)
    heard = [onset for onset in one.heard if isinstance(onset, Onset)]
    assert [onset.note for onset in heard] == [played.note for played in one.performance.truth]


def test_the_same_seed_plays_the_same() -> None:
    """And another one differs."""
    first, again, other = (sample("net-mender", HUMAN, seed).performance.messages for seed in (1, 1, 2))
    assert first == again
    assert first != other


@pytest.mark.parametrize("name", TEMPI)
def test_a_machine_plays_as_written_twice_through_each_part(name: str) -> None:
    """Its last note begins when it is written, repeats unfolded."""
    one = sample(name, MACHINE, 1)
    last = [len(segment.drill.steps) - 1 for segment in one.score.segments]
    through = [
        (played.segment, played.time_through)
        for played in one.performance.truth
        if played.segment is not None and played.step == last[played.segment]
    ]
    assert through[0] == (0, 1)
    counts = {index: sum(one == index for one, _ in through) for index in range(len(last))}
    assert set(counts.values()) <= {1, 2}
    assert counts[0] == 2


def test_habits_do_what_they_say() -> None:
    """A bar once more, a repeat left out, a stop, gracenotes left out."""
    plain = len(sample("seven-gulls", MACHINE, 1).performance.truth)
    again = sample("seven-gulls", replace(MACHINE, bar_again=1.0), 1).performance
    assert len(again.truth) > 1.2 * plain
    assert max(one.time_through for one in again.truth) >= 3
    once = sample("seven-gulls", replace(MACHINE, repeat_left_out=1.0), 1).performance
    assert 0.4 * plain < len(once.truth) < 0.6 * plain
    stopped = sample("seven-gulls", replace(MACHINE, stop=1.0), 1).performance
    assert max(after.at_ms - before.at_ms for before, after in pairwise(stopped.truth)) > 2000
    bare = sample("seven-gulls", replace(MACHINE, left_out=1.0), 1).performance
    assert all(one.segment is None or one.step == 0 or not bare.left_out for one in bare.truth) or bare.left_out
    assert len(bare.truth) < 0.7 * plain


def test_pointing_moves_what_is_off_the_beat_only() -> None:
    """Stronger: the short note of a pair comes later; the notes on the beat stay."""
    plain, strong = (sample("net-mender", replace(MACHINE, pointing=by), 1) for by in (1.0, 1.5))
    score = plain.score
    last = [len(segment.drill.steps) - 1 for segment in score.segments]

    def begins(performance: object) -> dict[int, float]:
        truth = performance.truth  # type: ignore[attr-defined]
        mine = [one for one in truth if one.segment is not None and one.time_through == 1]
        return {one.segment: one.at_ms for one in mine if one.step == last[one.segment]}

    before, after = begins(plain.performance), begins(strong.performance)
    moved = {index: after[index] - before[index] for index in before if index in after}
    assert all(abs(off) < 1 for index, off in moved.items() if not score.segments[index].phase)
    assert max(moved.values()) > 30
    assert min(moved.values()) < -30
