"""The ornaments of a tune, named with the words of the book.

What is compared is the sound: the note before, the gracenotes and the theme note, with equal neighbours melted into one
as they do on the chanter. So a birl written ``{GAG}A`` after a low A is the book's birl from low A. The note before is
the one that is played before: at a second ending the last one before the first ending. Where a repeat begins, it is the
one written before it or, if the book plays the ornament only from there, the last one of the repeated bars.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from chanterd.music.note import Note
from chanterd.music.ornament import Book, Ornament
from chanterd.music.sounding import melted
from chanterd.music.tunes.played_before import notes_before
from chanterd.music.tunes.tune import Tune, TuneNote
from chanterd.music.ways import find_spelling, from_to, ways_in, why_not

Sound = tuple[Note, ...]
"""Notes in the order in which they begin to sound."""
GENERAL = "Strikes"
"""The chapter whose names only say what is tapped: what sounds the same and has a name of its own is called by that."""


@dataclass(frozen=True, slots=True)
class Named:
    """What the gracenotes before one melody note are."""

    place: int
    """The index of the melody note in the tune."""
    ornament: Ornament | None
    """None: no ornament of the book."""
    drill: str | None
    """The ornament and its way in, as a drill in words; None if the book has no drill from the note before."""
    said: str
    """Why there is no drill; empty if there is one."""


@dataclass(frozen=True, slots=True)
class _Way:
    ornament: Ornament
    lead: Note
    theme: Note
    gracenotes: Sound
    """As the book spells it from that note."""


class Sounds:
    """The book by sound: from which note to which is it what ornament."""

    def __init__(self, book: Book) -> None:
        """Work out how every drill of the book sounds."""
        self._by_sound: dict[Sound, list[_Way]] = {}
        self._by_spelling: dict[Sound, list[Ornament]] = {}
        for ornament in book.ornaments:
            for lead, theme in ways_in(ornament):
                spelling = find_spelling(ornament, lead, theme)
                if spelling is None or not spelling.steps:
                    continue
                notes = spelling.on(theme)
                way = _Way(ornament, lead, theme, notes[:-1])
                self._by_sound.setdefault(melted(lead, *notes), []).append(way)
                known = self._by_spelling.setdefault(notes, [])
                if ornament not in known:
                    known.append(ornament)

    def find(self, lead: Note, gracenotes: Sequence[Note], theme: Note) -> _Way | None:
        """The way in that sounds so from that note: one spelled so if there is any, then the first in the book."""
        sounding = self._by_sound.get(melted(lead, *gracenotes, theme), ())
        ways = [way for way in sounding if way.lead is lead and way.theme is theme]
        if not ways:
            return None
        return min(ways, key=lambda way: (way.ornament.chapter == GENERAL, way.gracenotes != tuple(gracenotes)))

    def spelled(self, gracenotes: Sequence[Note], theme: Note) -> Ornament | None:
        """The ornament that the book spells so from some note; None if there is none."""
        found = self._by_spelling.get((*gracenotes, theme))
        return min(found, key=lambda ornament: ornament.chapter == GENERAL) if found else None


@lru_cache(maxsize=4)
def sounds_of(book: Book) -> Sounds:
    """The book by sound, worked out once."""
    return Sounds(book)


def name_ornaments(tune: Tune, book: Book) -> list[Named]:
    """Every note of a tune that has gracenotes, and what they are, in the order of the tune."""
    sounds, befores = sounds_of(book), notes_before(tune)
    return [
        _named(sounds, place, [tune.notes[before].note for before in befores[place]], note)
        for place, note in enumerate(tune.notes)
        if note.gracenotes
    ]


def _named(sounds: Sounds, place: int, leads: Sequence[Note], note: TuneNote) -> Named:
    """What one group of gracenotes is; ``leads`` is empty before the first note of a tune."""
    gracenotes, theme = note.gracenotes, note.note
    for lead in leads:
        way = sounds.find(lead, gracenotes, theme)
        if way is not None:
            return Named(place, way.ornament, from_to(way.ornament, way.lead, way.theme), "")
    ornament = sounds.spelled(gracenotes, theme)
    if ornament is None:
        return Named(place, None, None, f"{_spelled(gracenotes)} before {theme.words} is not an ornament of the book.")
    if not leads:
        return Named(place, ornament, None, f"The {ornament.name} on the first note has no note before it.")
    return Named(place, ornament, None, why_not(ornament, leads[0], theme))


def _spelled(gracenotes: Sequence[Note]) -> str:
    words = ", ".join(note.words for note in gracenotes)
    return words[0].upper() + words[1:]
