"""The ways in: from which notes an ornament is played to which, by which spelling, and what is said where it is not."""

from collections.abc import Iterator, Sequence

from chanterd.music.note import Note
from chanterd.music.ornament import Ornament, Spelling
from chanterd.music.sounding import why_spelling_silent


def find_spelling(ornament: Ornament, lead: Note, theme: Note) -> Spelling | None:
    """The first spelling that serves between two notes and can sound there, or None if it is not played there."""
    for spelling in ornament.spellings:
        if spelling.serves(lead, theme) and not why_spelling_silent(spelling, lead, theme, ornament.beat):
            return spelling
    return None


def leads_to(ornament: Ornament, theme: Note) -> list[Note]:
    """Every note it is played from to that theme note, rising."""
    return [lead for lead in Note if find_spelling(ornament, lead, theme)]


def ways_in(ornament: Ornament) -> Iterator[tuple[Note, Note]]:
    """Every lead and theme note between which it is played, by theme and then by lead, rising."""
    for theme in ornament.themes:
        for lead in leads_to(ornament, theme):
            yield lead, theme


def from_to(ornament: Ornament, lead: Note, theme: Note) -> str:
    """The ornament and its way in, in words; the theme is left out where there is only one."""
    to = "" if ornament.themes == (theme,) else f" to {theme.words}"
    return f"{ornament.name} from {lead.words}{to}"


def why_not(ornament: Ornament, lead: Note, theme: Note) -> str:
    """What is said when someone asks for an ornament where it is not played: the reason, and what takes its place."""
    leads = leads_to(ornament, theme)
    silent = _why_silent(ornament, lead, theme)
    if silent:
        reason, mend = silent, f"ask for it from {any_of(leads)}"
    elif theme in ornament.themes:
        to = f"to {theme.words} " if ornament.themes[1:] else ""
        reason, mend = f"{to}it is played only from {any_of(leads)}", ""
    else:
        reason, mend = f"it is played only to {any_of(ornament.themes)}", ""
    for other in ornament.instead:
        if find_spelling(other, lead, theme):
            mend = f"the {other.name} takes its place. Ask for '{from_to(other, lead, theme)}'"
            break
    said = "; ".join(part for part in (reason, mend) if part)
    return f"There is no {from_to(ornament, lead, theme)}: {said}."


def _why_silent(ornament: Ornament, lead: Note, theme: Note) -> str | None:
    """Why the spelling that the table offers between the two notes cannot sound; None if it offers none."""
    for spelling in ornament.spellings:
        if spelling.serves(lead, theme):
            return why_spelling_silent(spelling, lead, theme, ornament.beat)
    return None


def any_of(notes: Sequence[Note]) -> str:
    """``B``, ``B or C``, or ``B, C or D``."""
    words = [note.words for note in notes]
    return " or ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)
