"""What may be played after the last note of a bar."""

from itertools import pairwise

import pytest

from chanterd.music.score import Way
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.unfolding import as_played, notes_in


def ways(body: str) -> list[tuple[str, str, Way, float]]:
    """From letter to letter, how, and how many clicks lie between; what is simply next is left out."""
    [tune] = read_abc(f"X:1\nM:4/4\nL:1/8\nK:HP\n{body}\n".encode())
    return [
        (tune.notes[place].note.abc, tune.notes[edge.to].note.abc, edge.way, edge.gap)
        for place, edges in enumerate(make_passage(tune).edges)
        for edge in edges
        if edge.way
    ]


def test_from_a_repeat_on_and_back() -> None:
    """What is written next comes first."""
    assert ways("|:A4B4:|c8|") == [("B", "c", Way.ON, 2.0), ("B", "A", Way.AGAIN, 2.0)]


def test_into_each_ending_and_back_from_the_first() -> None:
    """From the last ending it goes on as written, and from the first only back."""
    assert ways("|:A4B4|1 c8:|2 d8|]e8|") == [
        ("B", "c", Way.FIRST, 2.0),
        ("B", "d", Way.ON, 2.0),
        ("c", "A", Way.AGAIN, 4.0),
    ]


def test_an_ending_that_is_played_again_last_leads_on_too() -> None:
    """The third time through it is the first ending, behind which the second is written."""
    assert ways("|:A8|1,3 B8:|2 c8:|d8|") == [
        ("A", "B", Way.FIRST, 4.0),
        ("A", "c", Way.ON, 4.0),
        ("B", "d", Way.ON, 4.0),
        ("B", "A", Way.AGAIN, 4.0),
        ("c", "A", Way.AGAIN, 4.0),
    ]


def test_a_bar_of_rest_takes_its_time() -> None:
    """Before the sign that leads back."""
    assert ways("|:A8|z8:|B8|") == [("A", "B", Way.ON, 8.0), ("A", "A", Way.AGAIN, 8.0)]


@pytest.mark.parametrize("body", ["|:A8|1,3 B8:|2 c8:|d8|", "e|A8|B7:|:f|c8|d7:|", "|:A8|1 B8:|c8||d8:|"])
def test_whatever_is_played_can_be_followed(body: str) -> None:
    """Between any two notes played one after the other there is a way."""
    [tune] = read_abc(f"X:1\nM:4/4\nL:1/8\nK:HP\n{body}\n".encode())
    notes, edges = notes_in(tune), make_passage(tune).edges
    played = [note for bar in as_played(tune.bars) for note in notes[bar]]
    for before, after in pairwise(played):
        assert after in [edge.to for edge in edges[before]]
