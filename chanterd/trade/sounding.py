"""Whether a run of steps can sound at all: the one place that decides it, and says why not.

The facts behind it: the chanter sounds without a break, so that two equal notes in a row melt into one; a gracenote
must be higher than both its neighbours, a tap lower (common practice of the trade, no published source).
"""

from collections.abc import Sequence

from chanterd.trade.note import Note
from chanterd.trade.ornament import Kind


def quick_name(note: Note, after: Note) -> str:
    """What a piper calls a quick step before the note ``after``: ``G gracenote``, ``D gracenote``, ``low G tap``."""
    if note < after:
        return f"{note.words} tap"
    return "G gracenote" if note is Note.HIGH_G else f"{note.words} gracenote"


def why_silent(lead: Note, notes: Sequence[Note], kinds: Sequence[Kind], beat: int | None) -> str | None:
    """Why a run of steps (``notes``, the theme last) cannot be played after the lead, or None if it can.

    A quick step must stand out from both its neighbours. A held step or the theme may melt into the note before it,
    but not the held step that carries the beat (its index is ``beat``; None: the theme carries it). ``kinds`` leaves
    the theme out.
    """
    around = (lead, *notes)
    for index, kind in enumerate(kinds):
        before, note, after = around[index], around[index + 1], around[index + 2]
        since = f"from {before.words}" if index == 0 else f"after the {before.words}"
        if kind is Kind.HELD:
            if index == beat and note == before:
                return f"the {note.words} that belongs on the beat would melt into the {before.words} before it"
        elif note == after:
            return f"the {quick_name(note, after)} cannot sound before a {after.words}"
        elif note == before:
            return f"{since} the {quick_name(note, after)} cannot sound"
        elif (note > before) != (note > after):
            side = "higher" if note > before else "lower"
            return f"{since} the {quick_name(note, after)} cannot sound, being {side} than that note"
    return None
