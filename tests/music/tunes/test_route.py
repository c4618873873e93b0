"""The notes of a tune or a passage in the order of playing."""

from itertools import pairwise

import pytest

from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.route import route, routed

TUNE = "|:A4B4|1 c4d4:|2 e4f4|]g8:|"


def letters(first: int = 0, last: int | None = None, *, left_out: bool = False) -> str:
    """Of the notes in order."""
    [tune] = read_abc(f"X:1\nM:4/4\nL:1/8\nK:HP\n{TUNE}\n".encode())
    owners = routed(make_passage(tune, first, last), lambda: left_out)
    return "".join(tune.notes[owner].note.abc for owner in owners)


@pytest.mark.parametrize(
    ("first", "last", "order"),
    [
        (0, 6, "ABcdABefgg"),
        (0, 5, "ABcdABef"),
        (1, 5, "Bef"),  # the beginning of the repeat is not in it, so it is played once, with its last ending
        (1, 3, "Bcd"),
        (2, 5, "cdef"),  # endings only: as they are written
        (5, 6, "fgg"),
    ],
)
def test_a_passage_is_repeated_as_far_as_it_holds_the_repeat(first: int, last: int, order: str) -> None:
    """Both notes are in it."""
    assert letters(first, last) == order


def test_a_repeat_that_is_left_out_is_played_for_its_last_time() -> None:
    """With the last ending."""
    assert letters(left_out=True) == "ABefg"


def test_every_way_of_it_is_one_of_the_score() -> None:
    """So that it can be followed."""
    [tune] = read_abc(f"X:1\nM:4/4\nL:1/8\nK:HP\n{TUNE}\n".encode())
    for first in range(7):
        for last in range(first, 7):
            passage = make_passage(tune, first, last)
            owners = route(passage)
            for before, after in pairwise(owners):
                assert after - first in [edge.to for edge in passage.edges[before - first]]
