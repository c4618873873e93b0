"""One row of an ornament table: what it may hold, and the ornament it makes.

The words of a row are explained in ``configs/ornaments/1-gracenotes.toml``. Steps count from 1 in a file, from 0 here.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any, NotRequired

from annotated_types import Len
from typing_extensions import Doc, TypedDict

from chanterd.config import ChanterdError, did_you_mean, quoted
from chanterd.music.note import ABC, Note, NoteName, note_from_abc, note_from_words
from chanterd.music.ornament import Kind, Motion, Ornament, SpelledStep, Spelling
from chanterd.music.sounding import why_spelling_silent
from chanterd.sentences import missing
from chanterd.table_file import TableFile
from chanterd.values import OptionalSentence, Read, Sentence, Text, Title, table

Taps = Mapping[Note, Note]
"""To each note the one below it that a tap is played on."""

KINDS = {
    "quick": SpelledStep(None, Kind.QUICK),
    "passing": SpelledStep(None, Kind.QUICK, passing=True),
    "gracenote": SpelledStep(None, Kind.QUICK, gracenote=True),
    "held": SpelledStep(None, Kind.HELD),
}
"""To each word for a step what it says of it."""
LONGEST = 16
"""How many ordinary held steps one may last."""
THEME, TAP, NONE = "T", "tap", "none"
THEME_NOTE = "theme"
"""Where the beat may fall, apart from a step's number."""
EVERY_NOTE = frozenset(Note)
MOST_STEPS = 64
"""Of one spelling; the longest that ships has a third of it."""
LONGEST_NUMBER = 3
"""Digits of a step's number."""

WrittenStep = tuple[str, SpelledStep]
"""An ABC letter, ``T`` or ``tap``, and what the step is but for its note."""


def _step(text: str) -> WrittenStep:
    name, _, rest = text.partition(" ")
    word, long, digits = rest.partition(" ")
    times = _number(digits, LONGEST) if long else 1
    if word in KINDS and (name in (THEME, TAP) or (len(name) == 1 and name in ABC)):
        made = KINDS[word]
        if times is None or (long and made.kind is not Kind.HELD):
            raise ChanterdError(
                f"step {quoted(text)} says how many ordinary steps it lasts; that must be 1 to {LONGEST}, behind "
                "'held', as in 'e held 4'."
            )
        return name, replace(made, times=times)
    raise ChanterdError(
        f"step {quoted(text)} must be one of {' '.join(ABC)}, T or tap, a blank, then 'quick' or 'held', as in "
        f"'g quick'.{did_you_mean(word, KINDS)}"
    )


def _opening(words: str) -> Note | None:
    if words == NONE:
        return None
    try:
        return note_from_words(words)
    except ChanterdError as error:
        raise ChanterdError(f"'opening' must be a note or '{NONE}'. {error}") from error


@table
class SpellingTable(TypedDict):
    """How an ornament is spelled on some of its notes."""

    themes: Annotated[list[NoteName], Len(1, len(Note))]
    leads: NotRequired[Annotated[list[NoteName], Len(1, len(Note))]]
    motion: NotRequired[Motion]
    steps: Annotated[list[Annotated[WrittenStep, Read(_step)]], Len(0, MOST_STEPS)]


@table
class OrnamentTable(TypedDict):
    """An ornament, without its forms."""

    name: Title
    also: NotRequired[Annotated[list[Title], Len(0, 20)]]
    how: Sentence
    beat: Title
    or_beat: NotRequired[Annotated[list[Title], Len(0, MOST_STEPS)]]
    disputed: NotRequired[OptionalSentence]
    instead: NotRequired[Annotated[list[Title], Len(0, 64)]]
    builds_on: NotRequired[Annotated[str, Text(80, may_be_empty=True)]]
    build: NotRequired[Annotated[list[Annotated[str, Text(200)]], Len(0, MOST_STEPS)]]
    spelled: Annotated[list[dict[str, Any]], Len(1, 100), Doc("[[ornament.spelled]], at least one, at most 100")]
    """Each a SpellingTable."""


@table
class FormTable(OrnamentTable):
    """A form of the ornament above it."""

    opening: Annotated[Note | None, Read(_opening), Doc(f"a note or '{NONE}', in quotes")]


@dataclass(frozen=True, slots=True)
class Row:
    """One ornament as written: what of it is right."""

    name: str
    values: Mapping[str, Any]
    written: frozenset[str]
    """The keys that it has, right or wrong."""
    file: TableFile
    chapter: str
    by_rule: int = 0
    """How many of its spellings, the last ones, are made from another row's; these need not sound on every note."""

    def complain(self, sentence: str, place: str = "") -> None:
        """Note a mistake in it."""
        self.file.add(f"ornament ({self.name}){place}", sentence)

    def changed(self, by: "Row") -> "Row":
        """With what another row says in place of what this one says; mistakes are then noted in the other's file."""
        return replace(self, values={**self.values, **by.values}, written=self.written | by.written, file=by.file)

    def with_default(self, key: str, value: object) -> "Row":
        """With the value, unless it has one of its own."""
        return replace(self, values={key: value, **self.values})

    def note_if_missing(self, key: str) -> None:
        """Note a mistake if the key was not written at all; one that is wrong has been noted already."""
        if key not in self.values and key not in self.written:
            self.complain(missing(key, FormTable.__annotations__[key]))


def written_row(file: TableFile, chapter: str, where: str, written: Mapping[str, Any], model: type[Any]) -> Row | None:
    """A row as far as it is right, its mistakes noted; None if it has no name."""
    name = written.get("name")
    if not isinstance(name, str) or not Text(80).allows(name):
        file.right(model, where, {key: value for key, value in written.items() if key == "name"}, required=["name"])
        return None
    here = f"ornament ({name})"
    if " from " in name or "," in name:
        file.add(here, "'name' must hold no comma and no ' from ', because a drill is 'NAME from NOTE to NOTE'.")
    values = dict(file.right(model, here, dict(written)))
    if "spelled" in values:
        values["spelled"] = [
            file.right(SpellingTable, f"{here} spelled {number}", one, required=("themes", "steps"))
            for number, one in enumerate(values["spelled"], 1)
        ]
    return Row(name, values, frozenset(written), file, chapter)


def make_ornament(row: Row, taps: Taps | None) -> Ornament:
    """The ornament, not yet tied to the others that it names; further mistakes are noted.

    ``taps`` None: the tables of taps are wrong themselves, so that no tap in a row is.
    """
    for key in ("how", "beat", "spelled"):
        row.note_if_missing(key)
    values = row.values
    spelled = [
        _spellings(row, number, one, taps)
        for number, one in enumerate(values.get("spelled", ()), 1)
        if one.get("themes") and "steps" in one
    ]
    lengths = [len(one["steps"]) if "steps" in one else None for one in values.get("spelled", ())]
    most = min((length for length in lengths if length is not None), default=0)
    whole = bool(lengths) and None not in lengths
    beat = _beat(row, "beat", values.get("beat", THEME_NOTE), most) if whole else None
    others = [_beat(row, "or_beat", words, most) for words in values.get("or_beat", ())] if whole else []
    by_rule_from = len(spelled) - row.by_rule
    return Ornament(
        name=row.name,
        also=tuple(values.get("also", ())),
        chapter=row.chapter,
        how=values.get("how", ""),
        disputed=values.get("disputed", ""),
        beat=beat,
        or_beats=tuple(dict.fromkeys(other for other in others if other != beat)),
        instead=(),
        builds_on=None,
        build=tuple(_build(row, most)) if whole else (),
        spellings=tuple(
            _that_sounds(row, spelling, beat, must=number < by_rule_from)
            for number, spellings in enumerate(spelled)
            for spelling in spellings
        ),
    )


def _spellings(row: Row, number: int, spelling: SpellingTable, taps: Taps | None) -> list[Spelling]:
    """A spelling as written, once for each note that its taps may be on."""
    themes, steps = frozenset(spelling["themes"]), spelling["steps"]
    made = Spelling(themes, frozenset(spelling.get("leads", EVERY_NOTE)), spelling.get("motion", "any"), ())
    if TAP not in (name for name, _ in steps):
        return [replace(made, steps=_spelled(steps, None))]
    if taps is None:
        return []
    for theme in sorted(themes - taps.keys()):
        sentence = f"there is no note to tap on below {theme.words}; leave it out, or add it to [taps]."
        row.complain(sentence, f" spelled {number}")
    return [
        replace(made, themes=frozenset((theme,)), steps=_spelled(steps, taps[theme]))
        for theme in sorted(themes & taps.keys())
    ]


def _spelled(steps: Iterable[WrittenStep], tap: Note | None) -> tuple[SpelledStep, ...]:
    notes = {THEME: None, TAP: tap}
    return tuple(replace(step, note=notes[name] if name in notes else note_from_abc(name)) for name, step in steps)


def _number(digits: str, most: int) -> int | None:
    """A step's number from 1 to ``most``; None if it is none."""
    fits = digits.isdecimal() and len(digits) <= LONGEST_NUMBER and 1 <= int(digits) <= most
    return int(digits) if fits else None


def _beat(row: Row, key: str, words: str, most: int) -> int | None:
    if words == THEME_NOTE:
        return None
    number = _number(words.removeprefix("step "), most)
    if number is None:
        row.complain(f"'{key}' is {quoted(words)}; it must be 'theme' or 'step 1' to 'step {most}'.")
        return None
    return number - 1


def _build(row: Row, most: int) -> Iterator[tuple[int, ...]]:
    for stage in row.values.get("build", ()):
        numbers = [_number(digits, most) for digits in stage.split()]
        if None in numbers:
            row.complain(f"'build' has {quoted(stage)}; each stage is step numbers from 1 to {most}, such as '1 3'.")
        else:
            yield tuple(number - 1 for number in numbers if number is not None)


def _that_sounds(row: Row, spelling: Spelling, beat: int | None, *, must: bool) -> Spelling:
    """The spelling without the theme notes on which it cannot sound after any note; if it ``must``, a mistake each."""
    sounding = set()
    for theme in sorted(spelling.themes):
        leads = [lead for lead in Note if spelling.serves(lead, theme)]
        if any(why_spelling_silent(spelling, lead, theme, beat) is None for lead in leads):
            sounding.add(theme)
        elif must:
            reason = why_spelling_silent(spelling, leads[0], theme, beat) if leads else "no lead and motion lead to it"
            row.complain(f"on {theme.words} it cannot sound: {reason}. Leave that note out, or spell it otherwise.")
    return replace(spelling, themes=frozenset(sounding))
