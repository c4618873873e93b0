"""Runs through tunes of the history as a page shows them."""

from chanterd.assessing.tune_again import TakeAgain
from chanterd.serving.wire.tunes import ClickHeard, HeardTune, NoteHeard


def take_again(take: TakeAgain) -> HeardTune:
    """A take as it sounds, to a tenth of a ms."""
    return HeardTune(
        notes=[
            NoteHeard(at_s=round(one.at_s, 4), note=None if one.note is None else one.note.words, place=one.place)
            for one in take.notes
        ],
        clicks=[ClickHeard(at_s=round(at_s, 4), accent=accent) for at_s, accent in take.clicks],
        end_s=round(take.end_s, 4),
        begins_s=round(take.begins_s, 4),
    )
