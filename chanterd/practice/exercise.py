"""An exercise: a drill, its tempo, how it fits the clicks and how it is judged; and how words become one.

Everything that plays, follows, judges or records takes the whole exercise. Tempi are clicks a minute.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from chanterd.config import ChanterdError, FieldsError, Mistake
from chanterd.judging.standard import DEFAULT, Standard, find_standard
from chanterd.music.drill import Drill, drill_from_words
from chanterd.music.drill_score import drill_score
from chanterd.music.grid import SLOWEST_BPM, click_bpm
from chanterd.music.layout import Layout, find_layout, standard_layout
from chanterd.music.ornament import Book
from chanterd.music.score import Score
from chanterd.music.spread import Spread, spread_asked, standard_spread
from chanterd.music.units import Bpm
from chanterd.practice.feedback.schedule import EVERY_REP, Schedule, find_schedule
from chanterd.practice.ladder.rule import Rule, rule_asked
from chanterd.sentences import Names

Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class Exercise:
    """A drill at a tempo, with the rules for practising it."""

    drill: Drill
    click_bpm: Bpm
    """For a ladder, the first tempo; each later one is an exercise of its own."""
    standard: Standard
    spread: Spread = field(default_factory=standard_spread)
    layout: Layout = field(default_factory=standard_layout)
    click_off: bool = False
    """The click stops after the count-in, and the expected times follow the player's own pulse."""
    feedback: Schedule = EVERY_REP
    ladder: Rule | None = None

    @property
    def words(self) -> str:
        """What is played, as a player says it."""
        return self.drill.words

    @property
    def climbs(self) -> bool:
        """Whether it is a ladder, which ends by itself."""
        return self.ladder is not None

    def score(self) -> Score:
        """What to play in each rep, and when."""
        return drill_score(self.drill, self.click_bpm, self.spread, self.layout)


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The tables in which ``resolve`` looks up the words of an exercise."""

    book: Book
    standards: dict[str, Standard]
    layouts: dict[str, Layout]
    schedules: dict[str, Schedule]


@dataclass(frozen=True, slots=True)
class ExerciseWords:
    """An exercise in the words of a person or a program; None is the usual choice."""

    drill: str
    """In the trade's words, such as ``grip from B to C``."""
    click_bpm: object = None
    """Needed, unless a ladder gives its first tempo."""
    standard: str | None = None
    spread: object = None
    """The share of a click that a held step takes."""
    layout: str | None = None
    click_off: bool = False
    feedback: str | None = None
    ladder: Mapping[str, Any] | None = None
    """A ladder's rule; what is left out is as usual, and it begins at ``click_bpm``."""


def resolve(words: ExerciseWords, known: Vocabulary, names: Names | None = None) -> Exercise:
    """The exercise that the words describe; ``names`` are what a form calls the fields. Raises FieldsError."""
    mistakes: list[Mistake] = []

    def read(field: str, find: Callable[[], Found]) -> Found | None:
        try:
            return find()
        except FieldsError as errors:
            mistakes.extend(errors.mistakes)
        except ChanterdError as error:
            mistakes.append(Mistake("", field, str(error)))
        return None

    def read_ladder() -> Rule | None:
        if words.ladder is None:
            return None
        begins = (bpm or Bpm(SLOWEST_BPM)) if words.click_bpm is not None else None  # a wrong tempo has been noted
        return rule_asked(words.ladder, begins, names)

    drill = read("drill", lambda: drill_from_words(words.drill, known.book))
    own_tempo = words.ladder is not None and words.click_bpm is None
    bpm = None if own_tempo else read("click_bpm", lambda: click_bpm(words.click_bpm))
    standard = read("standard", lambda: find_standard(words.standard or DEFAULT, known.standards))
    spread = read("spread", lambda: spread_asked(words.spread))
    layout = read("layout", lambda: find_layout(words.layout, known.layouts))
    feedback = read("feedback", lambda: find_schedule(words.feedback, known.schedules))
    ladder = read("ladder", read_ladder)
    if words.ladder is not None and words.feedback is not None:
        said = "A ladder shows every rep, since the next tempo gives the verdict away; leave 'feedback' out."
        mistakes.append(Mistake("", "feedback", said))
    if words.ladder is not None and words.click_off:
        said = "A ladder needs its click, which gives the next tempo; leave 'click_off' out."
        mistakes.append(Mistake("", "click_off", said))
    if ladder is not None:
        bpm, feedback = ladder.first_bpm, EVERY_REP
    if drill and bpm and standard and spread and layout and feedback and not mistakes:
        return Exercise(drill, bpm, standard, spread, layout, words.click_off, feedback, ladder)
    raise FieldsError(mistakes)
