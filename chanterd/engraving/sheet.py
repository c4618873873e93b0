"""A sheet of drills for the music stand, line by line; how it is set on paper is the business of :mod:`.pages`."""

from collections.abc import Sequence
from dataclasses import dataclass

from chanterd.config import ChanterdError
from chanterd.engraving.musicxml import MusicLine, music_xml
from chanterd.engraving.paper import Paper, find_paper
from chanterd.engraving.tempi import tempi_from_words
from chanterd.music.choice import choose
from chanterd.music.drill import Drill, make_drill
from chanterd.music.ornament import Book
from chanterd.music.units import Bpm

BARS = 4
"""A line has at least this many bars: its last one is written again, as it is to be played again."""
LONGEST_TITLE = 100
NAMED = 3
"""How many ornaments a sheet without a title is named after."""


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
    tempi: tuple[Bpm, ...]
    """Each has a box beside every line, to tick by hand."""
    paper: Paper

    @property
    def music_xml(self) -> str:
        """The whole sheet for notation programs, a line to a combination."""
        lines = [MusicLine(line.drills, line.drill.words) for line in self.lines]
        return music_xml(lines, self.title, self.tempi[0] if self.tempi else None)


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
    names = [f"stage {number}" for number in range(1, last)]
    here = f"stage {drill.stage}" if drill.stage else "the whole"
    more = max(0, BARS - last)
    labels = (*names, here, *[""] * more) if before else ()
    return SheetLine((*before, drill, *[drill] * more), labels)


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
    names = list(dict.fromkeys(drill.ornament.name for drill in drills))
    named = ", ".join(names) if len(names) <= NAMED else f"{names[0]} and {len(names) - 1} more ornaments"
    return named[0].upper() + named[1:]
