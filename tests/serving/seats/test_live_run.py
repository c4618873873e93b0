"""A run while it is played: what the pages get of each step and each rep."""

import pytest

from chanterd.music.units import NS_PER_MS
from tests.serving.played_seat import Sitting, rep_line

GRIP = "grip from B to C"


def start(sitting: Sitting, words: str = GRIP, click_bpm: float = 60.0) -> None:
    """Start a run."""
    sitting.practise(words, click_bpm)


@pytest.mark.parametrize("off_ms", [-23.0, 0.0, 17.5])
def test_every_step_is_shown_the_moment_it_sounds(sitting: Sitting, off_ms: float) -> None:
    """Each onset brings a provisional step with its deviation, + = late, before the next note comes."""
    start(sitting)
    cue = sitting.cue()
    for note, at_ns in rep_line(cue, off_ms=off_ms):
        before = len(sitting.frames)
        sitting.play([(note, at_ns)])
        steps = [
            frame for frame in sitting.frames[before:] if frame["kind"] == "step" and frame["onset_ms"] is not None
        ]
        assert (steps[-1]["note"], steps[-1]["final"], steps[-1]["deviation_ms"]) == (note.words, False, off_ms)
        assert steps[-1]["heard_ns"] == at_ns


def test_the_verdict_repeats_the_final_steps(sitting: Sitting) -> None:
    """A rep's final step frames and its verdict carry the same figures, and the counts go on from rep to rep."""
    start(sitting)
    cue = sitting.cue()
    for rep in range(3):
        sitting.play(rep_line(cue, rep, off_ms=4.0))
    sitting.until(cue.beat0_ns + 4 * cue.rep_ns)
    verdicts = sitting.of("rep")[:3]
    assert [verdict["rep"] for verdict in verdicts] == [0, 1, 2]
    assert [verdict["said"] for verdict in verdicts] == ["Clean.", "Clean. 2 in a row.", "Clean. 3 in a row."]
    assert [(one["in_a_row"], one["clean_count"], one["played_count"]) for one in verdicts] == [
        (n, n, n) for n in (1, 2, 3)
    ]
    for verdict in verdicts:
        final = [frame for frame in sitting.of("step") if frame["final"] and frame["rep"] == verdict["rep"]]
        assert [frame["step"] for frame in final] == [-1, 0, 1, 2, 3]
        shown = [(frame["onset_ms"], frame["deviation_ms"], frame["length_ms"]) for frame in final[1:]]
        assert shown == [(step["onset_ms"], step["deviation_ms"], step["length_ms"]) for step in verdict["steps"]]


def test_the_verdict_comes_while_the_ornament_is_still_in_the_ear(sitting: Sitting) -> None:
    """First provisionally, 300 ms after the theme note at the latest, then for good: the same rep, the same words."""
    start(sitting)
    cue = sitting.cue()
    line = rep_line(cue)
    sitting.play(line)
    sitting.until(line[-1][1] + 300 * NS_PER_MS)
    [first] = [frame for frame in sitting.frames if frame["kind"] == "rep"]
    assert (first["final"], first["said"], first["in_a_row"], first["played_count"]) == (False, "Clean.", 1, 1)
    assert sitting.daemon.state()["seats"][0]["practice"]["played"] == 0  # type: ignore[index]
    sitting.until(cue.beat0_ns + 2 * cue.rep_ns)
    [final] = sitting.of("rep")
    assert (final["rep"], final["said"], final["steps"]) == (first["rep"], first["said"], first["steps"])


def test_each_rep_is_placed_in_time_before_it_starts(sitting: Sitting) -> None:
    """The first two with the run; then each as the one before it starts. A later page gets the present two."""
    start(sitting)
    cue, practice = sitting.cue(), sitting.seat.practice()
    assert practice is not None
    assert [one["rep"] for one in practice["segments"]] == [0, 1]
    sitting.until(cue.beat0_ns + cue.rep_ns - 50 * NS_PER_MS)
    assert sitting.of("segment") == []
    sitting.until(cue.beat0_ns + 4 * cue.rep_ns + 50 * NS_PER_MS)
    segments = [frame["segment"] for frame in sitting.of("segment")]
    assert [one["rep"] for one in segments] == [2, 3, 4, 5]
    rep_ms = cue.rep_ns / NS_PER_MS
    assert [one["starts_ms"] for one in segments] == [rep * rep_ms for rep in (2, 3, 4, 5)]
    practice = sitting.seat.practice()
    assert practice is not None
    assert [one["rep"] for one in practice["segments"]] == [4, 5]


def test_what_is_kept_back_has_no_preview(sitting: Sitting) -> None:
    """With feedback on every other rep no page gets a verdict before its time, nor a first one that gives it away."""
    sitting.practise(GRIP, 60.0, feedback="every other")
    cue = sitting.cue()
    sitting.play(rep_line(cue))
    sitting.until(cue.beat0_ns + 2 * cue.rep_ns)
    assert [frame["final"] for frame in sitting.frames if frame["kind"] == "rep"] == [True]


def test_a_rep_that_was_played_through_is_judged_though_the_player_stops_at_once(sitting: Sitting) -> None:
    """Stopping on the theme note gives the verdict, and counts it; nothing that was heard is lost."""
    start(sitting)
    sitting.play(rep_line(sitting.cue()))
    sitting.seat.end()
    assert [frame["kind"] for frame in sitting.frames[-2:]] == ["rep", "grid"]
    assert (sitting.of("rep")[-1]["clean"], sitting.of("rep")[-1]["played_count"]) == (True, 1)
    assert sitting.of("grid")[-1]["practice"] is None


def test_a_rep_that_was_over_is_judged_though_the_player_stops_before_the_next_tick(sitting: Sitting) -> None:
    """The D of the second rep shows that the first is over; its theme note was left out, which is reported."""
    start(sitting)
    cue = sitting.cue()
    sitting.play([*rep_line(cue)[:-1], *rep_line(cue, 1)[:3]])
    assert not sitting.of("rep")
    sitting.seat.end()
    assert [verdict["said"] for verdict in sitting.of("rep")] == ["You left out the C."]


def test_a_rep_broken_off_in_the_middle_is_not_held_against_the_player(sitting: Sitting) -> None:
    """Stopping after the first low G of the second rep brings no verdict on it, and leaves the first one's counts."""
    start(sitting)
    cue = sitting.cue()
    sitting.play(rep_line(cue, 0) + rep_line(cue, 1)[:2])
    sitting.seat.end()
    assert [verdict["rep"] for verdict in sitting.of("rep")] == [0]
    assert sitting.of("rep")[0]["in_a_row"] == 1


def test_the_counts_of_a_verdict_are_those_of_its_own_rep(sitting: Sitting) -> None:
    """Stopping in a rep that was begun far too early closes two at once; the first one's counts know only of itself."""
    start(sitting)
    cue = sitting.cue()
    sitting.play(rep_line(cue, 0) + rep_line(cue, 1)[:1] + rep_line(cue, 1, off_ms=-600.0)[1:4])
    assert not sitting.of("rep")
    sitting.seat.end()
    [verdict] = sitting.of("rep")
    assert (verdict["rep"], verdict["in_a_row"], verdict["played_count"]) == (0, 1, 1)
