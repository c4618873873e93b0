"""A tune as it is listed: every note with its gracenotes, its bar and beat, and the ornament that these are."""

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

from typing_extensions import TypedDict

from chanterd.music.drill import Drill, drill_from_words
from chanterd.music.ornament import Book
from chanterd.music.tunes.naming import Named, name_ornaments
from chanterd.music.tunes.passage import click_of, within_bar
from chanterd.music.tunes.tune import Tune


class ListedNote(TypedDict):
    """One melody note; times are exact fractions of a whole note such as ``3/8``."""

    note: str
    start: str
    lasts: str
    bar: int
    gracenotes: list[str]
    ornament: str | None
    drill: str | None


class UnknownNote(TypedDict):
    """Gracenotes that are no ornament of the book."""

    note: int
    """The index of the melody note."""
    gracenotes: list[str]
    said: str


class ListedTune(TypedDict):
    """What ``chanterd tune --json`` prints."""

    title: str
    bars: int
    notes: list[ListedNote]
    unknown: list[UnknownNote]


def list_tune(tune: Tune, book: Book) -> ListedTune:
    """A tune for programs."""
    named = {one.place: one for one in name_ornaments(tune, book)}
    notes: list[ListedNote] = []
    unknown: list[UnknownNote] = []
    for place, note in enumerate(tune.notes):
        found = named.get(place)
        ornament = None if found is None or found.ornament is None else found.ornament.name
        gracenotes = [one.words for one in note.gracenotes]
        notes.append(
            ListedNote(
                note=note.note.words,
                start=str(note.start),
                lasts=str(note.lasts),
                bar=note.bar,
                gracenotes=gracenotes,
                ornament=ornament,
                drill=None if found is None else found.drill,
            )
        )
        if found is not None and ornament is None:
            unknown.append(UnknownNote(note=place, gracenotes=gracenotes, said=found.said))
    return ListedTune(title=tune.title, bars=bars_of(tune), notes=notes, unknown=unknown)


def bars_of(tune: Tune) -> int:
    """How many bars it has, a pick-up not counted."""
    return max((bar.number for bar in tune.bars), default=0)


@dataclass(frozen=True, slots=True)
class TableRow:
    """One ornament with its way in, for a reader."""

    times: int
    """How often it occurs."""
    name: str
    """As a drill in words, or what it is where the book has no such drill."""
    where: str
    """Bars and beats, such as ``5.2½, 7.1``; both count from 1, a pick-up is bar 0."""
    said: str
    """Why the book has no such drill, and what it has instead; empty if it has it."""


def table_of(tune: Tune, book: Book) -> list[TableRow]:
    """The ornaments of a tune, the most frequent first."""
    found: dict[tuple[str, str], list[Named]] = {}
    for one in name_ornaments(tune, book):
        found.setdefault((one.drill or _undrilled(tune, one), one.said), []).append(one)
    rows = [
        TableRow(len(ones), name, ", ".join(_where(tune, one.place) for one in ones), said)
        for (name, said), ones in found.items()
    ]
    return sorted(rows, key=lambda row: -row.times)


def drills_of(tune: Tune, book: Book) -> dict[Drill, int]:
    """The drills of the book that a tune has, with how often each occurs."""
    words = Counter(one.drill for one in name_ornaments(tune, book) if one.drill is not None)
    return {drill_from_words(one, book): times for one, times in words.items()}


def _undrilled(tune: Tune, one: Named) -> str:
    """What to call gracenotes that are no drill of the book: by their ornament, or spelled out."""
    note = tune.notes[one.place]
    what = ", ".join(step.words for step in note.gracenotes) if one.ornament is None else one.ornament.name
    return f"{what}, to {note.note.words}"


def _where(tune: Tune, place: int) -> str:
    """Bar and beat of a note, such as ``5.2½``."""
    bar, within = within_bar(tune, tune.notes[place].start)
    beat, rest = divmod(within / click_of(bar.meter), 1)
    return f"{bar.number}.{beat + 1}{_HALVES.get(rest, '+' if rest else '')}"


_HALVES = {Fraction(1, 2): "½", Fraction(1, 3): "⅓", Fraction(2, 3): "⅔", Fraction(1, 4): "¼", Fraction(3, 4): "¾"}
