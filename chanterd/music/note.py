"""The nine notes of the chanter, in rising order: their names, ABC letters and written MIDI numbers.

Written MIDI numbers (C and F sound sharp) and ABC letters: common practice of the trade, no published source; the ABC
letters are those of the open ABC notation under ``K:HP``.
"""

from enum import IntEnum
from typing import Annotated

from chanterd.config import ChanterdError, did_you_mean, quoted
from chanterd.values import Read


class Note(IntEnum):
    """One of the nine notes; the value is its rank from 0 (low G) to 8 (high A), so notes compare by pitch."""

    LOW_G = 0
    LOW_A = 1
    B = 2
    C = 3
    D = 4
    E = 5
    F = 6
    HIGH_G = 7
    HIGH_A = 8

    @property
    def words(self) -> str:
        """The name a piper says, such as ``low G``."""
        return WORDS[self]

    @property
    def abc(self) -> str:
        """The ABC letter, such as ``G`` for low G and ``g`` for high G."""
        return ABC[self]

    @property
    def midi(self) -> int:
        """The MIDI number of the written pitch."""
        return WRITTEN_MIDI[self]


WORDS = ("low G", "low A", "B", "C", "D", "E", "F", "high G", "high A")
ABC = "GABcdefga"
WRITTEN_MIDI = (67, 69, 71, 73, 74, 76, 78, 79, 81)

_BY_WORDS = {words.lower(): Note(rank) for rank, words in enumerate(WORDS)}


def _plain(words: str) -> str:
    return " ".join(words.lower().replace("-", " ").split())


def note_from_words(words: str) -> Note:
    """The note of that name; case, hyphens and extra blanks are ignored.

    Raises ChanterdError naming the nine notes, with a guess at which you mean.
    """
    plain = _plain(words)
    if plain in _BY_WORDS:
        return _BY_WORDS[plain]
    octave = " Say which: 'low' or 'high'." if plain in ("g", "a") else _guess(plain)
    raise ChanterdError(f"{quoted(words)} is not a note of the chanter.{octave} The nine notes are {', '.join(WORDS)}.")


def _guess(plain: str) -> str:
    guess = did_you_mean(plain, _BY_WORDS)
    return next(
        (guess.replace(f"'{name}'", f"'{note.words}'") for name, note in _BY_WORDS.items() if f"'{name}'" in guess), ""
    )


def missing_notes(table: str, written: object) -> str | None:
    """A sentence about the notes that a table of all nine, by their names, has not; None if they are all there."""
    if not isinstance(written, dict):
        return None
    given = {_plain(name) for name in written}
    missing = [note.words for note in Note if note.words.lower() not in given]
    return f"'{table}' has no {', '.join(missing)}; all nine must be there: {', '.join(WORDS)}." if missing else None


NoteName = Annotated[Note, Read(note_from_words)]
"""A note in a table, by its name."""


def note_from_abc(letter: str) -> Note:
    """The note of that ABC letter; capitals matter (``G`` is low G, ``g`` is high G).

    Raises ChanterdError naming the nine letters.
    """
    rank = ABC.find(letter) if len(letter) == 1 else -1
    if rank < 0:
        raise ChanterdError(f"'{letter}' is not an ABC letter of the chanter; the nine are {' '.join(ABC)}.")
    return Note(rank)
