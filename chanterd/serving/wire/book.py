"""The book as a page shows it: each ornament with its names, its spelling, its ways in and its build-up."""

from itertools import groupby

from typing_extensions import TypedDict

from chanterd.music.drill import all_drills, list_drill
from chanterd.music.note import Note
from chanterd.music.ordinal import ordinal
from chanterd.music.ornament import Book, Ornament, Spelling
from chanterd.music.sounding import why_spelling_silent
from chanterd.music.ways import find_spelling


class SpelledStepShown(TypedDict):
    """One step of a spelling; ``note`` is a note's name, or ``the theme note``."""

    note: str
    kind: str


class Spelled(TypedDict):
    """One spelling, and where it is used."""

    themes: list[str]
    leads: list[str]
    """The notes it is played from; ``ways`` shows which leads to which."""
    since: str
    """Why the spelling before it cannot sound from these notes; empty if that is not the reason."""
    steps: list[SpelledStepShown]


class BookWay(TypedDict):
    """The ornament between two notes."""

    drill: str
    lead: str
    theme: str
    stages: list[str]
    """The drill of each stage in words, the full ornament last."""


class BookEntry(TypedDict):
    """One ornament."""

    name: str
    also: list[str]
    chapter: str
    how: str
    beat: str
    """Where the beat falls, in words."""
    disputed: str
    """What teachers disagree about; empty if nothing."""
    spellings: list[Spelled]
    ways: list[BookWay]


class BookShown(TypedDict):
    """All ornaments in the order in which they are taught."""

    ornaments: list[BookEntry]


def _spelled(ornament: Ornament, spelling: Spelling) -> Spelled:
    used = [
        (lead, theme)
        for lead in Note
        for theme in sorted(spelling.themes)
        if find_spelling(ornament, lead, theme) is spelling
    ]
    reasons = [_why_not_before(ornament, spelling, lead, theme) for lead, theme in used]
    return Spelled(
        themes=[note.words for note in sorted(spelling.themes)],
        leads=list(dict.fromkeys(lead.words for lead, _ in used)),
        since=next(filter(None, reasons), ""),
        steps=[
            SpelledStepShown(note="the theme note" if step.note is None else step.note.words, kind=step.kind.value)
            for step in spelling.steps
        ],
    )


def _why_not_before(ornament: Ornament, spelling: Spelling, lead: Note, theme: Note) -> str:
    """Why no earlier spelling is played between the two notes; empty if none serves them."""
    for other in ornament.spellings[: ornament.spellings.index(spelling)]:
        if other.serves(lead, theme):
            return why_spelling_silent(other, lead, theme, ornament.beat) or ""
    return ""


def beat_in_words(ornament: Ornament) -> str:
    """Where the beat falls: ``on the theme note``, ``on the first step``, ..."""
    return "on the theme note" if ornament.beat is None else f"on the {ordinal(ornament.beat)} step"


def shown_book(book: Book) -> BookShown:
    """The whole book. It takes a good fraction of a second: call it outside the event loop."""
    ways: dict[str, list[BookWay]] = {}
    for name, drills in groupby(all_drills(book), key=lambda drill: drill.ornament.name):
        listed = [list_drill(drill) for drill in drills]
        ways[name] = [
            BookWay(drill=one["drill"], lead=one["lead"], theme=one["theme"], stages=one["stages"]) for one in listed
        ]
    return BookShown(
        ornaments=[
            BookEntry(
                name=one.name,
                also=list(one.also),
                chapter=one.chapter,
                how=one.how,
                beat=beat_in_words(one),
                disputed=one.disputed,
                spellings=[_spelled(one, spelling) for spelling in one.spellings],
                ways=ways.get(one.name, []),
            )
            for one in book.ornaments
        ]
    )
