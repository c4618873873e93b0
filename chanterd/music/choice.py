"""Which drills somebody means: by names of ornaments, ways in, single drills, or any words of drills.

The one search: the command line, sheets and the page answer alike.
"""

import re
from collections.abc import Iterable
from functools import lru_cache

from chanterd.config import ChanterdError, quoted
from chanterd.music.alike import named
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, all_drills, drill_from_words, make_drill, parts_of
from chanterd.music.names import find_named, guess_at
from chanterd.music.note import Note, note_from_words
from chanterd.music.ornament import Book, Ornament, plain
from chanterd.music.placement import with_beat_on
from chanterd.music.ways import ways_in

_WAY = re.compile(r"^(?P<name>.+?)(?: from (?P<lead>.+?))?(?: (?:to|on|onto) (?P<theme>.+?))?$")
_NOTE_OF_TWO = re.compile(r"\b(low|high) ([ag])\b")


def choose(phrases: Iterable[str], book: Book | None = None) -> list[Drill]:
    """The drills that each phrase asks for, in the order asked and of the book, none twice.

    ``grip`` is the ornament of that name from wherever it is played, ``grip from B``, ``grip to C`` or ``C grip`` some
    of its ways, ``birl, beat on low A`` those on which the beat can be there, ``grip from B to C, stage 1`` one drill.
    Any other phrase finds every drill that has, for each of its
    words, one that begins with it. Raises ChanterdError for a phrase that finds nothing, naming the nearest ornaments.
    """
    book = book or standard_book()
    found = {drill.words: drill for phrase in phrases for drill in _meant(phrase, book)}
    if not found:
        raise ChanterdError("A sheet needs at least one drill; say which, such as 'grip' or 'taorluath from C'.")
    return list(found.values())


@lru_cache(maxsize=2)
def _every(book: Book) -> tuple[Drill, ...]:
    """All drills of a book, which take a while to make."""
    return tuple(all_drills(book))


def _meant(phrase: str, book: Book) -> list[Drill]:
    words, stage, beat = parts_of(phrase)
    if stage is not None:
        return [drill_from_words(phrase, book)]
    if beat is not None:
        return _with_beat_on(beat, _meant(words, book))
    name, _, way = words.partition(" from ")
    try:
        ornament, theme = find_named(name, book)
    except ChanterdError:
        match = _WAY.match(words)
        if match is None:
            return _with_words(phrase, book)
        try:
            ornament, theme = find_named(match["name"], book)
        except ChanterdError:
            return _with_words(phrase, book)
        way = " ".join(part for part in (match["lead"], match["theme"] and f"to {match['theme']}") if part)
    lead_words, _, theme_words = re.sub(r"(^| )(?:on|onto|to) ", r"\1to ", way).partition("to ")
    lead = note_from_words(lead_words) if lead_words.strip() else None
    theme = note_from_words(theme_words) if theme_words else theme
    found = _ways(ornament, lead, theme, book)
    if found:
        return found
    if lead is not None and (theme is not None or len(ornament.themes) == 1):
        return [drill_from_words(phrase, book)]  # which says why it is not played there
    raise ChanterdError(
        f"The {ornament.name} is not played as '{phrase}' asks; '{ornament.name}' alone gives every way."
    )


def _ways(ornament: Ornament, lead: Note | None, theme: Note | None, book: Book) -> list[Drill]:
    """Its ways in, each by the name that it goes by in the book."""
    return [
        make_drill(named(book, ornament, *way), *way)
        for way in ways_in(ornament)
        if lead in (None, way[0]) and theme in (None, way[1])
    ]


def _with_beat_on(words: str, drills: list[Drill]) -> list[Drill]:
    """Those of the drills whose beat can be on that note, with it there. Raises ChanterdError if none can."""
    found, refused = [], None
    for drill in drills:
        try:
            placed = with_beat_on(drill.ornament, drill.lead, drill.theme, words)
        except ChanterdError as error:
            refused = refused or error
        else:
            found.append(make_drill(placed, drill.lead, drill.theme))
    if not found and refused is not None:
        raise refused
    return found


def _with_words(phrase: str, book: Book) -> list[Drill]:
    wanted = _words(phrase)
    found = [drill for drill in _every(book) if _has_all(drill, wanted)] if wanted else []
    if not found:
        raise ChanterdError(f"No drill matches {quoted(phrase)}.{guess_at(phrase, book)}")
    return found


def _words(text: str) -> list[str]:
    """The words of a text; the two of a note such as low A are one."""
    return _NOTE_OF_TWO.sub(r"\1_\2", plain(text)).split()


def _has_all(drill: Drill, wanted: list[str]) -> bool:
    """Whether each of the words begins a word of the drill or of one of its ornament's names."""
    words = _words(f"{drill.words} {' '.join(drill.ornament.also)}")
    return all(any(own == word or (own.startswith(word) and len(word) > 1) for own in words) for word in wanted)
