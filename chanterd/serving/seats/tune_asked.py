"""A tune or a passage of it that is to be played: in the words of a person or a program, and resolved."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from chanterd.config import ChanterdError
from chanterd.history.tune_record import TunePassage, written_as
from chanterd.judging.standard import DEFAULT, Standard, find_standard
from chanterd.music.grid import click_bpm
from chanterd.music.ornament import Book
from chanterd.music.tunes.passage import Passage, make_passage
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import Bpm
from chanterd.practice.exercise import Vocabulary

Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class TuneWords:
    """None is the usual choice; notes count from 0 in the tune as written, both are included."""

    click_bpm: object
    first: int | None = None
    last: int | None = None
    standard: str | None = None
    click_off: bool = False


@dataclass(frozen=True, slots=True)
class TuneAsked:
    """What is to be played, over and over."""

    key: str
    title: str
    passage: Passage
    book: Book
    standard: Standard
    click_bpm: Bpm
    click_off: bool = False

    @property
    def to_keep(self) -> TunePassage:
        """The same for the history."""
        passage = self.passage
        return TunePassage(
            tune=self.key,
            title=self.title,
            written=written_as(passage.tune),
            first=passage.first,
            last=passage.last,
            click_bpm=self.click_bpm,
            click_off=self.click_off,
            standard=self.standard.name,
        )


def tune_asked(key: str, tune: Tune, words: TuneWords, known: Vocabulary) -> TuneAsked:
    """What the words ask for. Raises ChanterdError with a line for each mistake."""
    mistakes: list[str] = []

    def read(find: Callable[[], Found]) -> Found | None:
        try:
            return find()
        except ChanterdError as error:
            mistakes.append(str(error))
            return None

    passage = read(lambda: make_passage(tune, words.first or 0, words.last, loops=True))
    bpm = read(lambda: click_bpm(words.click_bpm))
    standard = read(lambda: find_standard(words.standard or DEFAULT, known.standards))
    if passage is None or bpm is None or standard is None:
        raise ChanterdError("\n".join(mistakes))
    return TuneAsked(key, tune.title or key, passage, known.book, standard, bpm, words.click_off)
