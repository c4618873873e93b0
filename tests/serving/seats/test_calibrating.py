"""The played calibration: measured, kept per chanter, taken off what is played later."""

from pathlib import Path

import pytest

from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS
from chanterd.practice.calibrate import CLICKS
from tests.serving.played_seat import HandSource, Sitting, rep_line

GRIP = "grip from B to C"


def answer(sitting: Sitting, off_ms: float, clicks: int = CLICKS) -> None:
    """Answer that many clicks that late, as the page asks: a G gracenote on the click, then low A."""
    grid = sitting.of("calibration")[-1]["calibration"]["grid"]
    click_ns = round(60e9 / grid["click_bpm"])
    for click in range(clicks):
        at_ns = grid["beat0_ns"] + click * click_ns + round(off_ms * NS_PER_MS)
        sitting.play([(Note.HIGH_G, at_ns), (Note.LOW_A, at_ns + 40 * NS_PER_MS)])
    sitting.until(grid["beat0_ns"] + CLICKS * click_ns)
    sitting.source.release(sitting.now_ns)


def deviation_of_a_rep(sitting: Sitting, off_ms: float) -> float:
    """What is shown of the beat of a rep that is played that late."""
    sitting.practise(GRIP, 60)
    cue = sitting.cue()
    sitting.play(rep_line(cue, off_ms=off_ms))
    sitting.until(cue.beat0_ns + 2 * cue.rep_ns)
    sitting.seat.end()
    deviation: float = sitting.of("rep")[-1]["anchor_ms"]
    return deviation


@pytest.mark.parametrize("off_ms", [62.0, -35.5])
def test_what_was_measured_is_taken_off_from_then_on(sitting: Sitting, off_ms: float) -> None:
    """Who is as late (or early) in a run as in the calibration is on the beat; before it, it showed."""
    assert deviation_of_a_rep(sitting, off_ms) == pytest.approx(off_ms)
    sitting.seat.calibrate()
    answer(sitting, off_ms)
    reported = sitting.of("calibration")[-1]["calibration"]
    assert (reported["state"], reported["heard"], reported["calibration_ms"]) == ("done", CLICKS, off_ms)
    assert deviation_of_a_rep(sitting, off_ms) == pytest.approx(0, abs=0.01)
    assert deviation_of_a_rep(sitting, off_ms + 9) == pytest.approx(9, abs=0.01)


def test_a_calibration_leaves_time_stamps_unchanged(sitting: Sitting) -> None:
    """A calibration is taken off the ms of a step and of a note, not off the stamp, which shows how old they are."""
    sitting.seat.calibrate()
    answer(sitting, 50.0)
    sitting.practise(GRIP, 60)
    [(note, at_ns), *_] = rep_line(sitting.cue(), off_ms=50.0)
    sitting.play([(note, at_ns)])
    step, sounding = sitting.of("step")[-1], sitting.of("note")[-1]
    assert (step["heard_ns"], step["onset_ms"]) == (at_ns, 0)
    assert (sounding["at_ns"], sounding["onset_ms"]) == (at_ns, 0)


def test_it_survives_a_restart_for_this_chanter_only(tmp_path: Path) -> None:
    """A restarted daemon takes it off the same chanter, and nothing off another one."""
    with Sitting(tmp_path, [HandSource("kitchen chanter")]) as sitting:
        sitting.seat.calibrate()
        answer(sitting, 41.0)
    with Sitting(tmp_path, [HandSource("kitchen chanter")]) as sitting:
        assert sitting.seat.shown()["chanter"]["calibration_ms"] == 41.0
        assert deviation_of_a_rep(sitting, 41.0) == pytest.approx(0, abs=0.01)
    with Sitting(tmp_path, [HandSource("another")]) as sitting:
        assert sitting.seat.shown()["chanter"]["calibration_ms"] is None
        assert deviation_of_a_rep(sitting, 41.0) == pytest.approx(41.0)


def test_a_second_calibration_measures_what_is_played_not_what_is_left(sitting: Sitting) -> None:
    """The first one is not taken off the notes of the second, so that it comes out the same."""
    for _ in range(2):
        sitting.seat.calibrate()
        answer(sitting, 30.0)
        assert sitting.of("calibration")[-1]["calibration"]["calibration_ms"] == 30.0


def test_breaking_off_changes_nothing(sitting: Sitting, tmp_path: Path) -> None:
    """After twelve of sixteen clicks nothing is kept and nothing taken off."""
    sitting.seat.calibrate()
    grid = sitting.of("calibration")[-1]["calibration"]["grid"]
    sitting.play([(Note.LOW_A, grid["beat0_ns"] + click * 1_000_000_000) for click in range(12)])
    sitting.seat.end()
    assert sitting.of("calibration")[-1]["calibration"] is None
    sitting.until(grid["beat0_ns"] + 20_000_000_000)
    assert sitting.seat.shown()["chanter"]["calibration_ms"] is None
    assert not (tmp_path / "inputs.json").exists()


def test_too_few_answers_fail_with_a_sentence(sitting: Sitting) -> None:
    """Nine of sixteen are too few: it says so, and what was known before stays."""
    sitting.seat.calibrate()
    answer(sitting, 20.0)
    sitting.seat.calibrate()
    answer(sitting, 80.0, clicks=9)
    reported = sitting.of("calibration")[-1]["calibration"]
    assert reported["state"] == "failed"
    assert "9 of 16" in reported["said"]
    assert sitting.seat.shown()["chanter"]["calibration_ms"] == 20.0


def test_a_calibration_that_cannot_be_kept_fails_and_is_not_used(sitting: Sitting, tmp_path: Path) -> None:
    """With no room to write, the sentence names the file, nothing is taken off, and the daemon lives on."""
    (tmp_path / "inputs.json.part").mkdir()
    sitting.seat.calibrate()
    answer(sitting, 50.0)
    reported = sitting.of("calibration")[-1]["calibration"]
    assert reported["state"] == "failed"
    assert "inputs.json" in reported["said"]
    assert sitting.seat.shown()["chanter"]["calibration_ms"] is None
    assert not sitting.of("error")


def test_a_note_held_over_the_end_is_no_bounce(sitting: Sitting) -> None:
    """A large calibration sets in while a note sounds: the same note played again soon after is heard as played."""
    sitting.seat.calibrate()
    answer(sitting, 200.0)
    at_ns = sitting.now_ns + 100 * NS_PER_MS
    before = len(sitting.of("note"))
    sitting.play([(Note.LOW_A, at_ns), (Note.B, at_ns + 100 * NS_PER_MS)])
    assert [frame["note"] for frame in sitting.of("note")[before:] if frame["note"]] == ["low A", "B"]
