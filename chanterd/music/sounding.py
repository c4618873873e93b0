"""Whether a run of steps can sound at all: the one place that decides it, and says why not.

The facts behind it: the chanter sounds without a break, so that two equal notes in a row merge into one; a gracenote
must be higher than both its neighbours, a tap lower (common practice of the trade, no published source). A note that
the melody passes through on its way up or down is heard all the same, and a table may say of a step that it is one.
"""

from collections.abc import Container, Sequence

from chanterd.music.note import Note
from chanterd.music.ornament import Kind, Spelling

_AS_GRACENOTE = {Note.HIGH_G: "G", Note.HIGH_A: "thumb"}
"""What a note is called as a gracenote, where that is not its name."""


def melted(*notes: Note) -> tuple[Note, ...]:
    """What begins to sound: a note equal to the one before it does not."""
    return tuple(note for index, note in enumerate(notes) if not index or notes[index - 1] is not note)


def quick_name(note: Note, after: Note) -> str:
    """What a piper calls a quick step before the note ``after``: ``G gracenote``, ``D gracenote``, ``low G tap``."""
    return f"{note.words} tap" if note < after else gracenote_name(note)


def gracenote_name(note: Note) -> str:
    """What pipers call a gracenote of that note: ``G gracenote``, since one on low G would be a tap."""
    return f"{_AS_GRACENOTE.get(note, note.words)} gracenote"


def why_silent(
    lead: Note, notes: Sequence[Note], kinds: Sequence[Kind], beat: int | None, passing: Container[int] = ()
) -> str | None:
    """Why a run of steps (``notes``, the theme last) cannot be played after the lead, or None if it can.

    A quick step must differ from both its neighbours: higher or lower than both, or between them if its index is in
    ``passing``. A held step or the theme may merge with the note before it,
    but not the held step that carries the beat (its index is ``beat``; None: the theme carries it). ``kinds`` leaves
    the theme out.
    """
    if not kinds and lead == notes[-1]:
        return f"two notes on {lead.words} in a row melt into one"
    before = lead
    for index, kind in enumerate(kinds):
        note, after = notes[index], notes[index + 1]
        if kind is Kind.HELD:
            if index == beat and note == before:
                return f"the {note.words} that belongs on the beat would melt into the {before.words} before it"
        elif note in (before, after) or ((note > before) != (note > after) and index not in passing):
            return _why_hidden(before, note, after, first=index == 0)
        before = note
    return None


def why_spelling_silent(spelling: Spelling, lead: Note, theme: Note, beat: int | None) -> str | None:
    """Why a spelling cannot be played between two notes, or None if it can; ``beat`` as in :func:`why_silent`."""
    return why_silent(lead, spelling.on(theme), spelling.kinds, beat, spelling.passing)


def _why_hidden(before: Note, note: Note, after: Note, *, first: bool) -> str:
    """Why a quick step does not differ from its neighbours; ``first``: the note before is the lead."""
    name = quick_name(note, after)
    if note == after:
        return f"the {name} cannot sound before {after.words}"
    since = f"from {before.words}" if first else f"after the {before.words}"
    if note == before:
        return f"{since} the {name} cannot sound"
    return f"{since} the {name} cannot sound, being the {'higher' if note > before else 'lower'} of the two"
