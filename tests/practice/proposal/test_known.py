"""What the days of one ornament show: how it goes, what was held, and when it is due again."""

from datetime import timedelta

import pytest

from chanterd.practice.proposal.known import (
    WayState,
    due_day,
    good_days,
    held_bpm,
    last_day,
    last_staged,
    recent,
    rest_days,
    spread_ms,
    standing,
    tried_bpm,
)
from chanterd.practice.proposal.rule import standard_proposal_rule
from tests.practice.made_up_sittings import TODAY, known, sat

RULE = standard_proposal_rule()
GRIP = "grip from B to C"


def test_how_it_goes_is_judged_by_the_latest_days_with_enough_reps() -> None:
    """One day if it holds ten reps, else as many days as it takes; stages do not count; too few show nothing."""
    one = known(GRIP, sat(9, 30, 3), sat(4, 6, 6), sat(3, 5, 5, stage=1), sat(2, 5, 2))
    lately = recent(one, 10)
    assert lately is not None
    assert (lately.first, lately.last, lately.played, lately.clean) == (
        TODAY - timedelta(4),
        TODAY - timedelta(2),
        11,
        8,
    )
    assert recent(known(GRIP, sat(1, 9, 9)), 10) is None


def test_what_was_held_is_of_the_last_day_on_which_one_was() -> None:
    """Present form, not a record of long ago."""
    one = known(GRIP, sat(30, 20, 20, held=90.0), sat(3, 20, 15, held=72.0), sat(2, 20, 5, tried=76.0))
    assert held_bpm(one) == 72.0
    assert tried_bpm(one) == 76.0
    assert spread_ms(one) == 12.0
    assert held_bpm(known(GRIP, sat(2, 20, 5))) is None


@pytest.mark.parametrize(("good", "days"), [(0, 1), (1, 1), (2, 2), (3, 4), (4, 8), (5, 16), (6, 30), (60, 30)])
def test_each_good_day_doubles_the_rest(good: int, days: int) -> None:
    """From a night up to thirty days: common practice, no source; a night at least (Simmons 2012, JRME 59:357)."""
    bad = sat(good + 1, 20, 3)
    one = known(GRIP, bad, *(sat(ago, 20, 19) for ago in range(good, 0, -1)))
    assert good_days(one, RULE) == good
    assert rest_days(one, RULE) == days
    assert due_day(one, RULE) == last_day(one) + timedelta(days)


def test_a_day_that_was_not_good_sets_the_rest_back() -> None:
    """Four good days in a row rested for eight; after a bad one it is due tomorrow."""
    days = [sat(ago, 20, 20) for ago in (40, 30, 20, 10)]
    assert rest_days(known(GRIP, *days), RULE) == 8
    assert rest_days(known(GRIP, *days, sat(2, 20, 14)), RULE) == 1


@pytest.mark.parametrize(
    ("sittings", "how"),
    [
        ([sat(3, 20, 4), sat(0, 10, 9)], WayState.DONE),
        ([sat(3, 20, 4), sat(0, 10, 9, stage=1)], WayState.DONE),
        ([sat(3, 20, 4), sat(0, 9, 9)], WayState.WEAK),
        ([sat(3, 20, 11)], WayState.WEAK),
        ([sat(3, 20, 12)], WayState.DUE),
        ([sat(1, 20, 20)], WayState.DUE),
        ([sat(8, 20, 20), sat(1, 20, 20)], WayState.RESTING),
        ([sat(3, 9, 9)], WayState.BEGUN),
        ([sat(3, 12, 12, stage=1)], WayState.WEAK),
        ([sat(-2, 20, 20)], WayState.DONE),
    ],
)
def test_the_state_of_a_way(sittings: list[object], how: WayState) -> None:
    """Ten reps today are enough for today; under 60 % clean is weak; else it is due when its rest is over."""
    assert standing(known(GRIP, *sittings), TODAY, RULE) is how  # type: ignore[arg-type]


def test_the_build_up_goes_on_from_its_last_stage() -> None:
    """Until the full ornament is played again."""
    assert last_staged(known(GRIP, sat(3, 20, 4))) is None
    staged = last_staged(known(GRIP, sat(3, 20, 4), sat(2, 12, 11, stage=1)))
    assert staged is not None
    assert staged.stage == 1
