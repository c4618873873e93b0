"""A tune as it is followed: what may come next, and when."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.score import Edge, Way
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.passage import Passage, clicks, make_passage, phase_of
from chanterd.music.tunes.tune import Tune


def tune_of(music: str, meter: str = "2/4") -> Tune:
    """One tune in eighths."""
    return read_abc(f"X:1\nM:{meter}\nL:1/8\nK:HP\n{music}\n".encode())[0]


def ways(passage: Passage) -> dict[int, list[tuple[int, float, Way, int]]]:
    """Every way that is not to the next note as written, by note."""
    return {
        place: [(edge.to, edge.gap, edge.way, edge.repeat) for edge in edges]
        for place, edges in enumerate(passage.edges)
        if len(edges) != 1 or edges[0].way
    }


def test_notes_follow_each_other_as_written() -> None:
    """With the clicks between them; gracenotes take no time of their own."""
    passage = make_passage(tune_of("{GdG}c2 A2 |"))
    assert passage.edges == ((Edge(1, 1.0),), ())
    assert passage.length == 2.0


def test_a_repeat_goes_back_or_on() -> None:
    """The time between is as written: the repeat costs none."""
    passage = make_passage(tune_of("e | A2 B2 | c3 :| d4 |"))
    assert ways(passage)[3] == [(4, 1.5, Way.ON, 0), (0, 1.5, Way.AGAIN, 0)]
    assert ways(passage)[4] == []


def test_endings_are_taken_in_turn() -> None:
    """From before the first ending to either; from the end of the first only back."""
    passage = make_passage(tune_of("|: A4 | B4 |1 c4 :|2 d4 |]"))
    assert ways(passage) == {1: [(2, 2.0, Way.FIRST, 0), (3, 2.0, Way.ON, 0)], 2: [(0, 2.0, Way.AGAIN, 0)], 3: []}


def test_a_repeat_that_no_sign_opens_goes_back_to_the_double_bar_line() -> None:
    """And behind another repeat to the bar after it."""
    passage = make_passage(tune_of("A4 || B4 :| c4 :|"))
    assert ways(passage)[1] == [(2, 2.0, Way.ON, 0), (1, 2.0, Way.AGAIN, 0)]
    assert ways(passage)[2] == [(2, 2.0, Way.AGAIN, 1)]


def test_a_passage_that_loops_begins_again_on_a_whole_click() -> None:
    """Behind its last note."""
    tune = tune_of("e | A2 B2 | c3 d | e4 |")
    passage = make_passage(tune, 1, 3, loops=True)
    assert (passage.pickup, passage.length) == (0.0, 4.0)
    assert passage.edges[-1] == (Edge(0, 2.0, loops=True),)
    assert make_passage(tune, 3, 3, loops=True).length == 2.0


def test_a_tune_that_ends_with_an_ending_written_before_another_begins_again_from_there() -> None:
    """From the second ending there is no way but back."""
    passage = make_passage(tune_of("|: A4 |1,3 B4 :|2 c3 :|"), loops=True)
    assert [(edge.to, edge.gap, edge.loops) for edge in passage.edges[1]] == [(0, 2.0, False), (0, 2.0, True)]
    assert [(edge.to, edge.loops) for edge in passage.edges[2]] == [(0, False)]
    assert passage.lasts(2) == 1.5


@pytest.mark.parametrize(("first", "last"), [(-1, 2), (3, 2), (0, 99)])
def test_a_passage_that_is_not_there(first: int, last: int) -> None:
    """One sentence."""
    with pytest.raises(ChanterdError, match="must be within 0 and 4"):
        make_passage(tune_of("e | A2 B2 | c3 d |"), first, last)


@pytest.mark.parametrize(
    ("meter", "music", "on"),
    [
        ("2/4", "e | A>B c2 | d2", [False, True, False, True, True]),
        ("6/8", "e | A2B c3 |", [False, True, False, True]),
        ("2/2", "A2 B2 c2 d2", [True, False, True, False]),
        ("2/4", "A2 B2 | c2 B :| e | d4", [True, True, True, True, False, True]),
    ],
)
def test_what_is_on_a_beat(meter: str, music: str, on: list[bool]) -> None:
    """A dotted quarter in 6/8, else the lower number (the unit of the time signature: common practice, no source)."""
    tune = tune_of(music, meter)
    assert [phase_of(tune, index) == 0 for index in range(len(tune.notes))] == on


def test_clicks_count_on_through_a_change_of_time() -> None:
    """Two of a 2/4 bar, then two of a 6/8 bar."""
    tune = tune_of("A2 B2 |\nM:6/8\nc3 d3 | e6 |")
    assert [float(clicks(tune, note.start)) for note in tune.notes] == [0, 1, 2, 3, 4]
