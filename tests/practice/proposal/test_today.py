"""The day's proposal as a plan."""

import pytest

from chanterd.config import ChanterdError
from chanterd.judging.standard import read_standards
from chanterd.music.book import standard_book
from chanterd.music.layout import read_layouts
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.feedback.schedule import read_schedules
from chanterd.practice.proposal.proposal import Proposal, propose
from chanterd.practice.proposal.rule import standard_proposal_rule
from chanterd.practice.proposal.today import plan_of
from tests.practice.made_up_sittings import TODAY, known, sat

KNOWN = Vocabulary(standard_book(), read_standards(), read_layouts(), read_schedules())
BIRL = known("birl from E", *(sat(ago, 20, 18, held=76.0) for ago in (60, 50, 40, 30)))
GRIP = known("grip from B to C", sat(2, 10, 4))


def test_what_goes_well_comes_first_to_warm_up() -> None:
    """Then the lines as they are, each for its minutes at its tempo; every plan has breaks."""
    proposal = propose([BIRL, GRIP], (), TODAY, standard_proposal_rule(), standard_book())
    plan = plan_of(proposal, KNOWN)
    assert [part.exercise.words for part in plan.parts] == [
        "birl from E",
        "grip from B to C, stage 1",
        "G gracenote from low A to B",
    ]
    assert [part.warm_up for part in plan.parts] == [True, False, False]
    assert [(part.exercise.click_bpm, part.minutes) for part in plan.parts] == [(76.0, 3.0), (60.0, 6.0), (60.0, 5.0)]
    assert plan.break_after_minutes <= 30


def test_nothing_cannot_be_gone_through() -> None:
    """Told in a sentence."""
    with pytest.raises(ChanterdError, match="Nothing is left for today"):
        plan_of(Proposal(TODAY, (), ()), KNOWN)
