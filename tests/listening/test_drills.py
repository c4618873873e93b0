"""Drills among ornaments."""

import pytest

from chanterd.listening.drills import Reps, beat_of, drills_in
from chanterd.listening.found import Found
from tests.listening.played_notes import found_in

GRIP = "B850 G60 d30 G60 c1000"
"""Two clicks of a second."""


def drills(written: str) -> list[Reps]:
    """The drills in what was played."""
    return drills_in(found_in(written))


def test_the_beat_of_a_doubling_is_its_first_step() -> None:
    """Where the beat falls: common practice, no source."""
    (one,) = found_in("A700 g35 c60 d30 c700")
    assert beat_of(one) == one.sounds[0].onset_ns
    (grip,) = found_in("B700 G60 d30 G60 c700")
    assert beat_of(grip) == grip.sounds[-1].onset_ns


@pytest.mark.parametrize(
    ("odd", "reps"),
    [
        ("B1000 c1000", [0, 1, 2, 4, 5, 6]),  # without its ornament
        ("B1000 c3000", [0, 1, 2, 5, 6, 7]),  # two left out
        ("B850 G60 d30 G60 c300 G60 d30 G60 c580", [0, 1, 2, 3, 4, 5, 6]),  # once more, from the melody note
        ("B850 G60 d30 B400 G60 d30 G60 c510", [0, 1, 2, 4, 5, 6]),  # begun again, 0.25 reps late
    ],
)
def test_an_odd_rep_ends_no_drill_and_bends_no_tempo(odd: str, reps: list[int]) -> None:
    """Whatever happens in it."""
    (one,) = drills(" ".join([GRIP] * 3 + [odd] + [GRIP] * 3))
    assert one.places == reps
    assert one.click_bpm == pytest.approx(60.0, rel=0.01)


def test_somebody_who_stops_and_goes_on_off_the_old_beat_plays_one_drill() -> None:
    """The tempo is the same."""
    (one,) = drills(" ".join([GRIP] * 4 + ["B700"] + [GRIP] * 4))
    assert len(one.found) >= 7


def test_a_rep_left_out_every_other_time_is_not_another_tempo() -> None:
    """The shorter distances say how fast it is."""
    (one,) = drills(" ".join([GRIP, GRIP, "B1000 c1000", GRIP, GRIP, "B1000 c1000"] * 2))
    assert one.click_bpm == pytest.approx(60.0, rel=0.01)


def test_no_drill_is_faster_than_anybody_plays() -> None:
    """The same gracenote over and over in a quick tune is none."""
    assert drills(" ".join(["A150 g30"] * 12) + " A400") == []


def test_a_drill_ends_where_the_same_ornament_goes_on_in_a_melody() -> None:
    """At the same distances, but with other notes before each: those are none of its reps."""
    (one,) = drills(" ".join([GRIP] * 6 + ["e400 f300 e150 G60 d30 G60 c1000"] * 40))
    assert len(one.found) == 6


@pytest.mark.parametrize("played", ["e400 f300 B150 G60 d30 G60 c1000 ", "B60 G30 d15 G30 c60 "])
def test_what_is_no_drill_is_gone_through_once_however_long_it_is(played: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """From each ornament only a few are looked at, in a melody that is full of it and in one that is far too fast."""
    found, looked = found_in(played * 200), 0
    assert len(found) > 150
    takes = Reps.takes

    def counted(reps: Reps, one: Found, beat: int) -> bool:
        nonlocal looked
        looked += 1
        return takes(reps, one, beat)

    monkeypatch.setattr(Reps, "takes", counted)
    assert drills_in(found) == []
    assert looked < 40 * len(found)
