"""Which note is played before another: a repeat or an ending may make that another than the one written before it."""

from itertools import pairwise

from chanterd.music.tunes.tune import Tune
from chanterd.music.tunes.unfolding import as_played, notes_in


def notes_before(tune: Tune) -> list[list[int]]:
    """By note, the indices of the notes that are played before it, first the one of the first time through.

    Empty for the first note as written: it begins the tune.
    """
    places = notes_in(tune)
    found: list[list[int]] = [[place - 1] if place else [] for place in range(len(tune.notes))]
    played = [places[bar] for bar in as_played(tune.bars) if places[bar]]
    for notes in places:
        if notes:
            found[notes[0]] = []
    for before, after in pairwise(played):
        if after[0] and before[-1] not in found[after[0]]:
            found[after[0]].append(before[-1])
    return found
