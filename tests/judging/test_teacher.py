"""The remarks under a run, as a teacher would write them: each limit from both sides, and what comes next."""

from dataclasses import replace

from chanterd.judging.fault import ORDER
from chanterd.judging.teacher import HAPPENED, Facts, Size, remarks
from chanterd.music.drill import drill_from_words
from chanterd.music.grid import FASTEST_BPM

NO_SIZE = Size(None, None, None)
GOOD = Facts(
    drill=drill_from_words("grip from B to C"),
    click_bpm=60.0,
    played=20,
    clean=18,
    longest_row=9,
    bias_ms=4.0,
    spread_ms=11.0,
    drift_ms=0.1,
    heard_from_ms=25.0,
    sizes={"held": Size(58.0, 5.0, 1.1), "quick": Size(33.0, 4.0, None)},
    faults={"crushed": 2},
    helping="grip from B to C, stage 1",
)


def test_a_good_run_is_summed_up_as_a_teacher_would() -> None:
    """What is steady, what is not, what to practise next."""
    assert remarks(GOOD) == {
        "steady": [
            "Your beat is steady, give or take 11 ms.",
            "You are on the click: usually 4 ms late, too little to hear.",
            "Your held notes are the same each time: about 58 ms, give or take 5.",
            "Your gracenotes and taps are the same each time: about 33 ms, give or take 4.",
        ],
        "unsteady": ["You crushed a step in 2 of 20 reps."],
        "open": [],
        "next": {"said": "You are ready for more: the same at 64.", "drill": "grip from B to C", "click_bpm": 64.0},
    }


def test_without_a_click_nobody_is_on_it_late_or_early() -> None:
    """Of the beat only how steady it is, by the player's own pulse; the tempo kept is shown elsewhere."""
    for bias_ms, drift_ms in ((4.0, 0.1), (60.0, 8.0), (None, 0.1)):
        remarked = remarks(replace(GOOD, bias_ms=bias_ms, drift_ms=drift_ms, click_off=True))
        assert remarked["steady"][0] == "Your beat is steady, give or take 11 ms."
        assert "On the whole" not in " ".join(remarked["steady"])
        assert remarked["unsteady"] == ["You crushed a step in 2 of 20 reps."]
        assert remarked["open"] == []


def test_a_habit_is_not_taken_for_a_slip() -> None:
    """Just within what can be heard it is on the click; beyond it is late or early each time."""
    within = "You are on the click: usually 25 ms early, too little to hear."
    assert within in remarks(replace(GOOD, bias_ms=-25.0))["steady"]
    assert "You are on the click." in remarks(replace(GOOD, bias_ms=0.4))["steady"]
    late = remarks(replace(GOOD, bias_ms=25.1))["steady"]
    assert "You are usually 25 ms late: a habit, not a slip." in late
    early = remarks(replace(GOOD, bias_ms=-40.0))["steady"]
    assert "You are usually 40 ms early: a habit, not a slip." in early


def test_not_enough_reps_are_said_so() -> None:
    """Of a bias that is not known yet, and of everything in fewer than five reps."""
    assert remarks(replace(GOOD, bias_ms=None))["open"] == [
        "Too few reps yet to say whether you are usually early or late."
    ]
    few = remarks(replace(GOOD, played=4, clean=4))
    assert few["steady"] == []
    assert few["open"] == ["Too few reps yet to know a habit from a slip: play at least 5."]


def test_the_beat_wanders_beyond_what_is_steady() -> None:
    """12 ms at a fast click, at a slow one what can be heard."""
    fast = replace(GOOD, heard_from_ms=6.0, bias_ms=0.0)
    assert "Your beat is steady, give or take 12 ms." in remarks(replace(fast, spread_ms=12.0))["steady"]
    assert "Your beat wanders, give or take 12 ms." in remarks(replace(fast, spread_ms=12.1))["unsteady"]
    assert "Your beat is steady, give or take 25 ms." in remarks(replace(GOOD, spread_ms=25.0))["steady"]
    assert "Your beat wanders, give or take 25 ms." in remarks(replace(GOOD, spread_ms=25.1))["unsteady"]


def test_a_drift_is_reported_once_it_is_more_than_twice_what_can_be_heard() -> None:
    """From the first rep to the last: 19 steps between 20 reps."""
    assert not any("From the first" in one for one in remarks(replace(GOOD, drift_ms=50 / 19 - 0.01))["unsteady"])
    drifted = remarks(replace(GOOD, drift_ms=-50 / 19 - 0.01))["unsteady"]
    assert "You got 50 ms earlier from the first rep to the last." in drifted


def test_steps_that_change_or_differ_are_reported() -> None:
    """Spread by more than a seventh or so of their length, and longest over shortest; none at all, nothing said."""
    just = replace(GOOD, sizes={"held": Size(80.0, 12.0, 1.3), "quick": NO_SIZE})
    assert remarks(just)["steady"][-1] == "Your held notes are the same each time: about 80 ms, give or take 12."
    assert not any("held notes" in one for one in remarks(just)["unsteady"])
    wide = replace(GOOD, sizes={"held": Size(80.0, 12.1, 1.4), "quick": NO_SIZE})
    assert remarks(wide)["unsteady"] == [
        "Your held notes change from rep to rep: about 80 ms, give or take 12.",
        "Your held notes differ within a rep: the longest is 1.4 times the shortest.",
        "You crushed a step in 2 of 20 reps.",
    ]


def test_whoever_is_not_steady_is_not_ready() -> None:
    """Clean in nine of ten reps, but of two sizes, or with a wandering beat: the same tempo, and that is said first."""
    for unsteady in (
        replace(GOOD, sizes={"held": Size(80.0, 25.0, 1.1), "quick": NO_SIZE}),
        replace(GOOD, sizes={"held": NO_SIZE, "quick": Size(40.0, 15.0, None)}),
        replace(GOOD, spread_ms=40.0),
    ):
        found = remarks(unsteady)
        assert found["next"] == {
            "said": "Next: the same at 60, until it is the same each time.",
            "drill": "grip from B to C",
            "click_bpm": 60.0,
        }
        assert found["unsteady"][-1] == "You crushed a step in 2 of 20 reps."
        assert len(found["unsteady"]) == 2


def test_of_short_steps_a_few_ms_more_or_less_are_the_same_each_time() -> None:
    """15 % of a step of 30 ms would be 4.5 ms, more even than a hand is: up to 12 ms nothing is said against them.

    A note out of place is heard from 6 ms (Friberg and Sundberg 1995), and makes a length differ by twice that.
    """
    for spread_ms, even in ((12.0, True), (12.1, False)):
        found = remarks(replace(GOOD, sizes={"held": NO_SIZE, "quick": Size(30.0, spread_ms, None)}))
        assert any("gracenotes and taps" in one for one in found["steady"]) == even
        assert any("gracenotes and taps" in one for one in found["unsteady"]) != even


def test_the_three_commonest_faults_are_reported() -> None:
    """In every rep, or in a number of them."""
    found = remarks(replace(GOOD, faults={"late": 20, "paused": 3, "crushed": 2, "uneven": 1}))["unsteady"]
    assert found == [
        "You were late in every rep.",
        "You paused after the ornament in 3 of 20 reps.",
        "You crushed a step in 2 of 20 reps.",
    ]
    assert remarks(replace(GOOD, played=1, faults={"late": 1}))["unsteady"] == [
        "You were late in the one rep you played."
    ]
    assert set(HAPPENED) == set(ORDER)


def following(facts: Facts) -> tuple[str, float] | None:
    """The drill and the tempo of what comes next."""
    found = remarks(facts)["next"]
    return None if found is None else (found["drill"], found["click_bpm"])


def test_what_comes_next() -> None:
    """Ready: faster, or the next stage. Not yet: what helps with the commonest fault, or the same, or slower."""
    grip = "grip from B to C"
    assert following(GOOD) == (grip, 64.0)
    stage = replace(GOOD, drill=drill_from_words(f"{grip}, stage 1"))
    assert following(stage) == (grip, 60.0)
    assert following(replace(GOOD, clean=17)) == (grip, 64.0)
    assert following(replace(GOOD, clean=16)) == (f"{grip}, stage 1", 60.0)
    assert following(replace(GOOD, clean=16, helping=None)) == (grip, 56.0)
    assert following(replace(GOOD, played=2, clean=2, longest_row=2, faults={})) == (grip, 60.0)
    assert following(replace(GOOD, click_bpm=FASTEST_BPM)) == (grip, FASTEST_BPM)
    assert following(replace(GOOD, drill=None)) is None
    assert following(replace(GOOD, played=0)) is None


def test_ready_for_more_takes_three_clean_in_a_row() -> None:
    """As it is practised (common practice, no source): two in a row are not enough, however many were clean."""
    assert following(replace(GOOD, longest_row=3)) == ("grip from B to C", 64.0)
    assert following(replace(GOOD, longest_row=2)) == ("grip from B to C, stage 1", 60.0)


def test_nothing_is_called_steady_or_not_in_fewer_than_five_reps() -> None:
    """From the fifth on it is."""
    assert "Your beat is steady, give or take 11 ms." in remarks(replace(GOOD, played=5))["steady"]
    assert remarks(replace(GOOD, played=4))["steady"] == []


def test_with_nothing_played_there_is_nothing_to_say() -> None:
    """No remark at all."""
    assert remarks(replace(GOOD, played=0)) == {"steady": [], "unsteady": [], "open": [], "next": None}
