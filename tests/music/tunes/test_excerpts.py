"""Passages of a tune, wider and wider."""

from itertools import pairwise

import pytest

from chanterd.config import ChanterdError
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.excerpts import Width, around, chosen, parts_of, widths
from tests.bench.tune_performances import TEMPI, shipped

[TUNE] = read_abc(b"X:1\nM:2/4\nL:1/8\nK:HP\n|: A2 {g}A B | {GdG}c4 | d2 e2 :: f4 | e4 :|\n")


def test_an_ornament_is_taken_out_with_its_neighbours_and_put_back_wider_and_wider() -> None:
    """Beat, bar, two bars, part, tune; the note that leads to it stays in."""
    found = widths(TUNE, around(TUNE, 3))
    assert [(one.width, one.first, one.last) for one in found] == [
        (Width.ORNAMENT, 2, 4),
        (Width.TWO_BARS, 2, 5),
        (Width.PART, 0, 5),
        (Width.TUNE, 0, 7),
    ]
    assert [one.words for one in found] == [
        "the ornament in bar 2 by itself",
        "bars 2 and 3",
        "part 1",
        "the whole tune",
    ]


@pytest.mark.parametrize("name", TEMPI)
def test_each_width_holds_the_one_before_and_adds_to_it(name: str) -> None:
    """For every ornament of the tunes that ship, from three notes at most to the tune."""
    tune = shipped(name)
    for note in (index for index, one in enumerate(tune.notes) if one.gracenotes):
        found = widths(tune, around(tune, note))
        assert found[0].last - found[0].first <= 2
        assert (found[-1].first, found[-1].last) == (0, len(tune.notes) - 1)
        assert all(one.of == note for one in found)
        for before, after in pairwise(found):
            assert after.first <= before.first <= before.last <= after.last
            assert after.last - after.first > before.last - before.first


def test_notes_that_somebody_chose_have_the_name_of_a_bar_if_they_are_one() -> None:
    """Else they are notes in bars."""
    assert chosen(TUNE, 0, 2).words == "bar 1"
    assert chosen(TUNE, 1, 3).words == "the notes in bars 1 to 2"
    assert chosen(TUNE, 0, 5).words == "bars 1 to 3"
    assert chosen(TUNE, 0, 7).words == "the whole tune"
    assert parts_of(TUNE) == [(0, 5), (6, 7)]


def test_a_note_without_gracenotes_has_nothing_to_take_out() -> None:
    """The bar is named, so that the note can be found."""
    with pytest.raises(ChanterdError, match="Note 2, the B in bar 1, has no gracenotes"):
        around(TUNE, 2)
    with pytest.raises(ChanterdError, match="one from 0 to 7"):
        around(TUNE, 8)
