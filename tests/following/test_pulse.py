"""Following without the click: the grid goes along with the player's own pulse. The players are simulated."""

from collections.abc import Callable
from random import Random

import pytest

from chanterd.following.follow import Follower
from chanterd.following.pulse import OwnPulse
from chanterd.following.reading import SegmentRead, StepState
from chanterd.music.drill import drill_from_words
from chanterd.music.drill_score import drill_score
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Onset
from chanterd.music.score import over_and_over
from chanterd.music.segment import make_segment
from chanterd.music.units import NS_PER_MS, Bpm, Ns

GRIP = "grip from B to C"
REPS = 120


def share_right(words: str, bpm: float, pace: Callable[[int], float], *, own_pulse: bool = True) -> float:
    """The share of all onsets that are read as the step they were; ``pace`` is the length of a rep over the asked one.

    The player has a timer of 15 ms and a hand of 8 ms, and does not correct.
    """
    dice, times = Random(3), make_segment(drill_from_words(words), Bpm(bpm))  # noqa: S311 - play, not secrets
    notes = [times.drill.lead, *(step.note for step in times.drill.steps)]
    beat_ms, played = times.beat_ns / NS_PER_MS, []
    for rep in range(REPS):
        hand = dice.gauss(0, 8)
        for place, (note, offset) in enumerate(zip(notes, times.offsets_ns, strict=True)):
            before_ms = (offset - times.beat_ns) / NS_PER_MS * (pace(rep) if place == 0 else 1.0)
            played.append((Ns(round((beat_ms + before_ms + hand) * NS_PER_MS)), note, (rep, place - 1)))
        beat_ms += times.lasts_ns / NS_PER_MS * pace(rep) + dice.gauss(0, 15)
    score = drill_score(times.drill, Bpm(bpm))
    grid = TempoGrid(Bpm(bpm), Ns(0))
    follower = Follower(score, grid, expectation=OwnPulse(score, grid) if own_pulse else None)
    found = [one for at_ns, note, _ in sorted(played) for one in follower.hear(Onset(note, at_ns))] + follower.finish()
    reads = [one for one in found if isinstance(one, SegmentRead)]
    steps = [
        step for read in reads for step in (read.lead, *read.steps) if step.state is StepState.PLAYED and step.sound
    ]
    shown = {(step.rep, step.step): step.sound.onset_ns for step in steps if step.sound}
    return sum(shown.get(key) == at_ns for at_ns, _, key in played) / len(played)


@pytest.mark.parametrize("words", [GRIP, "throw on D from low A", "taorluath from C to low A"])
@pytest.mark.parametrize("bpm", [60.0, 120.0, 200.0])
@pytest.mark.parametrize("pace", [0.88, 0.97, 1.0, 1.1, 1.2])
def test_a_steady_tempo_of_the_players_own_is_followed(words: str, bpm: float, pace: float) -> None:
    """Reps from 12 % shorter to 20 % longer than asked, 120 of them: every onset is the step it was."""
    assert share_right(words, bpm, lambda _: pace) == 1.0


@pytest.mark.parametrize("bpm", [60.0, 160.0])
def test_a_tempo_that_changes_is_followed(bpm: float) -> None:
    """Getting a tenth faster over the run, and going to and fro by 14 % every 20 reps."""
    assert share_right(GRIP, bpm, lambda rep: 1 - rep / 1200) == 1.0
    assert share_right(GRIP, bpm, lambda rep: 1.07 if rep // 20 % 2 else 0.93) == 1.0


def test_the_written_grid_alone_would_lose_such_a_player() -> None:
    """Three per cent off, less than most people notice, is a rep after 33 of them: then every reading is wrong."""
    assert share_right(GRIP, 60.0, lambda _: 0.97, own_pulse=False) < 0.5


def test_it_says_how_far_it_has_moved() -> None:
    """A player 100 ms a rep slower than asked is expected 900 ms later after nine reps, give or take a rep's worth."""
    times = make_segment(drill_from_words(GRIP), Bpm(60))
    score, grid = drill_score(times.drill, Bpm(60)), TempoGrid(Bpm(60), Ns(0))
    pulse = OwnPulse(score, grid)
    follower = Follower(score, grid, expectation=pulse)
    notes = [times.drill.lead, *(step.note for step in times.drill.steps)]
    reads: list[SegmentRead] = []
    for rep in range(11):
        for note, offset in zip(notes, times.offsets_ns, strict=True):
            shown = follower.hear(Onset(note, Ns(rep * 2100 * NS_PER_MS + offset)))
            reads += [one for one in shown if isinstance(one, SegmentRead)]
    assert reads[0].shift_ns == 0
    assert reads[9].shift_ns / NS_PER_MS == pytest.approx(900, abs=100)
    assert pulse.moved_ns(10, 10, 0) > reads[9].shift_ns


def test_turns_of_unlike_length_are_as_much_slower_by_the_click() -> None:
    """Turns of 2 and 6 clicks in turn, all 5 % slower than asked: after 40 of them each is expected where it is."""
    segment = make_segment(drill_from_words(GRIP), Bpm(60))
    score, grid = over_and_over([segment, segment], [0.0, 2.0], 8.0), TempoGrid(Bpm(60), Ns(0))
    pulse, off_ns = OwnPulse(score, grid), 0.0
    for turn in range(40):
        off_ns = score.start(turn) * 0.05e9 - pulse.shift_ns
        pulse.learn(turn, off_ns)
    assert abs(off_ns) < NS_PER_MS
    assert pulse.at(score.start(40)) == pytest.approx(score.start(40) * 1.05e9, abs=NS_PER_MS)
    assert pulse.beats(Ns(round(score.start(40) * 1.05e9))) == pytest.approx(score.start(40), abs=0.001)
    ahead = pulse.moved_ns(40, 42, 0) - pulse.moved_ns(40, 40, 0)
    assert ahead == pytest.approx(8 * 0.05e9, rel=0.02)
