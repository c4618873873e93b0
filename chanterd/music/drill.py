"""A drill: one ornament between two notes, at one stage of its build-up, spelled by what can sound.

Conventions: steps count from 0 and end with the theme note; stages count from 1, the last one is the full ornament.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from typing_extensions import TypedDict

from chanterd.config import ChanterdError, quoted
from chanterd.music.alike import Sound, is_own, named, sound_of
from chanterd.music.book import standard_book
from chanterd.music.build import Stage, Step, stages
from chanterd.music.names import find_named
from chanterd.music.note import Note, note_from_words
from chanterd.music.ordinal import ordinal
from chanterd.music.ornament import Book, Kind, Ornament, plain
from chanterd.music.placement import as_in_book, beat_name, choices, moved_by_key, place_key, with_beat_on
from chanterd.music.sounding import gracenote_name, quick_name
from chanterd.music.ways import find_spelling, from_to, ways_in, why_not

__all__ = [
    "Drill",
    "ListedDrill",
    "Step",
    "all_drills",
    "distinct_ways",
    "drill_from_words",
    "list_drill",
    "make_drill",
    "names_beat",
    "parts_of",
    "placed",
]


@dataclass(frozen=True, slots=True)
class Drill:
    """An ornament between a lead and a theme note."""

    ornament: Ornament
    lead: Note
    theme: Note
    stage: int | None
    """None: the full ornament."""
    stages: int
    """How many stages the build-up has, the full ornament included."""
    steps: tuple[Step, ...]
    """Every spelled step and, last, the theme note."""
    beat_step: int
    """Index of the step that belongs on the beat."""
    anchor_step: int
    """Index of the step whose onset shows it: ``beat_step``, or its neighbour where that one cannot sound."""

    @property
    def words(self) -> str:
        """The drill in the trade's words; reading them again gives the same drill."""
        return self.words_at(self.stage)

    def words_at(self, stage: int | None) -> str:
        """The same at another stage; None: the full ornament."""
        ornament, lead, theme = self.ornament, self.lead, self.theme
        beat = f", beat on {beat_name(ornament, lead, theme)}" if ornament.moved else ""
        return f"{from_to(ornament, lead, theme)}{beat}{f', stage {stage}' if stage else ''}"

    def step_name(self, step: int) -> str:
        """What a teacher calls the step: ``second low G``, ``D gracenote``, ``first low G tap``, ``short C``, ``C``."""
        asked = self.steps[step]
        if asked.kind is Kind.THEME:
            return asked.note.words
        alike = [
            index for index, other in enumerate(self.steps[:-1]) if (other.note, other.kind) == (asked.note, asked.kind)
        ]
        name = self._plain_name(step)
        if asked.kind is Kind.HELD and asked.note == self.theme:
            name = f"short {name}"
        return f"{ordinal(alike.index(step))} {name}" if len(alike) > 1 else name

    def _plain_name(self, step: int) -> str:
        """A gracenote or a tap, or the note itself."""
        asked = self.steps[step]
        if asked.kind is not Kind.QUICK:
            return asked.note.words
        return gracenote_name(asked.note) if asked.gracenote else quick_name(asked.note, self.steps[step + 1].note)

    @property
    def beat_name(self) -> str:
        """What the note that shows the beat is called: ``D gracenote``, ``first low G``, ``C``."""
        return self.step_name(self.anchor_step)

    @property
    def spelled(self) -> str:
        """What is heard of it, for a reader: ``low G, D gracenote, low G, then C on the beat``."""
        names = [
            self._plain_name(index) + (" on the beat" if index == self.anchor_step else "") for index in self.sounding
        ]
        return ", then ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)

    @property
    def sounding(self) -> tuple[int, ...]:
        """Indices of the steps that are heard, which are those that printed tunes write.

        The last one is the melody note: the theme note, or the step that melts into it and is heard in its place.
        """
        return tuple(index for index, step in enumerate(self.steps) if step.sounds)


def _anchor(stage: Stage) -> int:
    """Where the beat can be heard: a step that melts into another is heard with that one, or else with the next."""
    order: tuple[int, ...] = (*range(stage.beat_step, -1, -1), *range(stage.beat_step + 1, len(stage.steps)))
    return next(index for index in order if stage.steps[index].sounds)


def make_drill(ornament: Ornament, lead: Note, theme: Note, stage: int | None = None) -> Drill:
    """The drill of that ornament between two notes.

    Raises ChanterdError if it is not played there (with the reason, and what takes its place) or has no such stage.
    """
    built = stages(ornament, lead, theme)
    if not built:
        raise ChanterdError(why_not(ornament, lead, theme))
    number = len(built) if stage is None else stage
    if not 1 <= number <= len(built):
        has = f"stages 1 to {len(built)}" if len(built) > 1 else "one stage only"
        raise ChanterdError(f"The {from_to(ornament, lead, theme)} has no stage {stage}; its build-up has {has}.")
    chosen = built[number - 1]
    shown = None if number == len(built) else number
    return Drill(ornament, lead, theme, shown, len(built), chosen.steps, chosen.beat_step, _anchor(chosen))


def placed(drill: Drill, key: str | None) -> Drill:
    """The drill with its beat at that place, ``step 1`` or ``theme``; as it is where the beat cannot be there.

    A stage that its build-up then does not have is the full ornament.
    """
    ornament = moved_by_key(drill.ornament, key)
    full = stages(ornament, drill.lead, drill.theme)
    if not full:
        return drill
    staged = drill.stage is not None and drill.stage < len(full)
    return make_drill(ornament, drill.lead, drill.theme, drill.stage if staged else None)


LONGEST_WORDS = 200
"""Characters of a drill; far more than any has, and few enough that reading them takes no time."""
LONGEST_STAGE = 4
"""Digits."""
_WORDS = re.compile(r"^(?P<ornament>.+?) from (?P<lead>.+?)(?: (?:to|on|onto) (?P<theme>.+?))?$")
_STAGE, _BEAT = "stage ", "beat on "


def drill_from_words(words: str, book: Book | None = None) -> Drill:
    """Read ``grip from B to C``, ``birl from E, beat on low A`` or ``grip from B to C, stage 1``.

    Case and hyphens are ignored.

    Any of an ornament's names will do, near misspellings too; the drill has the name it goes by in the book.

    Raises ChanterdError that says which part is not understood and how it is meant to be.
    """
    book = book or standard_book()
    match, stage, beat = None, None, None
    if len(words) <= LONGEST_WORDS:
        way, stage, beat = parts_of(words)
        match = _WORDS.match(way)
    if match is None:
        raise ChanterdError(
            f"The drill {quoted(words)} is not understood; say 'ORNAMENT from NOTE to NOTE', as in 'grip from B to C'."
        )
    ornament, melody = find_named(match["ornament"], book)
    lead = note_from_words(match["lead"])
    if match["theme"]:
        theme = note_from_words(match["theme"])
    elif melody is not None:
        theme = melody
    elif len(ornament.themes) == 1:
        theme = ornament.themes[0]
    else:
        names = ", ".join(note.words for note in ornament.themes)
        raise ChanterdError(
            f"The drill '{words}' does not say which note the {ornament.name} leads to; add 'to' and one of {names}."
        )
    if stage is not None and not (stage.isdecimal() and stage.isascii() and len(stage) <= LONGEST_STAGE):
        raise ChanterdError(f"The stage {quoted(stage)} is not a number; say it as in 'grip from B to C, stage 1'.")
    meant = named(book, ornament, lead, theme)
    if beat is not None and find_spelling(meant, lead, theme):
        meant = with_beat_on(meant, lead, theme, beat)
    return make_drill(meant, lead, theme, None if stage is None else int(stage))


def names_beat(words: str) -> bool:
    """Whether the words of a drill say where its beat is."""
    return parts_of(words)[2] is not None


def parts_of(words: str) -> tuple[str, str | None, str | None]:
    """The words of a drill without what follows its commas; then the stage and the note of the beat, where named."""
    way, *rest = words.split(",")
    named: dict[str, str] = {}
    for part in (" ".join(part.split()) for part in rest):
        kind = next((one for one in (_STAGE, _BEAT) if plain(part).startswith(one)), None)
        if kind is None or kind in named:
            return plain(words), None, None
        named[kind] = part[len(kind) :]
    return plain(way), named.get(_STAGE), named.get(_BEAT)


def distinct_ways(book: Book) -> Iterator[tuple[Ornament, Note, Note]]:
    """Every ornament with each note it is played from and to, in the order of the table; one sound has one name."""
    seen: set[Sound] = set()
    for ornament in book.ornaments:
        own = is_own(ornament)
        for lead, theme in ways_in(ornament):
            spelling = find_spelling(ornament, lead, theme)
            sound = spelling and sound_of(ornament, spelling, lead, theme)
            if sound and (own or sound not in seen):
                seen.add(sound)
                yield ornament, lead, theme


def all_drills(book: Book | None = None) -> Iterator[Drill]:
    """Every full ornament from every note it is played from, as ``distinct_ways`` has them."""
    for ornament, lead, theme in distinct_ways(book or standard_book()):
        yield make_drill(ornament, lead, theme)


class Placement(TypedDict):
    """One place that the beat of a drill may have."""

    at: str
    """As tables write it: ``step 1`` or ``theme``."""
    beat: str
    """What the note there is called."""
    drill: str
    """The drill with its beat there."""


class ListedDrill(TypedDict):
    """One drill of the book, as it is listed for programs."""

    drill: str
    ornament: str
    lead: str
    theme: str
    steps: list[str]
    """Note names, the theme last."""
    spelled: str
    """In pipers' words: ``low G, D gracenote, low G, then C on the beat``."""
    stages: list[str]
    """The drill of each stage in words, the full ornament last."""
    beats: list[str]
    """What the note on the beat is called at each stage."""
    disputed: str
    """What teachers disagree about; empty if nothing."""
    placements: list[Placement]
    """Where the beat may fall, the book's own place first; one, unless teachers disagree."""


def list_drill(drill: Drill) -> ListedDrill:
    """One drill as it is listed."""
    ornament, lead, theme = drill.ornament, drill.lead, drill.theme
    return ListedDrill(
        drill=drill.words,
        ornament=ornament.name,
        lead=lead.words,
        theme=theme.words,
        steps=[step.note.words for step in drill.steps],
        spelled=drill.spelled,
        stages=[drill.words_at(None if number == drill.stages else number) for number in range(1, drill.stages + 1)],
        beats=[make_drill(ornament, lead, theme, number).beat_name for number in range(1, drill.stages + 1)],
        disputed=ornament.disputed,
        placements=[
            Placement(
                at=place_key(one.beat), beat=beat_name(one, lead, theme), drill=make_drill(one, lead, theme).words
            )
            for one in choices(as_in_book(ornament), lead, theme)
        ],
    )
