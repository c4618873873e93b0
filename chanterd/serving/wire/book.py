"""The book as a page shows it: each ornament with its names, its spelling, its ways in and its build-up."""

from collections.abc import Sequence

from typing_extensions import TypedDict

from chanterd.music.drill import Drill, all_drills, list_drill, placed
from chanterd.music.note import Note
from chanterd.music.ordinal import ordinal
from chanterd.music.ornament import Book, Ornament, Spelling
from chanterd.music.placement import beat_name, place_key, step_names
from chanterd.music.sounding import why_spelling_silent
from chanterd.music.ways import find_spelling, ways_in


class SpelledStepShown(TypedDict):
    """One step of a spelling; ``note`` is what pipers call it, such as ``D gracenote``, or ``the theme note``."""

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
    beats: list[str]
    """What the note on the beat is called at each stage."""


class PlacedWays(TypedDict):
    """The ways of an ornament with its beat at another place than the book's."""

    at: str
    """As tables write it: ``step 1`` or ``theme``."""
    ways: list[BookWay]
    """Those on which the beat can be there."""


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
    placed: list[PlacedWays]
    """Where other teachers put the beat."""


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
            SpelledStepShown(note="the theme note" if step.note is None else name, kind=step.kind.value)
            for step, name in zip(spelling.steps, step_names(spelling, min(spelling.themes)), strict=False)
        ],
    )


def _why_not_before(ornament: Ornament, spelling: Spelling, lead: Note, theme: Note) -> str:
    """Why no earlier spelling is played between the two notes; empty if none serves them."""
    for other in ornament.spellings[: ornament.spellings.index(spelling)]:
        if other.serves(lead, theme):
            return why_spelling_silent(other, lead, theme, ornament.beat) or ""
    return ""


def beat_in_words(ornament: Ornament) -> str:
    """Where the beat falls: ``on the theme note``, ``on the D gracenote``; if that differs, ``on the first step``."""
    if ornament.beat is None:
        return "on the theme note"
    names = {beat_name(ornament, *way) for way in ways_in(ornament)}
    return f"on the {names.pop()}" if len(names) == 1 else f"on the {ordinal(ornament.beat)} step"


def _way(drill: Drill) -> BookWay:
    one = list_drill(drill)
    return BookWay(drill=one["drill"], lead=one["lead"], theme=one["theme"], stages=one["stages"], beats=one["beats"])


def _placed(drills: Sequence[Drill]) -> list[PlacedWays]:
    """The drills of one ornament at each other place of its beat."""
    ornament = drills[0].ornament
    keys = [place_key(beat) for beat in ornament.or_beats]
    moved = [(key, [one for one in (placed(drill, key) for drill in drills) if one.ornament.moved]) for key in keys]
    return [PlacedWays(at=key, ways=[_way(one) for one in found]) for key, found in moved if found]


def shown_book(book: Book) -> BookShown:
    """The whole book. It takes a good fraction of a second: call it outside the event loop."""
    drills: dict[str, list[Drill]] = {}
    for drill in all_drills(book):
        drills.setdefault(drill.ornament.name, []).append(drill)
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
                ways=[_way(drill) for drill in drills.get(one.name, ())],
                placed=_placed(drills[one.name]) if one.name in drills else [],
            )
            for one in book.ornaments
        ]
    )
