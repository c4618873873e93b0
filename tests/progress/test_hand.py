"""An even hand: families compared at one tempo."""

from math import sqrt

import pytest

from chanterd.history.held import HeldAt
from chanterd.progress.hand import TOO_LITTLE, hand_of, tempo_words

GRIPS, DOUBLINGS, BIRLS = "Grips and taorluath", "Doublings", "Birls"


def test_families_of_one_size_are_an_even_hand() -> None:
    """Common practice: the C of a C doubling is as long as the low Gs of a taorluath in the same tune."""
    hand = hand_of([HeldAt(GRIPS, 60.0, 20, 62.0, 6.0), HeldAt(DOUBLINGS, 60.0, 20, 58.0, 4.0)])
    assert hand.even is True
    assert hand.usual_ms == 60.0
    assert hand.said == "An even hand: a held note lasts 58 to 62 ms in all 2 families."


def test_two_sizes_are_shown_without_saying_which_is_right() -> None:
    """How open the steps are is a matter of style; that they are the same is not."""
    hand = hand_of([HeldAt(GRIPS, 60.0, 20, 80.0, 6.0), HeldAt(DOUBLINGS, 60.0, 20, 50.0, 4.0)])
    assert hand.even is False
    assert [one.family for one in hand.families] == [GRIPS, DOUBLINGS]
    assert "80 ms in grips and taorluath and 50 ms in doublings" in hand.said
    assert "matter of style" in hand.said


@pytest.mark.parametrize(
    ("longest", "shortest", "even"),
    [(62.0, 50.0, True), (62.1, 50.0, False), (50.0, 50.0, True), (120.0, 100.0, False)],
)
def test_families_sound_alike_up_to_twice_what_is_heard(longest: float, shortest: float, even: bool) -> None:  # noqa: FBT001 - a table
    """6 ms out of place are heard (Friberg and Sundberg 1995); they change a length by 12 ms."""
    hand = hand_of([HeldAt(GRIPS, 60.0, 20, longest, None), HeldAt(DOUBLINGS, 60.0, 20, shortest, None)])
    assert hand.even is even


def test_only_nearly_equal_tempi_are_compared() -> None:
    """Steps are shorter in a faster tempo: a birl at 100 is not held against a grip at 60."""
    hand = hand_of(
        [
            HeldAt(GRIPS, 60.0, 20, 62.0, None),
            HeldAt(GRIPS, 100.0, 50, 40.0, None),
            HeldAt(DOUBLINGS, 64.0, 20, 60.0, None),
            HeldAt(BIRLS, 84.0, 90, 45.0, None),
        ]
    )
    assert {one.family: one.held_ms for one in hand.families} == {GRIPS: 62.0, DOUBLINGS: 60.0}
    assert hand.elsewhere == (BIRLS,)
    assert tempo_words(hand) == "at 60 to 64 clicks a minute"


def test_like_tempi_of_one_family_are_taken_together() -> None:
    """Lengths weighted by reps; spreads pooled as squares: sqrt((10 * 3^2 + 30 * 5^2) / 40)."""
    hand = hand_of(
        [
            HeldAt(GRIPS, 60.0, 10, 70.0, 3.0),
            HeldAt(GRIPS, 62.0, 30, 50.0, 5.0),
            HeldAt(DOUBLINGS, 60.0, 20, 55.0, 4.0),
        ]
    )
    [grips] = [one for one in hand.families if one.family == GRIPS]
    assert grips.held_ms == 55.0
    assert grips.spread_ms == pytest.approx(sqrt((10 * 9 + 30 * 25) / 40), abs=0.05)
    assert grips.played == 40


def test_one_family_or_a_few_reps_say_nothing() -> None:
    """Nine reps are too few to speak of a hand, and one family has nothing to be even with."""
    assert hand_of([]).said == TOO_LITTLE
    few = hand_of([HeldAt(GRIPS, 60.0, 20, 62.0, None), HeldAt(DOUBLINGS, 60.0, 9, 40.0, None)])
    assert few.even is None
    assert few.said == TOO_LITTLE
    assert hand_of([HeldAt(GRIPS, 60.0, 20, 62.0, None), HeldAt(DOUBLINGS, 60.0, 10, 60.0, None)]).even is True
    assert few.elsewhere == (DOUBLINGS,)
    assert tempo_words(hand_of([])) == ""
