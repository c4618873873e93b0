"""The sentence about a time through a passage."""

from chanterd.music.tunes.passage import make_passage
from chanterd.practice.passage.round_words import round_said
from tests.bench.tune_performances import CONDITIONS, sample, shipped

PASSAGE = make_passage(shipped("seven-gulls"), 6, 13, loops=True)
NOTES = sample("seven-gulls", CONDITIONS["clean"], 42, PASSAGE).run().since(0)


def test_what_matters_most_is_said() -> None:
    """That it was not played through comes first; then that it was clean, with the row."""
    assert round_said(PASSAGE, NOTES, 1, broken_off=False, left=False) == "Clean."
    assert round_said(PASSAGE, NOTES, 3, broken_off=False, left=False) == "Clean. 3 in a row."
    assert round_said(PASSAGE, NOTES[:3], 0, broken_off=True, left=True) == "You broke off in bar 2 and began again."
    assert round_said(PASSAGE, NOTES, 0, broken_off=False, left=True) == "You went back or left something out."


def test_a_note_left_out_is_named_with_its_bar() -> None:
    """As a gracenote left out is."""
    NOTES[1].result["state"] = "missing"
    assert round_said(PASSAGE, NOTES, 0, broken_off=False, left=False) == "You left out the F in bar 2."
