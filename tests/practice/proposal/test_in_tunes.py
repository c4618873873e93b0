"""What the tunes that a player works on ask for."""

from datetime import date, timedelta

import pytest

from chanterd.music.book import standard_book
from chanterd.music.drill import drill_from_words
from chanterd.practice.proposal.in_tunes import InTunes, WorkedTune
from chanterd.practice.proposal.proposal import place_of, propose
from chanterd.practice.proposal.rule import standard_proposal_rule
from tests.practice.made_up_sittings import TODAY, known, sat

GRIP, BIRL, THROW = (
    place_of(drill_from_words(one)) for one in ("grip from B to C", "birl from E", "throw on D from E")
)
JIG = WorkedTune("Seven Gulls", None, {GRIP: 4, BIRL: 1})


def march(day: date | None) -> WorkedTune:
    """A tune that is performed then."""
    return WorkedTune("The Lamp", day, {BIRL: 2, THROW: 3})


def test_the_tune_that_is_performed_soonest_comes_first() -> None:
    """A day that is over is as none; without one, tunes go by their names."""
    soon = InTunes([JIG, march(TODAY + timedelta(9))], TODAY)
    assert [soon.rank(one) for one in (THROW, BIRL, GRIP)] == [0, 0, 1]
    assert soon.places() == [THROW, BIRL, GRIP]
    over = InTunes([march(TODAY - timedelta(1)), JIG], TODAY)
    assert over.places() == [GRIP, BIRL, THROW]


@pytest.mark.parametrize(
    ("ahead", "said"),
    [
        (None, "It comes 3 times in The Lamp."),
        (0, "It comes 3 times in The Lamp, which you play today."),
        (1, "It comes 3 times in The Lamp, which you play tomorrow."),
        (3, "It comes 3 times in The Lamp, which you play on Saturday."),
        (30, "It comes 3 times in The Lamp, which you play on 7 June."),
        (-1, "It comes 3 times in The Lamp."),
    ],
)
def test_the_reason_says_where_it_comes_and_when(ahead: int | None, said: str) -> None:
    """The day as it is said; one that is over is not mentioned."""
    day = None if ahead is None else TODAY + timedelta(ahead)
    assert InTunes([march(day)], TODAY).reason(THROW) == said
    assert InTunes([march(day)], TODAY).reason(GRIP) == ""


def test_the_proposal_takes_what_tunes_need_first() -> None:
    """Of the weak and of the new alike; each line says so."""
    weak = [known("taorluath from B to low A", sat(2, 20, 1)), known("grip from B to C", sat(2, 20, 10))]
    plain = propose(weak, (), TODAY, standard_proposal_rule(), standard_book())
    assert "taorluath" in plain.lines[0].drill.words
    tuned = propose(weak, (), TODAY, standard_proposal_rule(), standard_book(), [JIG, march(TODAY + timedelta(9))])
    assert next(place_of(line.drill) for line in tuned.lines if line.why == "weak") == GRIP
    assert "It comes 4 times in Seven Gulls." in tuned.lines[0].reason
    new = [line for line in tuned.lines if line.why == "new"]
    assert place_of(new[0].drill) == THROW
    assert "which you play on 17 May" in new[0].reason
