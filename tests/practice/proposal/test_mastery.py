"""How the ornaments of a tune go, and which needs work first."""

from datetime import date

import pytest

from chanterd.music.drill import drill_from_words
from chanterd.practice.proposal.known import Known, Sitting
from chanterd.practice.proposal.mastery import Mastery, WayWork, joined, work_of
from chanterd.practice.proposal.rule import standard_proposal_rule
from tests.practice.made_up_sittings import known, sat

RULE = standard_proposal_rule()
GRIP, BIRL = drill_from_words("grip from B to C"), drill_from_words("birl from E")


def only(*sittings: tuple[int, int, int]) -> WayWork:
    """The grip, after these days of (days ago, played, clean)."""
    there = {GRIP.words: known(GRIP.words, *(sat(*one) for one in sittings))} if sittings else {}
    [one] = work_of({GRIP: 3}, there, RULE)
    return one


@pytest.mark.parametrize(
    ("sittings", "mastery"),
    [
        ([], Mastery.NEVER),
        ([(1, 2, 2)], Mastery.NOT_YET),
        ([(1, 20, 11)], Mastery.NOT_YET),
        ([(1, 20, 12)], Mastery.NEARLY),
        ([(1, 20, 15)], Mastery.NEARLY),
        ([(1, 20, 16)], Mastery.STEADY),
        ([(30, 20, 20), (1, 20, 5)], Mastery.NOT_YET),
    ],
)
def test_the_latest_days_say_how_it_goes(sittings: list[tuple[int, int, int]], mastery: Mastery) -> None:
    """By the shares that the proposal calls weak and good; too few reps are not yet."""
    assert only(*sittings).mastery is mastery


def test_stages_alone_are_not_the_ornament() -> None:
    """A build-up that was begun says nothing of the whole."""
    [one] = work_of({GRIP: 1}, {GRIP.words: known(GRIP.words, sat(1, 20, 20, stage=1))}, RULE)
    assert one.mastery is Mastery.NEVER


def test_what_is_often_played_and_seldom_clean_comes_first() -> None:
    """How often it occurs counts as much as how it goes; nothing known yet is between the two."""
    there = {GRIP.words: known(GRIP.words, sat(1, 20, 4))}
    assert [one.drill for one in work_of({GRIP: 2, BIRL: 2}, there, RULE)] == [GRIP, BIRL]
    assert [one.drill for one in work_of({GRIP: 1, BIRL: 4}, there, RULE)] == [BIRL, GRIP]
    clean = {GRIP.words: known(GRIP.words, sat(1, 20, 20))}
    assert [one.drill for one in work_of({GRIP: 9, BIRL: 1}, clean, RULE)] == [BIRL, GRIP]


def test_what_was_played_in_tunes_counts_for_how_an_ornament_goes() -> None:
    """Among the days of the drill; its tempo is held as before."""
    drill = drill_from_words("grip from B to C")
    practised = Known(drill, (Sitting(date(2026, 1, 1), None, 10, 2, 60.0, 60.0, None),), 80.0)
    in_tunes = Known(drill, (Sitting(date(2026, 1, 2), None, 40, 40, 116.0, None, None),))
    other = Known(drill_from_words("birl from E"), in_tunes.sittings)
    found = joined([practised], [in_tunes, other])
    assert [one.day.day for one in found["grip from B to C"].sittings] == [1, 2]
    assert found["grip from B to C"].aim_bpm == 80.0
    work = {one.drill.words: one for one in work_of({drill: 1, other.drill: 1}, found, RULE)}
    assert work["grip from B to C"].mastery is Mastery.STEADY
    assert work["grip from B to C"].held_bpm == 60.0
    assert work["birl from E"].mastery is Mastery.STEADY
