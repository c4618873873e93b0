"""Drills among ornaments."""

import pytest

from chanterd.listening.drills import Reps, beat_of, drills_in
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
