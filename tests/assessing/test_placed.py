"""Early and late in a passage, in a sentence."""

import pytest

from chanterd.assessing.placed import NOT_REACHED, tune_placement
from chanterd.judging.tunes.report import TuneSummary
from chanterd.listening.followed import Followed
from tests.bench.tune_performances import CONDITIONS, sample


def summary() -> TuneSummary:
    """Of a tune that was played well."""
    return sample("seven-gulls", CONDITIONS["clean"], 5).run().found()["summary"]


def ornament(off_beat_ms: float | None, *faults: str) -> Followed:
    """One that was so far from the player's beat."""
    found = [{"fault": one, "step": None, "said": "", "do": "", "drill": None} for one in faults]
    return Followed("grip from B to C", (), not faults, found, off_beat_ms)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("ornaments", "said"),
    [
        ([ornament(12.0), ornament(14.0), ornament(None, "crushed")], "Usually 13 ms after your own beat; never early"),
        ([ornament(-30.0), ornament(-95.0, "early")], "Usually 62 ms before your own beat; early in 1 of 2 ornaments"),
        ([ornament(0.2), ornament(0.0)], "Usually on your own beat; never early or late in 2 ornaments on a beat."),
        ([ornament(90.0, "late"), ornament(-91.0, "early")], "late in 1 and early in 1 of 2 ornaments on a beat."),
    ],
)
def test_it_is_said_how_far_from_the_beat_and_how_often_too_far(ornaments: list[Followed], said: str) -> None:
    """Of those that belong on a beat; behind what is said of the tune as a whole."""
    placement = tune_placement(summary(), ornaments)
    assert placement["judged"]
    assert placement["said"].startswith(summary()["said"])
    assert said in placement["said"]
    assert placement["reps"] == sum(one.off_beat_ms is not None for one in ornaments)


def test_where_no_ornament_is_on_a_beat_that_is_said() -> None:
    """Off the beat nothing is early or late."""
    placement = tune_placement(summary(), [ornament(None)])
    assert not placement["judged"]
    assert placement["said"].endswith(NOT_REACHED)
