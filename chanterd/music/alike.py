"""One sound, one name: which of several ornaments that sound alike between two notes gives the way its name.

The first in the book does. What is written long is not alike with what is short, nor an ornament that leads up to the
beat with one that begins on it. An ornament that only a teacher's own tables have keeps its name.
"""

from chanterd.music.book import standard_book
from chanterd.music.note import Note
from chanterd.music.ornament import Book, Kind, Ornament, Spelling
from chanterd.music.ways import find_spelling

Sound = tuple[bool, tuple[tuple[Note, int], ...]]
"""Whether the beat is on the melody note; and every note that is heard, the note before first, with its ``times``."""


def sound_of(ornament: Ornament, spelling: Spelling, lead: Note, theme: Note) -> Sound:
    """What is heard of a spelling between two notes, equal neighbours merged."""
    heard = [(lead, 1)]
    for note, times in zip(spelling.on(theme), (*(step.times for step in spelling.steps), 1), strict=True):
        if note == heard[-1][0]:
            heard[-1] = (note, max(times, heard[-1][1]))
        else:
            heard.append((note, times))
    return ornament.beat is None, tuple(heard)


def is_own(ornament: Ornament) -> bool:
    """Whether it is a teacher's own."""
    return standard_book().get(ornament.name) is None


def named(book: Book, ornament: Ornament, lead: Note, theme: Note) -> Ornament:
    """The ornament whose name the way goes by when somebody asks for ``ornament`` there; itself if no other's.

    A gracenote that is only heard in passing is found under that name. What is written with an opening gracenote but
    played without it, such as a doubling from high A, is found as the half one.
    """
    spelling = find_spelling(ornament, lead, theme)
    if is_own(ornament):
        return ornament
    written = spelling or next((one for one in ornament.spellings if one.serves(lead, theme)), None)
    if written is None:
        return ornament
    if _every_quick_step_sounds(written, lead, theme):
        wanted = sound_of(ornament, written, lead, theme)
        for other in book.ornaments:
            found = find_spelling(other, lead, theme)
            if found and sound_of(other, found, lead, theme) == wanted:
                return other
    played = next((other for other in ornament.instead if find_spelling(other, lead, theme)), None)
    if spelling is None and played is not None:
        half = find_spelling(played, lead, theme)
        if half is not None and half.steps and half.steps == written.steps[1:]:
            return played
    return ornament


def _every_quick_step_sounds(spelling: Spelling, lead: Note, theme: Note) -> bool:
    notes = (lead, *spelling.on(theme))
    return all(
        kind is not Kind.QUICK or notes[index] not in (notes[index - 1], notes[index + 1])
        for index, kind in enumerate(spelling.kinds, 1)
    )
