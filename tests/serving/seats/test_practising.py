"""Practising: what a page is told of a run, from the count-in to the stop."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS
from chanterd.practice.ladder.rule import OFFERED, as_json
from chanterd.serving.seats.practising import cue_for
from tests.serving.hands import Sitting, at_tempo, rep_line

GRIP = "grip from B to C"


def start(sitting: Sitting, words: str = GRIP, click_bpm: float = 60.0) -> None:
    """Start a run."""
    sitting.practise(words, click_bpm)


def test_a_run_is_told_whole_before_anything_sounds(sitting: Sitting) -> None:
    """The grid frame names the drill in words, the step on the beat, and a click that is still to come."""
    start(sitting)
    told = sitting.of("grid")[-1]["practice"]
    assert told["asked"]["drill"] == GRIP
    # A grip is low G, D, low G, and its theme note is on the beat (common practice, no source).
    assert [step["note"] for step in told["asked"]["steps"]] == ["low G", "D", "low G", "C"]
    assert told["asked"]["steps"][told["asked"]["beat_step"]]["offset_ms"] == 0
    grid = told["grid"]
    first_click_ns = grid["beat0_ns"] - grid["count_in"] * 60e9 / grid["click_bpm"]
    assert first_click_ns > sitting.now_ns
    assert sitting.daemon.state()["seats"][0]["practice"] == told


@pytest.mark.parametrize("off_ms", [-23.0, 0.0, 17.5])
def test_every_step_is_told_the_moment_it_sounds(sitting: Sitting, off_ms: float) -> None:
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
        told = [(frame["onset_ms"], frame["deviation_ms"], frame["length_ms"]) for frame in final[1:]]
        assert told == [(step["onset_ms"], step["deviation_ms"], step["length_ms"]) for step in verdict["steps"]]


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
    """The D of the second rep shows that the first is over; its theme note was left out, which is told."""
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
    """No verdict, no step; the input is told that the cue is taken back, and the state has no run."""
    start(sitting)
    sitting.until(sitting.now_ns + 1_000_000_000)
    sitting.seat.end()
    sitting.until(sitting.now_ns + 20_000_000_000)
    assert sitting.kinds().count("grid") == 2
    assert not sitting.of("rep")
    assert not sitting.of("step")
    assert sitting.source.cues[-1] is None
    assert sitting.daemon.state()["seats"][0]["practice"] is None


def test_starting_anew_ends_the_run_before(sitting: Sitting) -> None:
    """The pages are told of the end of the old run, then of the new one with its own tempo and no reps."""
    start(sitting)
    cue = sitting.cue()
    sitting.play(rep_line(cue))
    start(sitting, "birl from E", 90.0)
    old, new = sitting.of("grid")[-2:]
    assert old["practice"] is None
    assert (new["practice"]["asked"]["drill"], new["practice"]["grid"]["click_bpm"]) == ("birl from E", 90.0)
    assert new["practice"]["reps"] == []
    assert sitting.of("rep")[0]["rep"] == 0


def test_up_the_scale_each_rep_is_told_by_its_own_notes(sitting: Sitting) -> None:
    """The grid frame holds what all reps ask in turn; each rep played comes back with its own lead and steps."""
    sitting.practise(GRIP, 60.0, layout="up and down the scale")
    told = sitting.of("grid")[-1]["practice"]
    sequence = told["sequence"]
    assert (told["drill"], told["asked"]) == (GRIP, sequence[0])
    assert [one["lead"] for one in sequence[:4]] == ["low G", "low A", "B", "D"]
    # Rising without a gap, the lead has sounded as the theme before; after a gap in the way it is a new note.
    assert [one["lead_sounds"] for one in sequence[1:4]] == [False, False, True]
    assert "not played there: from C to D" in told["left_out"]
    cue = sitting.cue()
    for rep in range(len(sequence) + 2):
        sitting.play(rep_line(cue, rep))
    reps = sitting.of("rep")
    assert len(reps) > len(sequence)
    for one in reps:
        asked = sequence[one["rep"] % len(sequence)]
        assert one["lead"]["note"] == asked["lead"]
        assert [step["note"] for step in one["steps"]] == [step["note"] for step in asked["steps"]]
        assert one["clean"], one


def test_reps_that_are_rested_are_told_and_not_counted(sitting: Sitting) -> None:
    """Two reps of silence bring two verdicts 'Not played.', and the row of clean ones goes on after them."""
    start(sitting)
    cue = sitting.cue()
    sitting.play(rep_line(cue, 0))
    sitting.play(rep_line(cue, 3))
    sitting.until(cue.beat0_ns + 5 * cue.rep_ns)
    told = [(one["rep"], one["skipped"], one["in_a_row"]) for one in sitting.of("rep")][:4]
    assert told == [(0, False, 1), (1, True, 1), (2, True, 1), (3, False, 2)]


def test_a_step_that_cannot_sound_is_not_cued(sitting: Sitting) -> None:
    """A grip from low G begins with the note that is sounding already: an input that performs leaves it out."""
    start(sitting, "grip from low G to B")
    practising = sitting.seat._activity
    cue = cue_for(practising.run)  # type: ignore[union-attr]
    # Two equal notes in a row cannot be sounded (common practice, no source).
    assert [note.words for note in cue.phrase(0).notes] == ["low G", "D", "low G", "B"]
    assert len(cue.phrase(0).notes) == len(cue.phrase(0).offsets_ns)


def test_what_is_kept_back_is_still_sent_and_said_to_be(sitting: Sitting) -> None:
    """Other programs get every step and verdict; the page is told first which reps it may not show yet."""
    sitting.practise(GRIP, 60.0, feedback="every other")
    cue = sitting.cue()
    for rep in range(3):
        sitting.play(rep_line(cue, rep))
    sitting.until(cue.beat0_ns + 4 * cue.rep_ns)
    assert [verdict["rep"] for verdict in sitting.of("rep")][:3] == [0, 1, 2]
    assert len([frame for frame in sitting.of("step") if frame["final"]]) >= 15
    told = [frame for frame in sitting.frames if frame["kind"] in ("feedback", "rep")][:6]
    assert [frame["kind"] for frame in told] == ["feedback", "rep"] * 3
    assert [frame["feedback"]["withheld"] for frame in told[::2]] == [[], [1], [1]]
    assert sitting.daemon.state()["seats"][0]["practice"]["feedback"]["withheld"] == [1]  # type: ignore[index]
    sitting.seat.end()
    last = [frame for frame in sitting.frames if frame["kind"] in ("feedback", "grid")][-2:]
    assert [frame["kind"] for frame in last] == ["feedback", "grid"]
    assert last[0]["feedback"]["withheld"] == []


def test_a_guess_is_answered_with_the_truth(sitting: Sitting) -> None:
    """The rep is asked about once it is judged; the answer of the player brings the truth to every page."""
    sitting.practise(GRIP, 60.0, feedback="say first")
    cue = sitting.cue()
    sitting.play(rep_line(cue, 0, off_ms=60.0))
    sitting.until(cue.beat0_ns + round(1.4 * cue.rep_ns))
    assert sitting.of("feedback")[-1]["feedback"]["ask"] == 0
    sitting.seat.guess(0, "late")
    told = sitting.of("feedback")[-1]["feedback"]
    assert (told["said"], told["ask"], told["withheld"]) == ("Right: 60 ms late.", None, [])
    assert told["guesses"] == {"said": 1, "right": 1, "wrong_by_ms": None}


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


def test_a_ladder_tells_every_rep(sitting: Sitting) -> None:
    """It shows by its next tempo what each rep was: to keep reps back beside it is refused, and changes nothing."""
    with pytest.raises(ChanterdError, match="A ladder shows every rep"):
        sitting.practise(GRIP, 60.0, ladder=as_json(OFFERED), feedback="after five")
    assert not sitting.of("grid")


def test_a_run_without_the_click_tells_how_the_tempo_was_kept(sitting: Sitting) -> None:
    """The grid says that the click stops; the last frame has the tempo, and a warning since the reps are few."""
    sitting.practise(GRIP, 120.0, click_off=True)
    assert sitting.of("grid")[-1]["practice"]["grid"]["click_off"] is True
    cue = sitting.cue()
    assert cue.click_off
    for rep in range(12):
        late_ms = 20.0 * rep + (-8, 5, 3, -4, 7)[rep % 5]
        sitting.play(rep_line(cue, rep, off_ms=late_ms))
    sitting.seat.end()
    told = sitting.of("grid")[-1]
    assert told["practice"] is None
    # 1000 ms a rep were asked, 1020 were played.
    assert told["continuation"]["kept_bpm"] == pytest.approx(120 / 1.02, abs=0.5)
    assert told["continuation"]["intervals"] == 11
    assert told["continuation"]["sure"] is False
    assert "early or late" not in str(told["remarks"])


def test_with_the_click_nothing_is_told_of_it(sitting: Sitting) -> None:
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
    """A grip and then a taorluath as asked: the low Gs are as long in both, and that is told under the second run."""
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
    told = [one["remarks"]["steady"] for one in sitting.of("grid") if "remarks" in one]
    assert len(told) == 2
    assert not any("in every ornament" in said for said in told[1])


def test_a_run_that_is_over_is_told_to_a_page_that_comes_later(sitting: Sitting) -> None:
    """Its reps, counts and remarks stand in the state until something else begins, or somebody else sits down."""
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
def test_it_is_told_when_the_beat_cannot_be_followed(sitting: Sitting, times: float, lost: int) -> None:
    """Without the click, beyond the tempi that are borne: once, in the state too, and its figures are called unsure."""
    sitting.practise(GRIP, 60.0, click_off=True)
    sitting.play(at_tempo(sitting.cue(), 16, times))
    told = [one["doubt"] for one in sitting.of("doubt")]
    doubt = (
        "Your beat cannot be followed just now. When 60 is asked, 49 to 67 clicks a minute can be: "
        "set the tempo that you mean to keep, then start again."
    )
    assert told == [doubt] * lost
    assert sitting.daemon.state()["seats"][0]["practice"]["doubt"] == doubt * lost  # type: ignore[index]
    sitting.seat.end()
    said = sitting.of("grid")[-1]["continuation"]["said"]
    assert (said[0] == "Part of this run could not be followed, so what stands here is unsure.") == lost


def test_to_the_click_no_beat_is_lost(sitting: Sitting) -> None:
    """The grid is the click's, however far off the player is."""
    start(sitting)
    sitting.play(at_tempo(sitting.cue(), 12, 1.3))
    assert not sitting.of("doubt")
