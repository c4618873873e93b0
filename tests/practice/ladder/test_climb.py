"""The tempo ladder as a teacher keeps it: what must hold of any rule and any reps, and the way it goes step by step."""

from dataclasses import replace
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.units import Bpm
from chanterd.practice.ladder.climb import (
    Happened,
    LadderState,
    Move,
    Outcome,
    Phase,
    after,
    begin,
    ladder,
    most_reps,
)
from chanterd.practice.ladder.rule import Rule

CLEAN, NOT_CLEAN, RESTED = Happened


def hundredths(low: float, high: float) -> st.SearchStrategy[float]:
    """Tempi as a rule holds them."""
    return st.integers(round(low * 100), round(high * 100)).map(lambda number: number / 100)


@st.composite
def rules(draw: st.DrawFn, row: int = 6, tries: int = 6, slowest_raise: float = 1) -> Rule:
    """Any rule that may be set, with rows and tries that a test can play."""
    top = draw(hundredths(SLOWEST_BPM, FASTEST_BPM))
    first = Bpm(draw(hundredths(SLOWEST_BPM, top)))
    performing = draw(st.none() | hundredths(SLOWEST_BPM, top).map(Bpm))
    notch = draw(hundredths(slowest_raise, 20))
    return Rule(first, notch, draw(st.integers(1, row)), Bpm(top), draw(st.integers(1, tries)), performing)


def standings(rule: Rule, reps: list[Happened]) -> list[LadderState]:
    """Where the ladder stood before and after each rep."""
    found = [begin(rule)]
    for rep in reps:
        found.append(after(rule, found[-1], rep))
    return found


# Mostly clean reps, or a ladder of random ones would never leave the first notches.
REPS = st.lists(st.sampled_from([CLEAN, CLEAN, CLEAN, CLEAN, NOT_CLEAN, RESTED]), max_size=150)
RULE = Rule(Bpm(60.0), 5.0, 3, Bpm(72.0), 2, Bpm(66.0))


@given(rules(), REPS)
def test_it_is_never_above_the_top(rule: Rule, reps: list[Happened]) -> None:
    """Nor below the slowest tempo there is, whatever is played."""
    assert all(SLOWEST_BPM <= one.click_bpm <= rule.top_bpm for one in standings(rule, reps))


@given(rules(), REPS)
def test_it_never_rises_without_the_full_row(rule: Rule, reps: list[Happened]) -> None:
    """Before each raise there are that many clean reps at that tempo, with nothing but rests between them."""
    found = standings(rule, reps)
    for index, (before, now) in enumerate(pairwise(found)):
        if now.click_bpm <= before.click_bpm:
            continue
        began = next(at for at in range(index, -1, -1) if at == 0 or found[at].move is not None)
        here = [rep for rep in reps[began : index + 1] if rep is not RESTED]
        assert len(here) >= rule.in_a_row
        assert here[-rule.in_a_row :] == [CLEAN] * rule.in_a_row
        assert now.move is Move.UP


@given(rules(), REPS)
def test_it_rises_and_falls_by_one_notch(rule: Rule, reps: list[Happened]) -> None:
    """Up and down by the raise, or less at the top and at the slowest; the way to the performing tempo is never up."""
    for before, now in pairwise(standings(rule, reps)):
        change = now.click_bpm - before.click_bpm
        if now.move is Move.TO_PERFORMING:
            assert rule.performing_bpm is not None
            assert now.click_bpm == rule.performing_bpm < before.click_bpm
        else:
            assert abs(change) <= rule.raise_bpm + 0.005
        assert (change > 0) == (now.move is Move.UP)
        assert change == 0 or now.move in (Move.UP, Move.DOWN, Move.TO_PERFORMING)


@given(rules(), REPS)
def test_a_rep_that_is_not_clean_breaks_the_row(rule: Rule, reps: list[Happened]) -> None:
    """It costs a try, and what came before it counts no longer."""
    for before, now, rep in zip((all_of_it := standings(rule, reps)), all_of_it[1:], reps, strict=False):
        if rep is NOT_CLEAN and before.phase is not Phase.OVER:
            assert now.row == 0
            assert now.move is not None or now.tries_left == before.tries_left - 1


@given(rules(), REPS, st.integers(0, 150))
def test_a_rest_changes_nothing(rule: Rule, reps: list[Happened], at: int) -> None:
    """Rests put in anywhere lead to the same place: the row goes on after them."""
    rested = ladder(rule, [*reps[:at], RESTED, RESTED, *reps[at:]])
    played = ladder(rule, [rep for rep in reps if rep is not RESTED])
    assert (rested.phase, rested.click_bpm, rested.row, rested.tries_left, rested.outcome) == (
        played.phase,
        played.click_bpm,
        played.row,
        played.tries_left,
        played.outcome,
    )


@given(rules(row=3, tries=3, slowest_raise=4), st.randoms(use_true_random=False), st.floats(0, 1))
def test_it_always_ends(rule: Rule, dice: Random, skill: float) -> None:
    """However well or badly it is played, it is over within the number of played reps that bounds it."""
    now = begin(rule)
    for _ in range(most_reps(rule)):
        now = after(rule, now, CLEAN if dice.random() < skill else NOT_CLEAN)
    assert now.phase is Phase.OVER
    assert now.outcome is not None


@given(rules(), REPS)
def test_nothing_leads_on_from_the_end(rule: Rule, reps: list[Happened]) -> None:
    """Once it is over, further reps leave it as it is."""
    now = ladder(rule, reps)
    if now.phase is Phase.OVER:
        assert all(after(rule, now, rep) == now for rep in Happened)


@given(rules(), REPS)
def test_it_is_proved_only_by_a_full_row_at_the_performing_tempo(rule: Rule, reps: list[Happened]) -> None:
    """The last reps before it are the row, and they were played at the performing tempo."""
    found = standings(rule, reps)
    for index, (before, now) in enumerate(pairwise(found)):
        if now.outcome is Outcome.PROVED and before.outcome is None:
            assert before.click_bpm == rule.performing_bpm
            assert [rep for rep in reps[: index + 1] if rep is not RESTED][-rule.in_a_row :] == [CLEAN] * rule.in_a_row


def rungs(rule: Rule) -> list[float]:
    """Every tempo of a ladder from the slowest to the top, in whole hundredths so that nothing is rounded twice."""
    first, top, slowest = (round(bpm * 100) for bpm in (rule.first_bpm, rule.top_bpm, SLOWEST_BPM))
    notch = round(rule.raise_bpm * 100)
    return [one / 100 for one in sorted({slowest, *range(first, slowest, -notch), *range(first, top, notch), top})]


def by_hand(rule: Rule, reps: list[Happened]) -> tuple[list[float], Outcome | None]:
    """The tempo after each played rep, and the outcome, kept as a teacher does with a pencil on a list of tempi."""
    tempi, place = rungs(rule), rungs(rule).index(rule.first_bpm)
    now, row, tries = tempi[place], 0, rule.tries
    falling = proving = held = False
    kept = list[float]()
    for rep in reps:
        row, tries = (row + 1, tries) if rep is CLEAN else (0, tries - 1)
        if row == rule.in_a_row:
            held = True
            if proving or (now == rule.performing_bpm and (falling or now == rule.top_bpm)):
                return [*kept, now], Outcome.PROVED
            if not falling and now < rule.top_bpm:
                place += 1
                now = tempi[place]
            elif rule.performing_bpm is None:
                return [*kept, now], Outcome.HELD
            elif now > rule.performing_bpm:
                now, proving = rule.performing_bpm, True
            else:
                return [*kept, now], Outcome.NOT_YET
        elif tries == 0:
            if proving:
                return [*kept, now], Outcome.NOT_PROVED
            if place == 0:
                late = Outcome.HELD if rule.performing_bpm is None else Outcome.NOT_YET
                return [*kept, now], late if held else Outcome.NOT_HELD
            place, falling = place - 1, True
            now = tempi[place]
        if row == rule.in_a_row or tries == 0:
            row, tries = 0, rule.tries
        kept.append(now)
    return kept, None


@given(rules(), REPS)
def test_it_goes_where_a_teacher_with_a_pencil_would_go(rule: Rule, reps: list[Happened]) -> None:
    """After every rep the same tempo, and at the end the same outcome, as kept by hand on a written list of tempi."""
    played = [rep for rep in reps if rep is not RESTED]
    tempi, outcome = by_hand(rule, played)
    found = standings(rule, played)[1 : len(tempi) + 1]
    assert [one.click_bpm for one in found] == tempi
    assert ladder(rule, played).outcome == outcome


def test_how_many_reps_a_ladder_can_take_at_most() -> None:
    """Four tempi up to 72, eleven down to 20 and one proof, two tries each of up to three reps: 96 (by hand)."""
    assert most_reps(RULE) == (4 + 11 + 1) * 2 * 3


def test_it_climbs_to_the_top_and_comes_down_to_prove_it() -> None:
    """Three clean each at 60, 65, 70 and 72, the top, then at 66: fifteen clean reps, and it is proved."""
    tempi = [one.click_bpm for one in standings(RULE, [CLEAN] * 15)]
    assert tempi == [60.0] * 3 + [65.0] * 3 + [70.0] * 3 + [72.0] * 3 + [66.0] * 4
    assert ladder(RULE, [CLEAN] * 14).phase is Phase.PROVING
    proved = ladder(RULE, [CLEAN] * 15)
    assert (proved.outcome, proved.held_bpm) == (Outcome.PROVED, 72.0)


def test_where_the_row_no_longer_comes_it_goes_down_until_it_does() -> None:
    """Two tries in vain at 70 and two at 65 lead to 60; the row comes there, and that is where it ends today."""
    up = [CLEAN] * 6
    vain = [CLEAN, CLEAN, NOT_CLEAN, NOT_CLEAN]
    fallen = ladder(RULE, up + vain)
    assert (fallen.phase, fallen.click_bpm, fallen.move, fallen.tries_left) == (Phase.FALLING, 65.0, Move.DOWN, 2)
    again = ladder(RULE, up + vain + vain)
    assert (again.phase, again.click_bpm) == (Phase.FALLING, 60.0)
    over = ladder(RULE, up + vain + vain + [CLEAN] * 3)
    assert (over.outcome, over.held_bpm) == (Outcome.NOT_YET, 65.0)


def test_below_the_top_the_notch_before_it_comes_next() -> None:
    """From a top that is no whole notch, down leads to the notch that was climbed from: 72, then 70."""
    assert ladder(RULE, [CLEAN] * 9 + [NOT_CLEAN] * 2).click_bpm == 70.0


def test_after_falling_it_does_not_climb_again() -> None:
    """The row that comes at 70 on the way down leads to the performing tempo, not up again."""
    now = ladder(RULE, [CLEAN] * 9 + [NOT_CLEAN] * 2 + [CLEAN] * 3)
    assert (now.phase, now.click_bpm, now.move) == (Phase.PROVING, 66.0, Move.TO_PERFORMING)


def test_a_proof_that_does_not_come_ends_it() -> None:
    """Two tries in vain at the performing tempo: over, and what was held is still shown."""
    now = ladder(RULE, [CLEAN] * 12 + [NOT_CLEAN] * 2)
    assert (now.outcome, now.held_bpm, now.click_bpm) == (Outcome.NOT_PROVED, 72.0, 66.0)


def test_without_a_performing_tempo_it_ends_with_its_last_row() -> None:
    """At the top, or at the first tempo below it that comes; and with nothing held if none does."""
    rule = replace(RULE, performing_bpm=None)
    assert ladder(rule, [CLEAN] * 12).outcome is Outcome.HELD
    fallen = ladder(rule, [CLEAN] * 9 + [NOT_CLEAN] * 2 + [CLEAN] * 3)
    assert (fallen.outcome, fallen.held_bpm, fallen.click_bpm) == (Outcome.HELD, 70.0, 70.0)
    assert ladder(rule, [NOT_CLEAN] * 99).outcome is Outcome.NOT_HELD


def test_a_row_at_the_performing_tempo_is_its_own_proof() -> None:
    """Where the fastest that comes is the performing tempo, the row is not asked for twice."""
    rule = Rule(Bpm(60.0), 5.0, 1, Bpm(60.0), 1, Bpm(60.0))
    assert ladder(rule, [CLEAN]).outcome is Outcome.PROVED


def test_where_nothing_comes_it_ends_at_the_slowest_tempo() -> None:
    """Down from 60 by 20s to 20, a try each, and then it is over: nothing was held."""
    rule = Rule(Bpm(60.0), 20.0, 3, Bpm(72.0), 1, Bpm(66.0))
    assert [one.click_bpm for one in standings(rule, [NOT_CLEAN] * 3)] == [60.0, 40.0, 20.0, 20.0]
    now = ladder(rule, [NOT_CLEAN] * 3)
    assert (now.outcome, now.held_bpm) == (Outcome.NOT_HELD, None)


@pytest.mark.parametrize("rests", [1, 50])
def test_a_player_who_only_rests_stays_where_they_are(rests: int) -> None:
    """Rests cost nothing: what is not played is not held against anyone."""
    now = ladder(RULE, [CLEAN] + [RESTED] * rests)
    assert (now.row, now.tries_left, now.click_bpm) == (1, 2, 60.0)


def test_notches_count_from_the_first_tempo() -> None:
    """Above, they stop at the top, and below at the slowest; thirds of a click do not pile up."""
    assert [RULE.tempo(notch) for notch in (-9, -8, -1, 0, 1, 2, 3, 4)] == [
        20.0,
        20.0,
        55.0,
        60.0,
        65.0,
        70.0,
        72.0,
        72.0,
    ]
    thirds = Rule(Bpm(60.1), 1.1, 3, Bpm(65.6), 2, Bpm(60.0))
    assert [thirds.tempo(notch) for notch in range(7)] == [60.1, 61.2, 62.3, 63.4, 64.5, 65.6, 65.6]
    assert ladder(thirds, [CLEAN] * 18).phase is Phase.PROVING
