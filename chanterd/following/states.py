"""From pairs of asked notes and onsets to how every asked note was met: played, wrong, merged or missing."""

from collections.abc import Sequence

from chanterd.following.chain import Pair
from chanterd.following.onsets import Onsets
from chanterd.following.reading import StepState
from chanterd.music.note import Note

PLAYED, WRONG_NOTE, MERGED, MISSING = StepState.PLAYED, StepState.WRONG_NOTE, StepState.MERGED, StepState.MISSING
"""By names of their own, since looking a member up in its enum takes long (on Python 3.11)."""

Reading = tuple[StepState, int | None]
"""How an asked note was met, and the onset that it was."""


def states_of(
    notes: Sequence[Note], pairs: list[Pair], onsets: Onsets, size: int | None, before: Note | None
) -> dict[int, Reading]:
    """The state of every asked note, by its place: up to the last pair, or up to ``size``.

    ``before`` is what sounded when the first of them was due.
    """
    found: dict[int, Reading] = {}
    sounding, place = before, 0
    for at, index in pairs:
        while place < at:
            found[place] = (MERGED if notes[place] == sounding else MISSING, None)
            place += 1
        if onsets.notes[index] == notes[place]:
            sounding = onsets.notes[index]
            found[place] = (PLAYED, index)
        else:
            found[place] = (WRONG_NOTE, index)
        place += 1
    while size is not None and place < size:
        found[place] = (MERGED if notes[place] == sounding else MISSING, None)
        place += 1
    return found
