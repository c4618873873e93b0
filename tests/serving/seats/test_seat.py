"""A seat: what is heard of one chanter, when it goes and comes back, and who may change it when."""

import asyncio
import logging
from pathlib import Path

import mido
import pytest

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS
from chanterd.serving.seats.practising import Practising
from chanterd.serving.seats.seat import BREATH_NS, FAULT
from tests.serving.played_seat import HandSource, Sitting, rep_line

GRIP = "grip from B to C"


def test_a_page_shows_what_sounds(sitting: Sitting) -> None:
    """Each note with its stamp, the state says what sounds now, and a silence is shown once it lasts."""
    at_ns = sitting.now_ns + 5
    sitting.play([(Note.E, at_ns)])
    assert (sitting.of("note")[-1]["note"], sitting.of("note")[-1]["at_ns"]) == ("E", at_ns)
    assert sitting.seat.shown()["chanter"]["sounding"] == "E"
    sitting.source.release(at_ns + 1000)
    sitting.until(at_ns + 1000 + BREATH_NS)
    assert sitting.of("note")[-1]["note"] == "E"
    sitting.until(sitting.now_ns + 40 * NS_PER_MS)
    assert (sitting.of("note")[-1]["note"], sitting.of("note")[-1]["at_ns"]) == (None, at_ns + 1000)
    assert sitting.seat.shown()["chanter"]["sounding"] is None


def test_a_gap_between_two_notes_is_no_silence(sitting: Sitting) -> None:
    """A chanter that releases a note 10 ms before the next does not make the page flicker."""
    at_ns = sitting.now_ns
    sitting.play([(Note.E, at_ns)])
    sitting.source.release(at_ns + 100 * NS_PER_MS)
    sitting.play([(Note.F, at_ns + 110 * NS_PER_MS)])
    sitting.until(at_ns + 300 * NS_PER_MS)
    assert [frame["note"] for frame in sitting.of("note")] == ["E", "F"]


def test_a_bounce_is_not_shown_and_a_stray_number_is(sitting: Sitting) -> None:
    """The electronics' second try brings no frame; a number of no note of the scale is shown as it is."""
    at_ns = sitting.now_ns
    sitting.play([(Note.E, at_ns), (Note.E, at_ns + 4 * NS_PER_MS)])
    sitting.source.send(mido.Message("note_on", note=30), at_ns + 50 * NS_PER_MS)
    sitting.settle()
    assert [(frame["note"], frame.get("midi")) for frame in sitting.of("note")] == [("E", None), (None, 30)]


def test_an_unplugged_chanter_falls_silent_and_what_it_played_stays(sitting: Sitting) -> None:
    """The state goes to gone and back to ready in the midst of a run; the reps before and after are judged."""
    sitting.practise(GRIP, 60)
    cue = sitting.cue()
    sitting.play(rep_line(cue, 0))
    sitting.source.status("gone")
    sitting.settle()
    assert sitting.of("chanter")[-1]["chanter"]["state"] == "gone"
    assert sitting.of("chanter")[-1]["chanter"]["sounding"] is None
    sitting.until(cue.beat0_ns + cue.rep_ns + cue.rep_ns // 2)
    assert sitting.of("note")[-1]["note"] is None
    assert [(rep["rep"], rep["clean"]) for rep in sitting.of("rep")] == [(0, True)]
    sitting.source.status("ready")
    sitting.play(rep_line(cue, 2))
    sitting.until(cue.beat0_ns + 4 * cue.rep_ns)
    assert sitting.of("chanter")[-1]["chanter"]["state"] == "ready"
    reported = [(rep["rep"], rep["skipped"], rep["in_a_row"]) for rep in sitting.of("rep")[:3]]
    assert reported == [(0, False, 1), (1, True, 1), (2, False, 2)]


def test_a_take_that_is_over_ends_the_run_and_says_so(sitting: Sitting) -> None:
    """The last rep is judged, the run ends, and the status stays 'ended' until another run starts."""
    sitting.practise(GRIP, 60)
    sitting.play(rep_line(sitting.cue()))
    cues = len(sitting.source.cues)
    sitting.source.status("ended")
    sitting.settle()
    assert [frame["kind"] for frame in sitting.frames[-3:]] == ["rep", "grid", "chanter"]
    assert (sitting.of("rep")[-1]["clean"], sitting.of("grid")[-1]["practice"]) == (True, None)
    # A cue taken back would make the take ready again at once, and the sentence be gone.
    assert len(sitting.source.cues) == cues
    assert sitting.seat.shown()["chanter"]["state"] == "ended"


def test_an_input_chosen_by_part_of_its_name_keeps_what_was_found_out(tmp_path: Path) -> None:
    """Profile and calibration are kept for the port as the system calls it, and used when it is found again."""
    source = HandSource("kitch")
    with Sitting(tmp_path, [source]) as sitting:
        source.name = "kitchen chanter 24:0"  # it was found
        source.status("ready")
        sitting.settle()
        sitting.seat.choose_profile("low A as B flat")
    source = HandSource("chanter")
    with Sitting(tmp_path, [source]) as sitting:
        assert sitting.seat.shown()["chanter"]["profile"] == "written pitch"
        source.name = "kitchen chanter 28:0"  # plugged in elsewhere
        source.status("ready")
        sitting.settle()
        assert sitting.of("chanter")[-1]["chanter"]["profile"] == "low A as B flat"


def test_an_unknown_profile_is_refused_with_a_guess(sitting: Sitting) -> None:
    """Nothing changes, and the sentence names what was meant."""
    with pytest.raises(ChanterdError, match="Did you mean 'written pitch'"):
        sitting.seat.choose_profile("writen pitch")
    assert sitting.seat.shown()["chanter"]["profile"] == "written pitch"


def test_another_profile_reads_the_next_note(sitting: Sitting) -> None:
    """What sounds is let go, since nobody knows what it is now; the next note is read in the new way."""
    sitting.play([(Note.LOW_A, sitting.now_ns)])
    sitting.seat.choose_profile("low A as B flat")
    sitting.until(sitting.now_ns + 100 * NS_PER_MS)
    assert sitting.of("note")[-1]["note"] is None
    sitting.source.send(mido.Message("note_on", note=Note.LOW_A.midi + 1), sitting.now_ns)
    sitting.settle()
    assert sitting.of("note")[-1]["note"] == "low A"


def test_what_an_old_input_still_sends_is_not_heard(sitting: Sitting) -> None:
    """After another input was chosen, a message of the old one that was under way changes nothing."""
    old, new = sitting.source, HandSource("new")
    sitting.run(sitting.seat.plug(new))
    before = len(sitting.of("note"))
    old.press(Note.E, sitting.now_ns)
    old.status("gone")
    sitting.settle()
    assert len(sitting.of("note")) == before
    assert sitting.seat.shown()["chanter"]["state"] == "ready"
    new.press(Note.F, sitting.now_ns)
    sitting.settle()
    assert sitting.of("note")[-1]["note"] == "F"


def test_plugging_during_a_run_ends_it(sitting: Sitting) -> None:
    """The run that the old input was played to is over, and the old input is stopped before the new one starts."""
    old, new = sitting.source, HandSource("new")
    sitting.practise(GRIP, 60)
    sitting.run(sitting.seat.plug(new))
    assert sitting.of("grid")[-1]["practice"] is None
    assert (old.stopped, new.started, new.cues) == (1, 1, [])


def test_two_pages_that_choose_an_input_at_once_start_each_once(sitting: Sitting) -> None:
    """The later one gets its way; neither is started twice, and what is not listened to is stopped."""
    first, second = HandSource("first"), HandSource("second")

    async def both() -> None:
        await asyncio.gather(sitting.seat.plug(first), sitting.seat.plug(second))

    sitting.run(both())
    assert sitting.seat.source.name == "second"
    assert [(one.started, one.stopped) for one in (sitting.source, first, second)] == [(1, 1), (1, 1), (1, 0)]


def test_only_what_goes_on_is_broken_off(sitting: Sitting) -> None:
    """Stopping a run while a calibration goes on leaves the calibration alone."""
    sitting.seat.calibrate()
    sitting.seat.end(Practising)
    calibration = sitting.seat.shown()["calibration"]
    assert calibration is not None
    assert calibration["state"] == "running"
    sitting.practise(GRIP, 60)
    assert sitting.of("calibration")[-1]["calibration"] is None


@pytest.mark.parametrize("where", ["hear", "tick"])
def test_a_fault_of_ours_ends_the_run_and_not_the_daemon(
    sitting: Sitting, where: str, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """It is logged with its trace and shown on the pages in a sentence; the next run works."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError

    sitting.practise(GRIP, 60)
    cue = sitting.cue()
    with monkeypatch.context() as patch, caplog.at_level(logging.ERROR):
        patch.setattr(Practising, where, fail)
        sitting.play(rep_line(cue)[:1])
        sitting.until(sitting.now_ns + 40 * NS_PER_MS)
    assert [frame["said"] for frame in sitting.of("error")] == [FAULT]
    assert "ZeroDivisionError" in caplog.text
    assert sitting.of("grid")[-1]["practice"] is None
    sitting.practise(GRIP, 60)
    sitting.play(rep_line(sitting.cue()))
    sitting.seat.end()
    assert sitting.of("rep")[-1]["clean"]


@pytest.mark.parametrize("fails", [("tick", "end"), ("finish", "end")])
def test_a_fault_that_strikes_again_at_the_end_stops_nothing_else(
    sitting: Sitting, fails: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Time goes on for every seat, the pages know that nothing is played any more, and the next run works."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError

    sitting.practise(GRIP, 60)
    with monkeypatch.context() as patch:
        for where in fails:
            patch.setattr(Practising, where, fail)
        if "finish" in fails:
            sitting.source.status("ended")
        sitting.until(sitting.now_ns + 40 * NS_PER_MS)
    assert [frame["said"] for frame in sitting.of("error")] == [FAULT]
    assert [frame["state"]["seats"][0]["practice"] for frame in sitting.of("resync")] == [None]
    sitting.practise(GRIP, 60)
    sitting.play(rep_line(sitting.cue()))
    sitting.seat.end()
    assert sitting.of("rep")[-1]["clean"]
