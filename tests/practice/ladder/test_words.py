"""What a ladder says."""

from dataclasses import replace

import pytest

from chanterd.judging.summary import summarise
from chanterd.music.units import Bpm
from chanterd.practice.ladder.climb import Happened, ladder
from chanterd.practice.ladder.rule import Rule
from chanterd.practice.ladder.words import announcement, full_row_leads, no_row_leads, whole_words

CLEAN, NOT_CLEAN, _ = Happened
RULE = Rule(Bpm(60.0), 5.0, 3, Bpm(72.0), 2, Bpm(66.0))
FALL = [CLEAN] * 6 + [NOT_CLEAN] * 2


@pytest.mark.parametrize(
    ("reps", "said", "full", "none"),
    [
        ([], "At 60: play 3 in a row to move on.", "up to 65", "down to 55"),
        ([CLEAN] * 3, "3 in a row. Up to 65.", "up to 70", "down to 60"),
        (FALL, "2 tries without 3 in a row. Down to 65.", "the end for today", "down to 60"),
        (
            [NOT_CLEAN] * 2,
            "2 tries without 3 in a row. Down to 55. An earlier stage of the build-up may help.",
            "the end for today",
            "down to 50",
        ),
        (
            [CLEAN] * 12,
            "3 in a row. Now down to 66, the performing tempo: prove it there.",
            "proved",
            "the end for today",
        ),
        ([CLEAN] * 15, "Proved: 3 in a row at 66, the performing tempo.", "", ""),
        (
            FALL + [CLEAN] * 3,
            "You held 65 today; 66, the performing tempo, is still to come. Take a rest.",
            "",
            "",
        ),
        (
            [CLEAN] * 12 + [NOT_CLEAN] * 2,
            "You held 72, but didn't manage 3 in a row at 66. Take a rest, then prove it again.",
            "",
            "",
        ),
        (
            [NOT_CLEAN] * 18,
            "You didn't manage 3 in a row at any tempo. Take a rest, then try an earlier stage of the build-up.",
            "",
            "",
        ),
    ],
)
def test_each_change_says_what_happens_next(reps: list[Happened], said: str, full: str, none: str) -> None:
    """Why the tempo changed and to what; where a full row would lead, and where the lack of one."""
    now = ladder(RULE, reps)
    assert (announcement(RULE, now), full_row_leads(RULE, now)[0], no_row_leads(RULE, now)[0]) == (said, full, none)


@pytest.mark.parametrize(
    ("performing", "reps", "said"),
    [
        (None, [CLEAN] * 12, "You held 72, the top: 3 in a row. Take a rest."),
        (None, [CLEAN] * 9 + [NOT_CLEAN] * 2 + [CLEAN] * 3, "You held 70 today: 3 in a row. Take a rest."),
        (None, FALL + [NOT_CLEAN] * 2 + [CLEAN] * 3, "You held 65 on the way up, and 60 at the end. Take a rest."),
        (None, FALL + [NOT_CLEAN] * 99, "You held 65 on the way up, and no tempo after it. Take a rest."),
        (
            62.0,
            FALL + [NOT_CLEAN] * 2 + [CLEAN] * 3,
            "You held 65 on the way up and lost it again; 62, the performing tempo, is still to come. Take a rest.",
        ),
    ],
)
def test_an_ending_does_not_contradict_itself(performing: float | None, reps: list[Happened], said: str) -> None:
    """No performing tempo that nobody named, and none "still to come" below what was held without a word why."""
    rule = replace(RULE, performing_bpm=None if performing is None else Bpm(performing))
    assert announcement(rule, ladder(rule, reps)) == said


def test_where_a_row_ends_a_ladder_without_a_proof_it_says_so() -> None:
    """Not "the end for today", which sounds like a failure."""
    rule = replace(RULE, performing_bpm=None)
    assert full_row_leads(rule, ladder(rule, [CLEAN] * 9)) == ("held, and the end", None)


def test_the_next_tempo_is_named_where_it_goes_on() -> None:
    """65 and 55 at first; none where the ladder would end."""
    first, last = ladder(RULE, []), ladder(RULE, [CLEAN] * 12)
    assert (full_row_leads(RULE, first)[1], no_row_leads(RULE, first)[1]) == (65.0, 55.0)
    assert (full_row_leads(RULE, last)[1], no_row_leads(RULE, last)[1]) == (None, None)


def test_a_row_of_one_is_a_rep() -> None:
    """Nobody says '1 in a row', nor '1 tries'."""
    rule = Rule(Bpm(60.0), 4.0, 1, Bpm(80.0), 1, Bpm(66.0))
    assert announcement(rule, ladder(rule, [CLEAN])) == "1 clean rep. Up to 64."
    assert announcement(rule, ladder(rule, [NOT_CLEAN])).startswith("1 try without 1 clean rep. Down to 56.")


def test_of_nothing_played_nothing_is_said() -> None:
    """No '0 of 0 clean'."""
    assert whole_words(summarise([]), Bpm(60.0)) == ""
