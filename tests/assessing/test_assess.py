"""Assessing a take, end to end through the command line: files written with mido alone, findings known beforehand."""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

from tests.command_runner import Commands
from tests.written_takes import WRITTEN, write

GRIP = ((0.0, "B"), (840.0, "low G"), (900.0, "D"), (940.0, "low G"), (1000.0, "C"))
"""A grip from B to C as asked at 60: held steps 60 ms, the quick one 40, C on the beat."""
REP_MS = 2000.0
B_FLAT = {note: midi + 1 for note, midi in WRITTEN.items()}
"""Low A sounds as B flat: every number is one higher (common practice, no source)."""
TO_THE_MS = 1.0


@pytest.fixture
def chanterd(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Commands:
    """The command line."""
    return Commands(capfd, monkeypatch, tmp_path)


def reps(*played: Iterable[tuple[float, str | None]], first: int = 0) -> list[tuple[float, str | None]]:
    """Reps one after the other at 60 clicks a minute, in ms from the start."""
    return [(number * REP_MS + at, note) for number, rep in enumerate(played, first) for at, note in rep]


def moved(rep: Iterable[tuple[float, str]], *off_ms: float) -> list[tuple[float, str]]:
    """A rep with each note moved; + = late."""
    return [(at + off, note) for (at, note), off in zip(rep, off_ms, strict=True)]


def column(rep: dict[str, Any], key: str) -> list[Any]:
    """One field of every step."""
    return [step[key] for step in rep["steps"]]


def test_a_grip_played_exactly_is_clean_and_complete(chanterd: Commands, tmp_path: Path) -> None:
    """The whole object for one rep: what was asked, when it was expected, when it came, how long it was."""
    take = write(tmp_path / "a.mid", reps(GRIP, GRIP))
    shown = chanterd.assessed(take, "grip from B to C")
    assert (shown["drill"], shown["click_bpm"], shown["standard"]) == ("grip from B to C", 60.0, "steady")
    rep = shown["reps"][0]
    assert rep["lead"] == {
        "note": "B",
        "state": "played",
        "expected_ms": 0.0,
        "onset_ms": 0.0,
        "deviation_ms": 0.0,
        "length_ms": 840.0,
    }
    assert (rep["rep"], rep["clean"], rep["faults"], rep["anchor_ms"], rep["extras"]) == (0, True, [], 0.0, [])
    assert column(rep, "step") == [0, 1, 2, 3]
    assert column(rep, "note") == ["low G", "D", "low G", "C"]
    assert column(rep, "kind") == ["held", "quick", "held", "theme"]
    assert column(rep, "state") == ["played"] * 4
    assert column(rep, "expected_ms") == [840.0, 900.0, 940.0, 1000.0]
    assert column(rep, "length_ms") == [60.0, 40.0, 60.0, 1000.0]
    assert shown["summary"]["clean"] == shown["summary"]["played"] == 2


def test_each_rep_is_printed_in_a_line_of_its_own(chanterd: Commands, tmp_path: Path) -> None:
    """Of the one JSON object, so that a rep can be looked for; everything else is around them."""
    take = write(tmp_path / "a.mid", reps(GRIP, GRIP, GRIP))
    _, printed, _ = chanterd.run("assess", take, "--drill", "grip from B to C", "--json")
    lines = [line.rstrip(",") for line in printed.splitlines()]
    alone = [json.loads(line) for line in lines if line.startswith('{"rep":')]
    assert alone == json.loads(printed)["reps"]
    assert [one["rep"] for one in alone] == [0, 1, 2]


def test_offsets_are_found_to_the_millisecond(chanterd: Commands, tmp_path: Path) -> None:
    """Known offsets, early and late, on the lead, every step and the theme; the beat's own is the anchor."""
    offs = [(4.2, -3.0, 5.0, 2.0, 12.3), (-8.0, -20.0, -15.0, -11.0, -6.5), (0.0, 10.0, 18.0, 26.0, 31.0)]
    take = write(tmp_path / "a.mid", reps(*(moved(GRIP, *off) for off in offs)))
    shown = chanterd.assessed(take, "grip from B to C")
    for rep, off in zip(shown["reps"], offs, strict=True):
        found = [rep["lead"]["deviation_ms"], *column(rep, "deviation_ms")]
        assert found == pytest.approx(off, abs=TO_THE_MS)
        assert rep["anchor_ms"] == pytest.approx(off[-1], abs=TO_THE_MS)
        onsets = [rep["lead"]["onset_ms"], *column(rep, "onset_ms")]
        expected = [rep["rep"] * REP_MS + at for at, _ in moved(GRIP, *off)]
        assert onsets == pytest.approx(expected, abs=TO_THE_MS)


def test_a_crushed_step_is_reported_with_its_length(chanterd: Commands, tmp_path: Path) -> None:
    """11 ms are less than the order of two sounds needs (20 ms, Hirsh 1959, cited in Watson 2004)."""
    take = write(tmp_path / "a.mid", reps(moved(GRIP, 0, 0, 0, 49, 0)))
    rep = chanterd.assessed(take, "grip from B to C")["reps"][0]
    assert rep["steps"][2]["length_ms"] == pytest.approx(11, abs=TO_THE_MS)
    assert not rep["clean"]
    assert [(fault["fault"], fault["step"]) for fault in rep["faults"]] == [("crushed", 2)]
    assert rep["faults"][0]["said"] == "You crushed the second low G: 11 ms, too short to hear."
    assert rep["faults"][0]["drill"] == "grip from B to C, stage 1"
    assert rep["said"] == "You crushed the second low G: 11 ms, too short to hear."


def test_without_the_d_the_low_gs_melt_into_one(chanterd: Commands, tmp_path: Path) -> None:
    """The D is missing; the second low G could not sound after the first, so it is no fault of its own."""
    take = write(tmp_path / "a.mid", reps([GRIP[0], GRIP[1], GRIP[4]]))
    rep = chanterd.assessed(take, "grip from B to C")["reps"][0]
    assert column(rep, "state") == ["played", "missing", "merged", "played"]
    assert column(rep, "onset_ms") == [840.0, None, None, 1000.0]
    assert rep["steps"][0]["length_ms"] == pytest.approx(160, abs=TO_THE_MS)
    assert [fault["said"] for fault in rep["faults"]] == ["You left out the D gracenote."]


def test_a_beat_that_was_not_played_is_null(chanterd: Commands, tmp_path: Path) -> None:
    """The player stops before the theme note."""
    take = write(tmp_path / "a.mid", reps(GRIP[:4], GRIP))
    rep = chanterd.assessed(take, "grip from B to C")["reps"][0]
    assert rep["anchor_ms"] is None
    assert column(rep, "state") == ["played", "played", "played", "missing"]
    assert rep["said"] == "You left out the C."


def test_a_wrong_note_is_named(chanterd: Commands, tmp_path: Path) -> None:
    """An E in place of the D, with its own time and length."""
    take = write(tmp_path / "a.mid", reps([*GRIP[:2], (903.0, "E"), *GRIP[3:]]))
    rep = chanterd.assessed(take, "grip from B to C")["reps"][0]
    wrong = rep["steps"][1]
    assert (wrong["note"], wrong["state"], wrong["played_note"]) == ("D", "wrong note", "E")
    assert (wrong["deviation_ms"], wrong["length_ms"]) == pytest.approx((3, 37), abs=TO_THE_MS)
    assert [(fault["fault"], fault["step"]) for fault in rep["faults"]] == [("wrong note", 1)]
    assert rep["faults"][0]["said"] == "You played E instead of the D gracenote."


def test_a_crossing_noise_is_not_taken_for_a_wrong_note(chanterd: Commands, tmp_path: Path) -> None:
    """9 ms of low A between B and low G: the ring finger came before the little one (fingering from memory).

    An E, whose fingering is not between those two, is no such noise however short it is.
    """
    noisy = [GRIP[0], (831.0, "low A"), *GRIP[1:]]
    wrong = [GRIP[0], (831.0, "E"), *GRIP[1:]]
    shown = chanterd.assessed(write(tmp_path / "a.mid", reps(noisy, wrong)), "grip from B to C")
    first, second = shown["reps"]
    assert first["extras"] == [
        {"note": "low A", "onset_ms": 831.0, "length_ms": 9.0, "extra": "crossing noise"},
    ]
    assert first["clean"]
    assert column(first, "state") == ["played"] * 4
    assert first["lead"]["length_ms"] == pytest.approx(831, abs=TO_THE_MS)
    assert [(extra["note"], extra["extra"]) for extra in second["extras"]] == [("E", "extra note")]
    assert second["said"] == "Extra note: E, 9 ms."


def test_a_bounce_is_the_chanters_doing(chanterd: Commands, tmp_path: Path) -> None:
    """The same note again after 3 ms: listed, no fault, and the step's length is not cut by it."""
    bounced = [*GRIP[:3], (903.0, "D"), *GRIP[3:]]
    rep = chanterd.assessed(write(tmp_path / "a.mid", reps(bounced, GRIP)), "grip from B to C")["reps"][0]
    assert rep["clean"]
    assert [(extra["note"], extra["onset_ms"], extra["extra"]) for extra in rep["extras"]] == [("D", 903.0, "bounce")]
    assert column(rep, "length_ms") == pytest.approx([60, 40, 60, 1000], abs=TO_THE_MS)


@pytest.mark.parametrize(
    "how",
    [
        {"overlap_ms": 12.0},
        {"note_off": "velocity 0"},
        {"note_off": "velocity 0", "overlap_ms": 5.0},
        {"overlap_ms": -4.0},
        {"kind": 1},
        {"ticks": 480},
        {"ticks": 960, "kind": 1},
        {"numbers": B_FLAT},
        {"numbers": {note: midi - 12 for note, midi in WRITTEN.items()}},
    ],
    ids=str,
)
def test_how_the_chanter_and_the_file_say_it_makes_no_difference(
    chanterd: Commands, tmp_path: Path, how: dict[str, Any]
) -> None:
    """Overlaps, gaps, note-on with velocity 0, types 0 and 1, coarse ticks, other pitches: the same findings."""
    offs = (4.0, -3.0, 5.0, 2.0, 12.0)
    take = write(tmp_path / "a.mid", reps(moved(GRIP, *offs), GRIP), **how)
    shown = chanterd.assessed(take, "grip from B to C")
    rep = shown["reps"][0]
    assert column(rep, "state") == ["played"] * 4
    assert column(rep, "deviation_ms") == pytest.approx(offs[1:], abs=TO_THE_MS)
    assert column(rep, "length_ms")[:3] == pytest.approx([68, 37, 70], abs=2 * TO_THE_MS)
    assert [rep["said"] for rep in shown["reps"]] == ["Clean.", "Clean. 2 in a row."]


def test_the_chanter_is_recognised_by_its_notes(chanterd: Commands, tmp_path: Path) -> None:
    """A take in low A = B flat is heard with that profile, and with the one named if one is named."""
    take = write(tmp_path / "a.mid", reps(GRIP), numbers=B_FLAT)
    assert chanterd.assessed(take, "grip from B to C")["chanter"] == "low A as B flat"
    assert chanterd.assessed(take, "grip from B to C", "--chanter", "low A as B flat")["reps"][0]["clean"]


def test_of_two_chanters_that_fit_the_drill_decides(chanterd: Commands, tmp_path: Path) -> None:
    """High G and high A an octave lower have the numbers of low G and low A: asked for, they are heard as such."""
    lower = {note: midi - 12 for note, midi in WRITTEN.items()}
    doubling = [(0.0, "high G"), (1000.0, "high A"), (1060.0, "high G"), (1100.0, "high A")]
    take = write(tmp_path / "a.mid", reps(doubling), numbers=lower)
    shown = chanterd.assessed(take, "doubling from high G to high A")
    assert shown["chanter"] == "an octave lower"
    assert column(shown["reps"][0], "state") == ["played"] * 3


def test_without_a_click_the_files_own_tempo_counts(chanterd: Commands, tmp_path: Path) -> None:
    """480 ticks, tempo 72: a click is 833.3 ms, and everything is expected by it."""
    played = [(at / 72 * 60 + 3.0, note) for at, note in reps(GRIP, GRIP)]
    shown = chanterd.assessed(write(tmp_path / "a.mid", played, bpm=72, ticks=480), "grip from B to C")
    assert shown["click_bpm"] == pytest.approx(72, abs=0.001)
    for rep in shown["reps"]:
        assert rep["steps"][3]["expected_ms"] == pytest.approx((2 * rep["rep"] + 1) * 60_000 / 72, abs=0.01)
        assert rep["anchor_ms"] == pytest.approx(3, abs=TO_THE_MS)


def test_a_click_that_is_named_comes_before_the_files_tempo(chanterd: Commands, tmp_path: Path) -> None:
    """A file without a tempo means 120 by its format's default; --click says what was really played to."""
    take = write(tmp_path / "a.mid", reps(GRIP), say_tempo=False)
    assert chanterd.assessed(take, "grip from B to C", "--click", "60")["reps"][0]["clean"]
    assert chanterd.assessed(take, "grip from B to C")["click_bpm"] == 120.0


def test_a_lead_equal_to_the_theme_before_it_goes_on_sounding(chanterd: Commands, tmp_path: Path) -> None:
    """Grip from C to C: from the second rep on the lead has no onset of its own, which is no fault."""
    rep = [(0.0, "C"), *GRIP[1:]]
    shown = chanterd.assessed(write(tmp_path / "a.mid", reps(rep, rep[1:], rep[1:])), "grip from C to C")
    assert [rep["lead"]["state"] for rep in shown["reps"]] == ["played", "merged", "merged"]
    assert shown["reps"][1]["lead"]["onset_ms"] is None
    assert [rep["said"] for rep in shown["reps"]] == ["Clean.", "Clean. 2 in a row.", "Clean. 3 in a row."]


def test_from_low_g_only_the_d_and_the_second_low_g_are_heard(chanterd: Commands, tmp_path: Path) -> None:
    """A grip from low G to low G: the first low G is sounding already and the theme melts into the second."""
    rep = [(0.0, "low G"), (960.0, "D"), (1000.0, "low G")]
    shown = chanterd.assessed(write(tmp_path / "a.mid", reps(rep, moved(rep[1:], 5, 7))), "grip from low G to low G")
    for one_rep, off in zip(shown["reps"], (0, 7), strict=True):
        assert column(one_rep, "state") == ["merged", "played", "played", "merged"]
        assert one_rep["clean"]
        assert one_rep["anchor_ms"] == pytest.approx(off, abs=TO_THE_MS)


def test_after_a_rest_the_right_rep_is_found_again(chanterd: Commands, tmp_path: Path) -> None:
    """Two reps, three reps of silence, two reps: never off by one."""
    take = write(tmp_path / "a.mid", [*reps(GRIP, GRIP), (3900.0, None), *reps(GRIP, GRIP, first=5)])
    shown = chanterd.assessed(take, "grip from B to C")
    assert [rep["skipped"] for rep in shown["reps"]] == [False, False, True, True, True, False, False]
    assert [rep["said"] for rep in shown["reps"]][2:6] == ["Not played."] * 3 + ["Clean. 3 in a row."]
    assert [rep["anchor_ms"] for rep in shown["reps"]] == [0.0, 0.0, None, None, None, 0.0, 0.0]
    assert (shown["summary"]["reps"], shown["summary"]["played"]) == (7, 4)


def test_a_rest_without_letting_go_is_a_rest_too(chanterd: Commands, tmp_path: Path) -> None:
    """The player holds the C for three reps and goes on."""
    shown = chanterd.assessed(write(tmp_path / "a.mid", reps(GRIP) + reps(GRIP, first=3)), "grip from B to C")
    assert [rep["skipped"] for rep in shown["reps"]] == [False, True, True, False]
    assert shown["reps"][3]["clean"]


def test_who_comes_in_late_is_on_the_rep_they_play(chanterd: Commands, tmp_path: Path) -> None:
    """Three reps are let pass; the fourth is the first one played, from its lead on, a little late or early."""
    for off in (0.0, 12.0, -12.0):
        played = reps(*[moved(GRIP, *[off] * 5)] * 2, first=3)
        shown = chanterd.assessed(write(tmp_path / "a.mid", played), "grip from B to C")
        assert [rep["skipped"] for rep in shown["reps"]] == [True, True, True, False, False]
        assert [rep["lead"]["deviation_ms"] for rep in shown["reps"]] == [None, None, None, off, off]
        assert shown["reps"][3]["said"] == "Clean."


def test_a_stage_of_the_build_up_is_assessed_as_itself(chanterd: Commands, tmp_path: Path) -> None:
    """Stage 1 of a grip is one plain low G that ends on the beat; asked for by its words."""
    take = write(tmp_path / "a.mid", reps([GRIP[0], GRIP[1], (1010.0, "C")]))
    shown = chanterd.assessed(take, "Grip from B to C, Stage 1")
    rep = shown["reps"][0]
    assert shown["drill"] == "grip from B to C, stage 1"
    assert [(step["note"], step["state"]) for step in rep["steps"]] == [("low G", "played"), ("C", "played")]
    assert rep["anchor_ms"] == pytest.approx(10, abs=TO_THE_MS)
    assert rep["clean"]


@pytest.mark.parametrize(
    ("words", "notes", "beat"),
    [
        ("doubling from low A to C", [(0, "low A"), (1000, "high G"), (1040, "C"), (1100, "D"), (1140, "C")], 0),
        ("taorluath from C to low A", [(0, "C"), *GRIP[1:4], (1000, "E"), (1040, "low A")], 3),
        ("throw on D from low A", [(0, "low A"), (940, "low G"), (1000, "D"), (1040, "C"), (1100, "D")], 1),
        ("G gracenote from C to low A", [(0, "C"), (1000, "high G"), (1040, "low A")], 0),
        (
            "birl from E",
            [(0, "E"), (940, "low A"), (1000, "low G"), (1040, "low A"), (1100, "low G"), (1140, "low A")],
            1,
        ),
    ],
)
def test_each_ornament_has_its_own_step_on_the_beat(
    chanterd: Commands, tmp_path: Path, words: str, notes: list[tuple[float, str]], beat: int
) -> None:
    """Everything 8 ms late: the step on the beat is expected on beat 1 and found 8 ms after it (common practice)."""
    shown = chanterd.assessed(write(tmp_path / "a.mid", [(at + 8.0, note) for at, note in notes]), words)
    rep = shown["reps"][0]
    assert rep["steps"][beat]["expected_ms"] == 1000.0
    assert rep["anchor_ms"] == pytest.approx(8, abs=TO_THE_MS)
    assert column(rep, "deviation_ms") == pytest.approx([8.0] * len(rep["steps"]), abs=TO_THE_MS)
    assert rep["clean"]


UP_THE_SCALE: list[tuple[float, str | None]] = [
    *((0.0, "low G"), (900.0, "D"), (940.0, "low G"), (1000.0, "low A")),
    *((2840.0, "low G"), (2900.0, "D"), (2940.0, "low G"), (3000.0, "B")),
    *((4840.0, "low G"), (4900.0, "D"), (4940.0, "low G"), (5000.0, "C")),
    *((6000.0, "D"), (6840.0, "low G"), (6900.0, "B"), (6940.0, "low G"), (7000.0, "E")),
]
"""Grips up the scale at 60, each on every second click: from low G, low A, B, and (to D there is none) from D."""


def test_each_rep_up_the_scale_has_its_own_notes(chanterd: Commands, tmp_path: Path) -> None:
    """Lead and steps are the rep's; a lead that is the theme before it goes on sounding; what is left out is said."""
    take = write(tmp_path / "a.mid", UP_THE_SCALE)
    words = ("--layout", "up and down the scale")
    shown = chanterd.assessed(take, "grip from B to C", *words)
    assert [(rep["lead"]["note"], rep["lead"]["state"], rep["steps"][-1]["note"]) for rep in shown["reps"]] == [
        ("low G", "played", "low A"),
        ("low A", "merged", "B"),
        ("B", "merged", "C"),
        ("D", "played", "E"),
    ]
    assert [rep["clean"] for rep in shown["reps"]] == [True] * 4
    assert [rep["anchor_ms"] for rep in shown["reps"]] == pytest.approx([0.0] * 4, abs=TO_THE_MS)
    assert shown["sequence"][3:5] == ["grip from D to E", "grip from E to F"]
    said = chanterd.run("assess", take, "--drill", "grip from B to C", *words)[1]
    assert "Left out, because the grip is not played there: from C to D" in said
    assert "grip from D to E:" in said


def test_a_stricter_standard_is_chosen_by_name(chanterd: Commands, tmp_path: Path) -> None:
    """30 ms late is on the beat for a learner, not before a judge: the limits come from the files."""
    take = write(tmp_path / "a.mid", reps(moved(GRIP, 0, 0, 0, 0, 30)))
    assert chanterd.assessed(take, "grip from B to C", "--standard", "learner")["reps"][0]["clean"]
    strict = chanterd.assessed(take, "grip from B to C", "--standard", "competition")
    assert (strict["standard"], strict["reps"][0]["said"]) == ("competition", "Late: the C came 30 ms after the beat.")


def test_notes_the_chanter_lacks_are_left_out_and_named(chanterd: Commands, tmp_path: Path) -> None:
    """A drum on MIDI number 38 in the same file, with the chanter named: nothing heard is lost without a word."""
    drum = {**WRITTEN, "drum": 38}
    take = write(tmp_path / "a.mid", reps([*GRIP[:1], (400.0, "drum"), (420.0, None), *GRIP[1:]]), numbers=drum)
    shown = chanterd.assessed(take, "grip from B to C", "--chanter", "written pitch")
    assert shown["unknown_notes"] == [38]
    said = chanterd.run("assess", take, "--drill", "grip from B to C", "--chanter", "written pitch")[1]
    assert "Left out, because this chanter has no such notes: MIDI 38." in said


def test_a_take_that_no_chanter_plays_is_refused(chanterd: Commands, tmp_path: Path) -> None:
    """With the numbers that are unknown, and what to do; a chanter that knows none of them gets the same sentence."""
    piano = {"low G": 40, "B": 41, "D": 42, "C": 43}
    take = write(tmp_path / "a.mid", reps(GRIP), numbers=piano)
    assert chanterd.refused("assess", take, "--drill", "grip from B to C") == (
        "a.mid: no chanter profile knows all its notes; 'written pitch' comes nearest but lacks MIDI notes 40, 41, 42, "
        "43. Name one with --chanter, or teach the daemon your chanter with 'chanterd learn'."
    )
    said = chanterd.refused("assess", take, "--drill", "grip from B to C", "--chanter", "written pitch")
    assert said == (
        "a.mid: nothing was heard with the chanter 'written pitch': the take holds MIDI notes 40, 41, 42, 43, none of "
        "which it knows."
    )


def test_drones_alone_are_no_playing(chanterd: Commands, tmp_path: Path) -> None:
    """A take of nothing but the drones."""
    take = write(tmp_path / "a.mid", [(0.0, "drone")], numbers={"drone": 45})
    assert "the take holds only its drones" in chanterd.refused("assess", take, "--drill", "grip from B to C")


def test_a_take_without_a_click_shows_how_the_tempo_was_kept(chanterd: Commands, tmp_path: Path) -> None:
    """Twenty grips played 3 % slow are read as themselves; the tempo is shown, with a warning since they are few."""
    slow = [[(at + 60.0 * rep + (9, -4, 2, -7)[rep % 4], note) for at, note in GRIP] for rep in range(20)]
    take = write(tmp_path / "take.mid", reps(*slow))
    found = chanterd.assessed(take, "grip from B to C", "--click-off")
    assert [rep["rep"] for rep in found["reps"]] == list(range(20))
    assert found["continuation"]["kept_bpm"] == pytest.approx(60 / 1.03, abs=0.1)
    assert found["continuation"]["intervals"] == 19
    assert found["continuation"]["sure"] is False
    code, out, _ = chanterd.run("assess", take, "--drill", "grip from B to C", "--click-off")
    assert code == 0
    assert "clicks a minute, 2.9 % slower than the 60 you set." in out
    assert "play 100 or more to be sure" in out or "cannot be measured apart" in out


def test_a_take_with_a_click_has_no_word_on_it(chanterd: Commands, tmp_path: Path) -> None:
    """Nothing is said of timer and hand, since the model does not hold there."""
    found = chanterd.assessed(write(tmp_path / "take.mid", reps(GRIP, GRIP)), "grip from B to C")
    assert "continuation" not in found
