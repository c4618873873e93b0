"""What may come next, and what is left out on the way."""

import pytest

from chanterd.following.tunes.cost import STANDARD_TUNE_COSTS as COSTS
from chanterd.following.tunes.graph import Graph
from chanterd.following.tunes.reach import BEFORE_FIRST, NOTHING, Reach
from chanterd.music.book import standard_book
from chanterd.music.note import Note
from chanterd.music.score import Way
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.segments import Segments

[TUNE] = read_abc(b"X:1\nM:2/4\nL:1/8\nK:HP\n|: A2 {g}A B | {GdG}c4 :|\n")
SCORE = Segments(make_passage(TUNE), standard_book(), standard_spread(), 5e8).score()
REACH = Reach(Graph(SCORE), COSTS)


def test_the_next_note_costs_nothing_and_what_is_left_out_does() -> None:
    """From the first low A: the gracenote; or the B, if gracenote and second low A (which then melts) are left out."""
    by_note, likely = REACH.steps(0, Note.LOW_A)
    assert next((step.to, step.price) for step in by_note[Note.HIGH_G]) == (1, 0.0)
    assert next((step.to, step.price, step.passed) for step in by_note[Note.B]) == (
        3,
        COSTS.missing + COSTS.melted,
        (1, 2),
    )
    assert likely[0].to == 1


def test_an_ornament_left_out_as_a_whole_is_cheaper_than_its_gracenotes_one_by_one() -> None:
    """Who leaves it out leaves all of it."""
    by_note, _ = REACH.steps(3, Note.B)
    step = next(step for step in by_note[Note.C] if step.to == 7)
    assert step.price == pytest.approx(COSTS.missing + 2 * COSTS.missing_more)
    assert step.gap == 0.5


def test_a_wrong_note_may_be_the_gracenote_or_the_melody_note_after_it() -> None:
    """From the B: the doubling's first gracenote, or the C with all three left out."""
    _, likely = REACH.steps(3, Note.B)
    assert [(step.to, step.passed) for step in likely] == [(4, ()), (7, (4, 5, 6))]


def test_a_repeat_is_a_way_on() -> None:
    """From the last note back to the first."""
    by_note, _ = REACH.steps(7, Note.C)
    assert next((step.to, step.way, step.gap) for step in by_note[Note.LOW_A]) == (0, Way.AGAIN, 2.0)


def test_a_player_who_has_not_begun_begins_with_the_first_note() -> None:
    """Nothing sounds before."""
    by_note, _ = REACH.steps(BEFORE_FIRST, NOTHING)
    assert by_note[Note.LOW_A][0].to == 0


def test_runs_of_notes_are_found_where_they_sound() -> None:
    """Equal neighbours melted."""
    assert REACH.alike((Note.LOW_A, Note.HIGH_G, Note.LOW_A)) == [(0, 1, 2)]
    assert REACH.alike((Note.F, Note.F, Note.F)) == []


def test_what_is_worked_out_ahead_is_what_is_found_at_first_use() -> None:
    """A little at a time, until there is nothing left to work out."""
    graph = Graph(SCORE)
    lazy, ahead = Reach(graph, COSTS), Reach(graph, COSTS)
    for _ in range(200):
        ahead.prepare(3)
    known = dict(ahead._steps)
    assert len(known) == (NOTHING + 1) * (1 + len(graph.events) + len(graph.bars))
    for place in range(BEFORE_FIRST, len(graph.events)):
        for sounding in range(NOTHING + 1):
            assert lazy.steps(place, sounding) == ahead.steps(place, sounding)
    for bar in graph.bars:
        assert lazy.into(bar, 3) == ahead.into(bar, 3)
    assert ahead._steps == known
