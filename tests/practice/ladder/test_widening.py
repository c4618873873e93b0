"""A ladder that widens: the same rule as that of tempi, over passages."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.config import FieldsError
from chanterd.music.tunes.excerpts import around, widths
from chanterd.music.units import Bpm
from chanterd.practice.ladder.climb import Happened, LadderState, Phase, after, begin, ladder
from chanterd.practice.ladder.rule import Rule
from chanterd.practice.ladder.widening import Widening, announcement, full_row_leads, no_row_leads, widening
from tests.bench.tune_performances import shipped

TUNE = shipped("seven-gulls")
PASSAGES = widths(TUNE, around(TUNE, 3))
CLEAN, NOT_CLEAN, RESTED = Happened


def rule(first: int = 0, **written: Any) -> Widening:
    """Over the passages around an ornament."""
    return widening(written, Bpm(60.0), PASSAGES, first)


@given(st.lists(st.sampled_from([CLEAN, CLEAN, CLEAN, NOT_CLEAN, RESTED]), max_size=120), st.integers(0, 3))
def test_it_leads_where_a_ladder_of_as_many_tempi_would(rounds: list[Happened], first: int) -> None:
    """One rule for both: notch for notch the same."""
    wide = rule(first, in_a_row=2, tries=2)
    tempi = Rule(Bpm(20.0 + first), 1.0, 2, Bpm(20.0 + len(PASSAGES) - 1), 2)
    one, other = ladder(wide, rounds), ladder(tempi, rounds)
    assert (one.notch, one.phase, one.row, one.held_notch, one.move) == (
        other.notch,
        other.phase,
        other.row,
        other.held_notch,
        other.move,
    )
    assert 0 <= first + one.notch < len(PASSAGES)


def states(made: Widening, rounds: str) -> list[LadderState]:
    """After each round; ``+`` is clean, ``-`` not."""
    found = [begin(made)]
    for one in rounds:
        found.append(after(made, found[-1], CLEAN if one == "+" else NOT_CLEAN))
    return found


def test_it_says_where_it_is_why_it_moves_and_what_is_next() -> None:
    """In the words of the passages."""
    made = rule(1, in_a_row=2, tries=2, to="bar")
    now = begin(made)
    assert announcement(made, now) == "Its beat in bar 1: play 2 in a row to move on."
    assert (full_row_leads(made, now), no_row_leads(made, now)) == (
        "on to bar 1",
        "back to the ornament in bar 1 by itself",
    )
    assert announcement(made, states(made, "++")[-1]) == "2 in a row. Wider: bar 1."
    assert announcement(made, states(made, "--")[-1]) == (
        "2 tries without 2 in a row. Narrower: the ornament in bar 1 by itself."
    )
    over = states(made, "++++")[-1]
    assert over.phase is Phase.OVER
    assert announcement(made, over) == "You held bar 1 at 60: 2 in a row. Take a rest."
    assert announcement(made, states(made, "----")[-1]).startswith(
        "You didn't manage 2 in a row at 60, however narrow."
    )


def test_back_in_the_tune_is_the_end() -> None:
    """As wide as it gets, unless the rule says where to stop."""
    made = rule(in_a_row=1)
    last = states(made, "+" * len(PASSAGES))[-1]
    assert announcement(made, last) == (
        "You held the whole tune at 60: 1 clean round. It is back in the tune. Take a rest."
    )


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ({"in_a_row": 0}, "in_a_row"),
        ({"tries": 2.5}, "tries"),
        ({"to": "line"}, "'to' is 'line'; from here it can be"),
        ({"to": "ornament"}, "nothing wider"),
        ({"top": 3}, "top"),
    ],
)
def test_every_mistake_is_a_sentence(written: dict[str, Any], said: str) -> None:
    """That names the field."""
    with pytest.raises(FieldsError, match=said):
        rule(**written)
