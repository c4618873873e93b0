"""The book by sound: what may be heard between two melody notes, and which ornament that is.

Sounds are written as ABC letters, one a note: a string is compared and looked up faster than anything else. ``-`` is
the note before where there is none, after a silence. Equal notes in a row melt into one, as they do on the chanter.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from math import exp, log

from chanterd.listening.commonness import Commonness, commonness
from chanterd.music.drill import Drill, distinct_ways, make_drill
from chanterd.music.note import ABC, Note
from chanterd.music.ornament import Book, Kind, Ornament
from chanterd.music.ways import find_spelling, from_to, ways_in

NO_NOTE = "-"
"""The letter of the note before, after a silence."""


@dataclass(frozen=True, slots=True)
class Way:
    """How an ornament sounds from one note to another."""

    ornament: Ornament
    lead: Note
    """Where the book has no drill from the note that was heard before, another one from which all steps sound."""
    theme: Note
    words: str | None
    """The drill in words; None: the book has no drill from that note."""
    letters: str
    """The steps that sound, and the theme note last."""
    steps: tuple[int, ...]
    """Which step of the ornament each letter is, from 0; the theme note is one more than the last."""
    held: tuple[bool, ...]
    """For each letter but the last, whether it is a held step rather than a gracenote or tap."""
    times: tuple[float, ...]
    """For each letter but the last, the logarithm of how many ordinary steps it lasts."""
    common: Commonness
    place: str
    """The two notes that it leads from and to, as letters."""

    @property
    def drill(self) -> Drill:
        """What it is judged as."""
        return _drill(self.ornament, self.lead, self.theme)


@dataclass(frozen=True, slots=True)
class Variant:
    """A way as it was meant, and what of it is heard: all of it, all but a step, or all with another note for one."""

    way: Way
    places: tuple[int, ...]
    """Which letter of the way each letter heard is."""
    times: tuple[float, ...]
    """As in the way; where what was left out melts two steps into one, that one lasts for both."""
    missing: bool
    wrong: bool
    left_out: int = -1
    """Which letter of the way is not heard; -1: all are …"""
    instead: int = -1
    """… and which one may have lasted on in its place; -1: a melody note."""


@dataclass(slots=True)
class Sounds:
    """Variants by what is heard: the note before, the steps, the theme note. ``?`` is a wrong note."""

    whole: dict[str, list[Variant]] = field(default_factory=dict)
    long: set[str] = field(default_factory=set)
    """The letters of steps that are written longer than ordinary ones."""
    longest: int = 0
    """Letters of the longest way, the note before counted in."""
    longest_between: dict[str, int] = field(default_factory=dict)
    """The same of the ways between two notes, by their letters."""

    def add(self, lead: str, way: Way) -> None:
        """Add a way from that note."""
        letters, size = way.letters, len(way.letters)
        self._put(lead + letters, Variant(way, tuple(range(size)), way.times, missing=False, wrong=False))
        self.long.update(letter for letter, times in zip(letters, way.times, strict=False) if times)
        self.longest = max(self.longest, size + 1)
        between = lead + letters[-1]
        self.longest_between[between] = max(self.longest_between.get(between, 0), size + 1)
        for left_out in range(size - 1):
            self._put_missing(lead, way, left_out)
            around = {lead if left_out == 0 else letters[left_out - 1], letters[left_out + 1]}
            if size > 2 and around:  # noqa: PLR2004 - one gracenote that is another one is another ornament
                heard = f"{lead}{letters[:left_out]}?{letters[left_out + 1 :]}"
                self._put(heard, Variant(way, tuple(range(size)), way.times, missing=False, wrong=True))

    def _put_missing(self, lead: str, way: Way, left_out: int) -> None:
        """A way without one of its steps; what then melts into the note before is not heard either."""
        places: list[int] = []
        times, heard, instead = list(way.times), lead, -1
        for place, letter in enumerate(way.letters):
            if place == left_out:
                instead = places[-1] if places else -1
                continue
            if letter != heard[-1]:
                places.append(place)
                heard += letter
            elif places and place < len(times):
                times[places[-1]] = log(exp(times[places[-1]]) + exp(times[place]))
        if len(places) > 1 and places[-1] == len(way.letters) - 1:
            self._put(
                heard,
                Variant(
                    way, tuple(places), tuple(times), missing=True, wrong=False, left_out=left_out, instead=instead
                ),
            )

    def _put(self, heard: str, variant: Variant) -> None:
        self.whole.setdefault(heard, []).append(variant)


def _way(ornament: Ornament, lead: Note, theme: Note, words: str | None) -> Way | None:
    """How an ornament sounds between two notes; None if nothing does between them."""
    spelling = find_spelling(ornament, lead, theme)
    if spelling is None:
        return None
    before, sounding, letters = lead, list[int](), ""
    for index, note in enumerate(spelling.on(theme)):
        if note is not before:
            sounding.append(index)
            letters += note.abc
        before = note
    if len(letters) < 2:  # noqa: PLR2004 - a plain change of notes
        return None
    steps = [spelling.steps[index] for index in sounding[:-1]]
    return Way(
        ornament,
        lead,
        theme,
        words,
        letters,
        tuple(sounding),
        tuple(step.kind is Kind.HELD for step in steps),
        tuple(log(step.times) for step in steps),
        commonness().get(ornament.name, "seldom"),
        lead.abc + theme.abc,
    )


@lru_cache(maxsize=512)
def _drill(ornament: Ornament, lead: Note, theme: Note) -> Drill:
    return make_drill(ornament, lead, theme)


@lru_cache(maxsize=4)
def sounds_of(book: Book) -> Sounds:
    """The book by sound, worked out once: it takes a fifth of a second."""
    found = Sounds()
    known: set[tuple[str, str]] = set()
    for ornament, lead, theme in distinct_ways(book):
        way = _way(ornament, lead, theme, from_to(ornament, lead, theme))
        if way is not None:
            found.add(lead.abc, way)
            known.add((lead.abc, way.letters))
    for ornament in book.ornaments:
        for way in _spelled(ornament):
            for before in (NO_NOTE, *ABC):
                if before != way.letters[0] and (before, way.letters) not in known:
                    found.add(before, way)
                    known.add((before, way.letters))
    return found


def _spelled(ornament: Ornament) -> Iterator[Way]:
    """Each spelling on each theme note, from a note where all of it sounds; it is heard so from other notes too."""
    seen: set[str] = set()
    for lead, theme in ways_in(ornament):
        way = _way(ornament, lead, theme, None)
        if way is not None and way.steps[0] == 0 and way.letters not in seen:
            seen.add(way.letters)
            yield way


NOTES = {note.abc: note for note in Note}
