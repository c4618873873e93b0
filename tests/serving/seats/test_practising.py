"""Practising: what a page shows of a run, from the count-in to the stop."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS
from chanterd.practice.ladder.rule import OFFERED, as_json
from tests.serving.played_seat import Sitting, at_tempo, rep_line

GRIP = "grip from B to C"


def start(sitting: Sitting, words: str = GRIP, click_bpm: float = 60.0) -> None:
    """Start a run."""
    sitting.practise(words, click_bpm)


def test_a_run_is_shown_whole_before_anything_sounds(sitting: Sitting) -> None:
    """The grid frame names the drill in words, the step on the beat, and a click that is still to come."""
    start(sitting)
    reported = sitting.of("grid")[-1]["practice"]
    assert reported["asked"]["drill"] == GRIP
    # A grip is low G, D, low G, and its theme note is on the beat (common practice, no source).
    assert [step["note"] for step in reported["asked"]["steps"]] == ["low G", "D", "low G", "C"]
    assert reported["asked"]["steps"][reported["asked"]["beat_step"]]["offset_ms"] == 0
    grid = reported["grid"]
    first_click_ns = grid["beat0_ns"] - grid["count_in"] * 60e9 / grid["click_bpm"]
    assert first_click_ns > sitting.now_ns
    assert sitting.daemon.state()["seats"][0]["practice"] == reported


def test_what_is_played_in_the_count_in_is_no_part_of_the_first_rep(sitting: Sitting) -> None:
    """Warming up before the lead is due is shown as it sounds, and is no extra note of rep 0."""
    start(sitting)
    cue = sitting.cue()
    early = [(note, cue.beat0_ns - clicks * 1000 * NS_PER_MS) for note, clicks in ((Note.E, 3), (Note.HIGH_A, 2))]
    sitting.play(early)
    assert [frame["note"] for frame in sitting.of("note")] == ["E", "high A"]
    assert not sitting.of("step")
    sitting.play(rep_line(cue))
    sitting.until(cue.beat0_ns + 2 * cue.rep_ns)
    assert (sitting.of("rep")[0]["clean"], sitting.of("rep")[0]["extras"]) == (True, [])


def test_a_run_stopped_in_the_count_in_leaves_nothing_behind(sitting: Sitting) -> None:
    """No verdict, no step; the input hears that the cue is withdrawn, and the state has no run."""
    start(sitting)
    sitting.until(sitting.now_ns + 1_000_000_000)
    sitting.seat.end()
    sitting.until(sitting.now_ns + 20_000_000_000)
    assert sitting.kinds().count("grid") == 2
    assert not sitting.of("rep")
    assert not sitting.of("step")
    assert sitting.source.cues[-1] is None
    assert sitting.daemon.state()["seats"][0]["practice"] is None


def test_starting_again_ends_the_run_before(sitting: Sitting) -> None:
    """The pages show the end of the old run, then of the new one with its own tempo and no reps."""
    start(sitting)
    cue = sitting.cue()
    sitting.play(rep_line(cue))
    start(sitting, "birl from E", 90.0)
    old, new = sitting.of("grid")[-2:]
    assert old["practice"] is None
    assert (new["practice"]["asked"]["drill"], new["practice"]["grid"]["click_bpm"]) == ("birl from E", 90.0)
    assert new["practice"]["reps"] == []
    assert sitting.of("rep")[0]["rep"] == 0


def test_rested_reps_are_shown_but_not_counted(sitting: Sitting) -> None:
    """Two reps of silence bring two verdicts 'Not played.', and the row of clean ones goes on after them."""
    start(sitting)
    cue = sitting.cue()
    sitting.play(rep_line(cue, 0))
    sitting.play(rep_line(cue, 3))
    sitting.until(cue.beat0_ns + 5 * cue.rep_ns)
    reported = [(one["rep"], one["skipped"], one["in_a_row"]) for one in sitting.of("rep")][:4]
    assert reported == [(0, False, 1), (1, True, 1), (2, True, 1), (3, False, 2)]


def test_what_is_kept_back_is_still_sent_and_said_to_be(sitting: Sitting) -> None:
    """Other programs get every step and verdict; the page learns first which reps it may not show yet."""
    sitting.practise(GRIP, 60.0, feedback="every other")
    cue = sitting.cue()
    for rep in range(3):
        sitting.play(rep_line(cue, rep))
    sitting.until(cue.beat0_ns + 4 * cue.rep_ns)
    assert [verdict["rep"] for verdict in sitting.of("rep")][:3] == [0, 1, 2]
    assert len([frame for frame in sitting.of("step") if frame["final"]]) >= 15
    reported = [frame for frame in sitting.frames if frame["kind"] in ("feedback", "rep")][:6]
    assert [frame["kind"] for frame in reported] == ["feedback", "rep"] * 3
    assert [frame["feedback"]["withheld"] for frame in reported[::2]] == [[], [1], [1]]
    assert sitting.daemon.state()["seats"][0]["practice"]["feedback"]["withheld"] == [1]  # type: ignore[index]
    sitting.seat.end()
    last = [frame for frame in sitting.frames if frame["kind"] in ("feedback", "grid")][-2:]
    assert [frame["kind"] for frame in last] == ["feedback", "grid"]
    assert last[0]["feedback"]["withheld"] == []


def test_a_guess_is_answered_with_the_truth(sitting: Sitting) -> None:
    """The question appears once the rep is judged; the player's answer brings the truth to every page."""
    sitting.practise(GRIP, 60.0, feedback="say first")
    cue = sitting.cue()
    sitting.play(rep_line(cue, 0, off_ms=60.0))
    sitting.until(cue.beat0_ns + round(1.4 * cue.rep_ns))
    assert sitting.of("feedback")[-1]["feedback"]["ask"] == 0
    sitting.seat.guess(0, "late")
    reported = sitting.of("feedback")[-1]["feedback"]
    assert (reported["said"], reported["ask"], reported["withheld"]) == ("Right: 60 ms late.", None, [])
    assert reported["guesses"] == {"said": 1, "right": 1, "wrong_by_ms": None}


def test_nothing_is_said_of_feedback_where_nothing_is_kept_back(sitting: Sitting) -> None:
    """Under "every rep" there is no frame more than there was."""
    start(sitting)
    sitting.play(rep_line(sitting.cue()))
    sitting.seat.end()
    assert not sitting.of("feedback")


def test_a_guess_without_a_run_is_refused(sitting: Sitting) -> None:
    """One sentence with the mend."""
    with pytest.raises(ChanterdError, match="no run is going on"):
        sitting.seat.guess(0, "late")


def test_a_ladder_shows_every_rep(sitting: Sitting) -> None:
    """It shows by its next tempo what each rep was: to keep reps back beside it is refused, and changes nothing."""
    with pytest.raises(ChanterdError, match="A ladder shows every rep"):
        sitting.practise(GRIP, 60.0, ladder=as_json(OFFERED), feedback="after five")
    assert not sitting.of("grid")


def test_a_run_without_the_click_shows_how_the_tempo_was_kept(sitting: Sitting) -> None:
    """The grid says that the click stops; the last frame has the tempo, and a warning since the reps are few."""
    sitting.practise(GRIP, 120.0, click_off=True)
    assert sitting.of("grid")[-1]["practice"]["grid"]["click_off"] is True
    cue = sitting.cue()
    assert cue.click_off
    for rep in range(12):
        late_ms = 20.0 * rep + (-8, 5, 3, -4, 7)[rep % 5]
        sitting.play(rep_line(cue, rep, off_ms=late_ms))
    sitting.seat.end()
    reported = sitting.of("grid")[-1]
    assert reported["practice"] is None
    # 1000 ms a rep were asked, 1020 were played.
    assert reported["continuation"]["kept_bpm"] == pytest.approx(120 / 1.02, abs=0.5)
    assert reported["continuation"]["intervals"] == 11
    assert reported["continuation"]["sure"] is False
    assert "early or late" not in str(reported["remarks"])


def test_with_the_click_the_tempo_kept_is_not_shown(sitting: Sitting) -> None:
    """The model behind it does not hold there."""
    start(sitting)
    sitting.play(rep_line(sitting.cue()))
    sitting.seat.end()
    assert "continuation" not in sitting.of("grid")[-1]


def test_a_ladder_keeps_its_click(sitting: Sitting) -> None:
    """Refused in one sentence."""
    with pytest.raises(ChanterdError, match="A ladder needs its click"):
        sitting.practise(GRIP, 60.0, ladder=as_json(OFFERED), click_off=True)


def test_a_run_that_ended_is_summed_up(sitting: Sitting) -> None:
    """With a teacher's remarks over all its reps, not the last dozen only; with nothing played there are none."""
    start(sitting)
    cue = sitting.cue()
    for rep in range(15):
        sitting.play(rep_line(cue, rep, off_ms=4.0))
    sitting.until(cue.beat0_ns + 16 * cue.rep_ns)
    sitting.daemon.seat(None).end()
    remarks = sitting.of("grid")[-1]["remarks"]
    assert "You are on the click: usually 4 ms late, too little to hear." in remarks["steady"]
    assert remarks["unsteady"] == []
    assert remarks["next"] == {
        "said": "You are ready for more: the same at 64.",
        "drill": GRIP,
        "click_bpm": 64.0,
    }
    start(sitting)
    sitting.daemon.seat(None).end()
    assert "remarks" not in sitting.of("grid")[-1]


def test_the_hand_is_held_against_itself_over_the_runs_of_a_seat(sitting: Sitting) -> None:
    """A grip and then a taorluath, both exact: the low Gs are as long in both, and the second run's remarks say so."""
    for words in (GRIP, "taorluath from C to low A"):
        start(sitting, words)
        cue = sitting.cue()
        for rep in range(8):
            sitting.play(rep_line(cue, rep))
        sitting.until(cue.beat0_ns + 9 * cue.rep_ns)
        sitting.daemon.seat(None).end()
    first, second = (one["remarks"] for one in sitting.of("grid") if "remarks" in one)
    same = "Your held notes are about 60 ms in every ornament."
    assert same not in first["steady"]
    assert same in second["steady"]


def test_the_hand_of_another_is_left_out(sitting: Sitting) -> None:
    """Somebody else sits down: the hand of whoever sat there before is not held against theirs."""
    for words in (GRIP, "taorluath from C to low A"):
        start(sitting, words)
        cue = sitting.cue()
        for rep in range(8):
            sitting.play(rep_line(cue, rep))
        sitting.until(cue.beat0_ns + 9 * cue.rep_ns)
        ailsa = sitting.run(sitting.daemon.roster.create(words[:9]))
        sitting.run(sitting.daemon.roster.choose(sitting.seat, ailsa.number))
    reported = [one["remarks"]["steady"] for one in sitting.of("grid") if "remarks" in one]
    assert len(reported) == 2
    assert not any("in every ornament" in said for said in reported[1])


def test_a_page_opened_later_shows_the_run_that_is_over(sitting: Sitting) -> None:
    """Its reps, counts and remarks are in the state until something else begins, or somebody else sits down."""
    start(sitting)
    sitting.play(rep_line(sitting.cue()))
    assert sitting.seat.shown()["ended"] is None
    sitting.seat.end()
    ended = sitting.seat.shown()["ended"]
    assert ended is not None
    assert (ended["practice"]["drill"], ended["practice"]["played"]) == (GRIP, 1)
    assert ended["practice"]["reps"][0]["rep"] == 0
    assert ended["remarks"] == sitting.of("grid")[-1]["remarks"]
    start(sitting)
    assert sitting.seat.shown()["ended"] is None
    sitting.seat.end()
    ailsa = sitting.run(sitting.daemon.roster.create("Ailsa"))
    sitting.run(sitting.daemon.roster.choose(sitting.seat, ailsa.number))
    assert sitting.seat.shown()["ended"] is None


@pytest.mark.parametrize(("times", "lost"), [(0.6, 1), (0.8, 0), (1.0, 0), (1.12, 0), (1.3, 1)])
def test_it_says_when_the_beat_cannot_be_followed(sitting: Sitting, times: float, lost: int) -> None:
    """Without the click, beyond the tempi that are borne: once, in the state too, and its figures are called unsure."""
    sitting.practise(GRIP, 60.0, click_off=True)
    sitting.play(at_tempo(sitting.cue(), 16, times))
    reported = [one["doubt"] for one in sitting.of("doubt")]
    doubt = "I've lost your beat; at 60 I can follow 49 to 67. Set the tempo you mean to keep, then start again."
    assert reported == [doubt] * lost
    assert sitting.daemon.state()["seats"][0]["practice"]["doubt"] == doubt * lost  # type: ignore[index]
    sitting.seat.end()
    said = sitting.of("grid")[-1]["continuation"]["said"]
    assert (said[0] == "I lost your beat for part of this run, so these figures are unsure.") == lost


def test_to_the_click_no_beat_is_lost(sitting: Sitting) -> None:
    """The grid is the click's, however far off the player is."""
    start(sitting)
    sitting.play(at_tempo(sitting.cue(), 12, 1.3))
    assert not sitting.of("doubt")
