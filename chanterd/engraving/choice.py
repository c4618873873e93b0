"""Which drills a sheet holds, from what a teacher says: names of ornaments, ways in, single drills, or any words."""

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from chanterd.config import ChanterdError, did_you_mean
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, all_drills, drill_from_words
from chanterd.music.note import Note, note_from_words
from chanterd.music.ornament import Book, plain

_WAY = re.compile(r"^(?P<name>.+?)(?: from (?P<lead>.+?))?(?: to (?P<theme>.+?))?(?P<stage> ?, ?stage .+)?$")


def choose(phrases: Iterable[str], book: Book | None = None) -> list[Drill]:
    """The drills that each phrase means, in the order of the phrases and then of the book, none twice.

    ``grip`` is the ornament of that name from wherever it is played, ``grip from B`` or ``grip to C`` some of its ways,
    ``grip from B to C, stage 1`` one drill. Any other phrase finds every drill whose words hold all of its words.
    Raises ChanterdError for a phrase that finds nothing, saying why.
    """
    book = book or standard_book()
    found = {drill.words: drill for phrase in phrases for drill in _asked(phrase, book)}
    if not found:
        raise ChanterdError("A sheet needs at least one drill; say which, such as 'grip' or 'taorluath from C'.")
    return list(found.values())


@lru_cache(maxsize=2)
def _every(book: Book) -> tuple[Drill, ...]:
    """All drills of a book, which take a while to make."""
    return tuple(all_drills(book))


def _asked(phrase: str, book: Book) -> list[Drill]:
    words = plain(phrase)
    way = _WAY.match(words)
    ornament = book.get(way["name"]) if way else None
    if way is None or ornament is None:
        return _with_words(phrase, book)
    if way["stage"]:
        return [drill_from_words(phrase, book)]
    lead = note_from_words(way["lead"]) if way["lead"] else None
    theme = note_from_words(way["theme"]) if way["theme"] else None
    found = [drill for drill in _every(book) if drill.ornament.name == ornament.name and _goes(drill, lead, theme)]
    if found:
        return found
    if lead is not None and (theme is not None or len(ornament.themes) == 1):
        return [drill_from_words(phrase, book)]  # which says why it is not played there
    raise ChanterdError(
        f"The {ornament.name} is not played as '{phrase}' asks; '{ornament.name}' alone gives every way."
    )


def _goes(drill: Drill, lead: Note | None, theme: Note | None) -> bool:
    return lead in (None, drill.lead) and theme in (None, drill.theme)


def _with_words(phrase: str, book: Book) -> list[Drill]:
    wanted = plain(phrase).split()
    found = [drill for drill in _every(book) if {*wanted} <= {*plain(drill.words).split()}] if wanted else []
    if not found:
        guess = did_you_mean(plain(phrase), _names(book))
        mend = guess or " See 'chanterd drills' for all there are."
        raise ChanterdError(f"No drill matches '{phrase}'.{mend}")
    return found


def _names(book: Book) -> Iterator[str]:
    return (plain(name) for ornament in book.ornaments for name in ornament.names)
