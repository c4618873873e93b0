"""The lines of a proposal and their reasons, as a player reads them."""

from chanterd.music.drill import drill_from_words
from chanterd.practice.proposal.line import begun_line, due_line, new_line, roughness, warm_line, weak_line
from chanterd.practice.proposal.rule import standard_proposal_rule
from tests.practice.made_up_sittings import TODAY, known, sat

RULE = standard_proposal_rule()
TAORLUATH = "taorluath from C to low A"


def test_a_weak_one_is_built_up_again() -> None:
    """From a stage that fits how weak it is, at the start tempo or slower."""
    line = weak_line(known(TAORLUATH, sat(2, 10, 4)), TODAY, RULE)
    assert line.drill.words == "taorluath from C to low A, stage 2"
    assert line.reason == (
        "The taorluath from C to low A was clean 4 times in 10 on Monday: build it up from stage 2 at 60."
    )
    slow = weak_line(known(TAORLUATH, sat(2, 10, 0, tried=50.0)), TODAY, RULE)
    assert (slow.drill.stage, slow.click_bpm) == (1, 50.0)
    assert "not once in 10" in slow.reason


def test_one_that_is_nearly_steady_is_only_taken_down() -> None:
    """A notch below what was held; the full ornament."""
    line = weak_line(known(TAORLUATH, sat(9, 20, 20, held=76.0), sat(1, 20, 11, tried=80.0)), TODAY, RULE)
    assert (line.drill.stage, line.click_bpm) == (None, 72.0)
    assert line.reason == (
        "The taorluath from C to low A was clean 11 times in 20 yesterday: take it at 72 and get it even again."
    )


def test_the_build_up_goes_on_where_it_was_left() -> None:
    """A stage that went well leads to the next and the last one to the whole; one that did not is played again."""
    weak = sat(9, 12, 2)
    good = weak_line(known(TAORLUATH, weak, sat(1, 15, 14, stage=1)), TODAY, RULE)
    assert good.drill.stage == 2
    assert good.reason == (
        "Stage 1 of the taorluath from C to low A was clean 14 times in 15 yesterday: on to stage 2 at 60."
    )
    bad = weak_line(known(TAORLUATH, weak, sat(1, 15, 5, stage=2)), TODAY, RULE)
    assert bad.drill.stage == 2
    assert bad.reason.endswith("clean 5 times in 15 yesterday: the same again at 60.")
    last = drill_from_words(TAORLUATH).stages - 1
    whole = weak_line(known(TAORLUATH, weak, sat(1, 15, 15, stage=last)), TODAY, RULE)
    assert whole.drill.stage is None
    assert whole.reason.endswith("on to the whole at 60.")


def test_what_is_due_begins_a_notch_lower_and_climbs() -> None:
    """Towards the performing tempo of its last ladder, or the usual aim; not below the aim if it is there already."""
    one = known("throw on D from low A", sat(5, 20, 19, held=66.0), sat(3, 20, 19, held=68.0), aim=84.0)
    assert due_line(one, TODAY, RULE).reason == (
        "The throw on D from low A is due again after 2 days of rest: clean at 68, last played on Sunday. "
        "Begin at 64 and climb towards 84."
    )
    there = due_line(known("throw on D from low A", sat(1, 20, 19, held=96.0)), TODAY, RULE)
    assert there.reason.endswith("after a night's rest: clean at 96, last played yesterday. Play it at 92.")


def test_the_others_say_why_too() -> None:
    """An old one, one that was hardly begun, a new one with its first stage."""
    old = warm_line(known("birl from E", *(sat(ago, 20, 20, held=96.0) for ago in (60, 30))), TODAY, RULE)
    assert old.reason == "The birl from E goes well and was last played on 8 April: keep it warm at 80."
    begun = begun_line(known(TAORLUATH, sat(4, 1, 0)), RULE)
    assert begun.reason == "The taorluath from C to low A was tried only once: give it a proper start at 60."
    new = new_line(drill_from_words(TAORLUATH), RULE)
    assert new.drill.stage == 1
    assert new.reason.startswith("The taorluath from C to low A is new to you and comes next: stage 1 of ")
    plain = new_line(drill_from_words("G gracenote from low A to B"), RULE)
    assert plain.reason == "The G gracenote from low A to B is new to you and comes next: slow and even, at 60."


def test_the_weakest_comes_first() -> None:
    """By its share of clean reps."""
    weak, weaker = known("birl from E", sat(2, 20, 9)), known("birl from C", sat(2, 20, 3))
    assert roughness(weaker, RULE) < roughness(weak, RULE)
