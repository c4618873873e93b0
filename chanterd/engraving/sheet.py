"""A sheet of drills for the music stand, line by line; how it is set on paper is the business of :mod:`.pages`."""

from collections.abc import Sequence
from dataclasses import dataclass

from chanterd.config import ChanterdError
from chanterd.engraving.musicxml import MusicLine, music_xml
from chanterd.engraving.paper import Paper, find_paper
from chanterd.engraving.tempi import Tempi, tempi_from_words
from chanterd.music.choice import choose
from chanterd.music.drill import Drill, make_drill
from chanterd.music.ornament import Book

BARS = 4
"""A line has at least this many bars: its last one is written again, as it is to be played again."""
LONGEST_TITLE = 100
NAMED = 3
"""A sheet of no more drills than this is named after them, not after their ornaments."""


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One combination: an ornament from one note to another."""

    drills: tuple[Drill, ...]
    """Side by side, a bar each."""
    labels: tuple[str, ...]
    """The words above each bar; empty: none."""

    @property
    def drill(self) -> Drill:
        """What the line leads to."""
        return self.drills[-1]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything that is printed."""

    title: str
    lines: tuple[SheetLine, ...]
    tempi: Tempi
    """Each has a box beside every line, to tick by hand."""
    paper: Paper

    @property
    def music_xml(self) -> str:
        """The whole sheet for notation programs, a line to a combination."""
        lines = [MusicLine(line.drills, line.drill.words) for line in self.lines]
        return music_xml(lines, self.title, next(iter(self.tempi.numbers), None))


def make_sheet(
    phrases: Sequence[str],
    book: Book | None = None,
    *,
    stages: bool = False,
    tempo: str = "",
    title: str = "",
    paper: str = "a4",
) -> Sheet:
    """The sheet of the drills that the phrases choose, see :func:`.choose`.

    ``book``: left out, the one that ships. ``stages``: each line builds its ornament up. Raises ChanterdError for a
    phrase, tempo, title or paper that is not understood.
    """
    chosen = choose(phrases, book)
    return Sheet(
        _title(title) or _named_after(chosen),
        tuple(_built_up(drill) if stages else _again(drill) for drill in chosen),
        tempi_from_words(tempo),
        find_paper(paper),
    )


def _built_up(drill: Drill) -> SheetLine:
    last = drill.stage or drill.stages
    before = [make_drill(drill.ornament, drill.lead, drill.theme, number) for number in range(1, last)]
    more = max(0, BARS - last)
    labels = (*map(_label, before), _label(drill), *[""] * more) if before else ()
    return SheetLine((*before, drill, *[drill] * more), labels)


def _label(drill: Drill) -> str:
    """Which stage it is, and where its beat is: ``stage 1, beat on D``."""
    return f"{f'stage {drill.stage}' if drill.stage else 'the whole'}, beat on {drill.beat_name}"


def _again(drill: Drill) -> SheetLine:
    return SheetLine((drill,) * BARS, ())


def _title(words: str) -> str:
    title = " ".join(words.split())
    if len(title) > LONGEST_TITLE or not title.isprintable():
        raise ChanterdError(
            f"The title has {len(title)} letters; it must be plain text of at most {LONGEST_TITLE}. Shorten it."
        )
    return title


def _named_after(drills: Sequence[Drill]) -> str:
    """What is on the sheet: a few drills by their words, many by their ornaments, as many as a title has room for."""
    words = list(dict.fromkeys(drill.words for drill in drills))
    names = words if len(words) <= NAMED else list(dict.fromkeys(drill.ornament.name for drill in drills))
    for count in range(len(names), 0, -1):
        more = [f"{len(names) - count} more"] if count < len(names) else []
        named = _and([*names[:count], *more])
        if len(named) <= LONGEST_TITLE:
            break
    return named[0].upper() + named[1:]


def _and(names: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)
