"""A seat on which nothing was started: the player just plays."""

from collections.abc import Iterable

import pytest

from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS
from chanterd.serving.seats.free_playing import OFFERED_NS
from tests.listening.played_notes import heard_notes
from tests.serving.played_seat import Sitting

GRIP = "B700 G60 d30 G60 c700"


@pytest.fixture
def sitting(sitting: Sitting) -> Sitting:
    """The book has been worked out, as it is a second after the start."""
    sitting.daemon.unasked.prepare()
    return sitting


def line(sitting: Sitting, written: str) -> Iterable[tuple[Note, int]]:
    """The notes from now on."""
    return [
        (one.note, sitting.now_ns + one.at_ns - 900 * NS_PER_MS)
        for one in heard_notes(written)
        if isinstance(one, Onset)
    ]


def play(sitting: Sitting, written: str, more_ms: int = 700) -> None:
    """Play it; its last note sounds on for so long."""
    sitting.play(line(sitting, written))
    sitting.until(sitting.now_ns + more_ms * NS_PER_MS)


def test_an_ornament_is_shown_soon_after_its_melody_note_began(sitting: Sitting) -> None:
    """With its name, its way in and its steps, on the daemon's clock."""
    play(sitting, GRIP, 300)
    (frame,) = sitting.of("ornament")
    assert (frame["seat"], frame["drill"], frame["final"], frame["clean"]) == ("1", "grip from B to C", False, True)
    assert abs(frame["theme_ms"] - (sitting.now_ns / 1e6 - 300)) < 1
    assert [step["note"] for step in frame["steps"]] == ["low G", "D", "low G", "C"]


def test_what_is_final_is_counted_and_the_state_has_it(sitting: Sitting) -> None:
    """A page that is opened later shows the same."""
    play(sitting, f"{GRIP} {GRIP} e500 f900")
    assert [frame["final"] for frame in sitting.of("ornament")].count(True) == 2
    free = sitting.of("free")[-1]["free"]
    assert [(row["ornament"], row["played"], row["clean"]) for row in free["rows"]] == [("grip", 2, 2)]
    assert sitting.daemon.state()["seats"][0]["free"] == free


def test_after_three_of_the_same_the_drill_is_offered(sitting: Sitting) -> None:
    """At the player's tempo; for a while only."""
    play(sitting, f"{GRIP} {GRIP} {GRIP}")
    offer = sitting.of("free")[-1]["free"]["offer"]
    assert offer == {
        "drill": "grip from B to C",
        "click_bpm": 77.4,
        "said": "Grip from B to C, about 77: with the click?",
    }
    sitting.until(sitting.now_ns + OFFERED_NS + 100 * NS_PER_MS)
    assert sitting.of("free")[-1]["free"]["offer"] is None


def test_the_offered_drill_starts_on_the_players_own_beat(sitting: Sitting) -> None:
    """After a count-in that falls together with their reps."""
    play(sitting, f"{GRIP} {GRIP} {GRIP}")
    theme_ms = sitting.of("ornament")[-1]["theme_ms"]
    practice = sitting.daemon.practise_repeated(None, "learner")
    assert (practice["drill"], practice["standard"]) == ("grip from B to C", "learner")
    grid = practice["grid"]
    click_ms = 60_000 / grid["click_bpm"]
    beats = (grid["beat0_ns"] / 1e6 + click_ms - theme_ms) / (2 * click_ms)
    assert beats == pytest.approx(round(beats), abs=0.001)
    assert grid["beat0_ns"] - grid["count_in"] * click_ms * NS_PER_MS > sitting.now_ns


def test_while_a_run_goes_on_nothing_is_recognised(sitting: Sitting) -> None:
    """The run judges what is played."""
    sitting.practise("grip from B to C", 60.0)
    play(sitting, GRIP)
    assert not sitting.of("ornament")


def test_what_is_to_be_worked_on_is_said_with_its_reason(sitting: Sitting) -> None:
    """The ornament with the fewest clean ones."""
    crushed = "B700 G60 d30 G10 c700"
    play(sitting, f"{GRIP} {crushed} {crushed} e500 f900")
    free = sitting.of("free")[-1]["free"]
    assert free["work_on"] == "Work on the grip: 1 of 3 clean, crushed twice."
    assert free["drill"] == "grip from B to C"


def test_whoever_sits_down_next_begins_with_nothing(sitting: Sitting) -> None:
    """It was not theirs."""
    play(sitting, f"{GRIP} e500 f900")
    other = sitting.run(sitting.daemon.roster.create("Bram"))
    sitting.run(sitting.daemon.roster.choose(sitting.seat, other.number))
    assert sitting.daemon.state()["seats"][0]["free"]["rows"] == []


def test_what_is_played_before_the_book_is_ready_is_not_lost(sitting: Sitting) -> None:
    """It is shown as soon as it is."""
    unasked = sitting.daemon.unasked
    unasked.ready, unasked.begun = False, True
    play(sitting, f"{GRIP} e500 f900")
    assert not sitting.of("ornament")
    unasked.ready = True
    sitting.until(sitting.now_ns + 40 * NS_PER_MS)
    assert [frame["drill"] for frame in sitting.of("ornament")] == ["grip from B to C"]


def test_the_book_is_worked_out_when_somebody_just_plays(sitting: Sitting) -> None:
    """Not before, and once: until then nothing of it is in memory."""
    unasked = sitting.daemon.unasked
    unasked.ready = unasked.begun = False
    sitting.until(sitting.now_ns + 40 * NS_PER_MS)
    assert not unasked.begun
    play(sitting, GRIP)
    assert unasked.begun
