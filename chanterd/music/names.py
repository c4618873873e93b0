"""What somebody meant by the name of an ornament: in other words, in the plural, misspelt, or with its melody note.

``C doubling`` and ``doubling on C`` are doublings to C; ``throw on D`` is the ornament of that name.
"""

import difflib
import re
import unicodedata
from functools import lru_cache

from chanterd.config import ChanterdError, did_you_mean, quoted
from chanterd.music.note import WORDS, Note, note_from_words
from chanterd.music.ornament import Book, Ornament, plain

CLOSE = 0.82
"""From which likeness on a misspelt name counts as meant; 1 is letter for letter."""
SURE_FROM = 6
"""Letters of a name from which a close misspelling is taken for it; short names are too like each other to guess."""
NEAREST = 3
SHORTEST_PLURAL = 4

_NOTE = "|".join(words.lower() for words in WORDS)
_ON = re.compile(rf"^(?P<name>.+?) (?:to|on|onto) (?P<note>{_NOTE})$")
_OF = re.compile(rf"^(?P<note>{_NOTE}) (?P<name>.+)$")

Meant = tuple[Ornament, Note | None]
"""An ornament, and the melody note if the words name it."""


def as_compared(words: str) -> str:
    """Words as names are compared: no capitals, accents, hyphens, blanks or plurals."""
    bare = "".join(one for one in unicodedata.normalize("NFKD", words) if not unicodedata.combining(one))
    return "".join(
        word[:-1] if len(word) >= SHORTEST_PLURAL and word.endswith("s") else word for word in plain(bare).split()
    )


@lru_cache(maxsize=4)
def _by_name(book: Book) -> dict[str, Ornament]:
    """Every name, earlier ornaments first."""
    named: dict[str, Ornament] = {}
    for ornament in book.ornaments:
        for name in ornament.names:
            named.setdefault(as_compared(name), ornament)
    return named


def find_named(words: str, book: Book) -> Meant:
    """The ornament that the words mean, a close misspelling included. Raises ChanterdError with the three nearest."""
    readings = list(_readings(plain(words)))
    named = _by_name(book)
    for name, theme in readings:
        if as_compared(name) in named:
            return named[as_compared(name)], theme
    close = [
        (difflib.SequenceMatcher(None, as_compared(name), near).ratio(), near, theme)
        for name, theme in readings
        for near in difflib.get_close_matches(as_compared(name), named, n=1, cutoff=CLOSE)
        if len(near) >= SURE_FROM
    ]
    if close:
        _, near, theme = max(close, key=lambda one: one[0])
        return named[near], theme
    raise ChanterdError(f"{quoted(words)} is not an ornament in the book.{guess_at(words, book)}")


def _readings(words: str) -> list[tuple[str, Note | None]]:
    """The words as a name, and as a name with a melody note behind it or before it."""
    readings: list[tuple[str, Note | None]] = [(words, None)]
    for pattern in (_ON, _OF):
        match = pattern.match(words)
        if match:
            readings.append((match["name"], note_from_words(match["note"])))
    return readings


def guess_at(words: str, book: Book) -> str:
    """What may have been meant, as a sentence or two with a leading blank, the three nearest ornaments in it."""
    meant = did_you_mean(as_compared(words), _by_name(book))
    first, *others = (f"'{name}'" for name in nearest(words, book))
    return (
        f" Did you mean {first}? Also near: {' and '.join(others)}."
        if meant
        else f" The nearest are {first}, {' and '.join(others)}."
    )


def nearest(words: str, book: Book) -> list[str]:
    """The ornaments whose names are most like the words, at most three, the nearest first."""
    named = _by_name(book)
    near = difflib.get_close_matches(as_compared(words), named, n=3 * NEAREST, cutoff=0.0)
    return list(dict.fromkeys(named[name].name for name in near))[:NEAREST]
