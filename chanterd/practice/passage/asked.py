"""A tune or a passage of it that is to be played: in the words of a person or a program, and resolved.

What is taken out is an ornament with the note before it and the note after, or any other passage; it may be at a stage
of its build-up. A ladder climbs the tempo within one passage, or widens the passage at one tempo.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from chanterd.config import ChanterdError, FieldsError, Mistake
from chanterd.judging.standard import DEFAULT, Standard, find_standard
from chanterd.music.drill import Drill
from chanterd.music.grid import SLOWEST_BPM, click_bpm
from chanterd.music.ornament import Book
from chanterd.music.tunes.build_up import at_stage, build_up, with_stage
from chanterd.music.tunes.excerpts import Excerpt, Width, around, chosen, widths
from chanterd.music.tunes.passage import Passage, make_passage
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import Bpm
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.feedback.schedule import EVERY_REP, Schedule, find_schedule
from chanterd.practice.ladder.rule import Rule, rule_asked
from chanterd.practice.ladder.widening import Widening, widening
from chanterd.sentences import Names

Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class TuneWords:
    """None is the usual choice; notes count from 0 in the tune as written, both are included."""

    click_bpm: object
    """Needed, unless a ladder gives its first tempo."""
    first: int | None = None
    last: int | None = None
    standard: str | None = None
    click_off: bool = False
    ornament: int | None = None
    """Instead of the first and the last note: the note whose ornament is taken out."""
    width: str | None = None
    """How much around that ornament: a ``Width``."""
    stage: int | None = None
    """Of the ornament's build-up, from 1; None: all of it."""
    feedback: str | None = None
    ladder: Mapping[str, Any] | None = None
    """The rule of a tempo ladder; what is left out is as usual, and it begins at ``click_bpm``."""
    widen: Mapping[str, Any] | None = None
    """The rule of a ladder that widens; what is left out is as usual."""


@dataclass(frozen=True, slots=True)
class TuneAsked:
    """What is to be played, over and over."""

    key: str
    title: str
    passage: Passage
    book: Book
    standard: Standard
    click_bpm: Bpm
    """For a ladder, the first tempo."""
    click_off: bool = False
    excerpt: Excerpt = field(kw_only=True)
    """The same by its name."""
    stage: int | None = None
    """Of the ornament that is taken out; None: all of it."""
    stages: int = 1
    asked: Mapping[int, Drill] = field(default_factory=dict)
    """By note, the stage of the build-up that is played there."""
    feedback: Schedule = EVERY_REP
    ladder: Rule | None = None
    widening: Widening | None = None

    def at(self, click_bpm: Bpm, excerpt: Excerpt) -> "TuneAsked":
        """The same at another tempo, or another excerpt of the tune."""
        passage = self.passage
        if (excerpt.first, excerpt.last) != (passage.first, passage.last):
            passage = make_passage(passage.tune, excerpt.first, excerpt.last, loops=True)
        return replace(self, click_bpm=click_bpm, passage=passage, excerpt=excerpt)

    @property
    def climbs(self) -> bool:
        """Whether it is a ladder, which ends by itself."""
        return self.ladder is not None or self.widening is not None

    @property
    def words(self) -> str:
        """What is played, as a player says it: ``Seven Gulls, bar 3, stage 1``."""
        stage = "" if self.stage is None else f", stage {self.stage}"
        return f"{self.title}, {self.excerpt.words}{stage}"


def tune_asked(key: str, tune: Tune, words: TuneWords, known: Vocabulary, names: Names | None = None) -> TuneAsked:
    """What the words ask for; ``names`` are what a form calls the fields. Raises FieldsError with every mistake."""
    mistakes: list[Mistake] = []

    def read(name: str, find: Callable[[], Found]) -> Found | None:
        try:
            return find()
        except FieldsError as errors:
            mistakes.extend(errors.mistakes)
        except ChanterdError as error:
            mistakes.append(Mistake("", name, str(error)))
        return None

    passages = read("from", lambda: _passages(tune, words))
    drill = read("stage", lambda: _drill(tune, words, known.book)) if passages else None
    own_tempo = words.ladder is not None and words.click_bpm is None
    bpm = None if own_tempo else read("click_bpm", lambda: click_bpm(words.click_bpm))
    standard = read("standard", lambda: find_standard(words.standard or DEFAULT, known.standards))
    feedback = read("feedback", lambda: find_schedule(words.feedback, known.schedules))
    rule: Rule | None = None
    if words.ladder is not None:
        climbs, begins = words.ladder, None if own_tempo else bpm or Bpm(SLOWEST_BPM)  # a wrong tempo has been noted
        rule = read("ladder", lambda: rule_asked(climbs, begins, names))
    widens: Widening | None = None
    if words.widen is not None and passages and bpm:
        every, at = passages
        written, tempo = words.widen, bpm
        widens = read("widen", lambda: widening(written, tempo, every, at, names))
    mistakes += [Mistake("", name, said) for name, said in _together(words)]
    if feedback and feedback.say_first and passages and _ornaments(tune, passages[0][passages[1]]) > 1:
        said = "'say first' needs a pause in which you answer; take out one ornament, or choose another 'feedback'."
        mistakes.append(Mistake("", "feedback", said))
    bpm = rule.first_bpm if rule is not None else bpm
    if mistakes or passages is None or bpm is None or standard is None or feedback is None:
        raise FieldsError(mistakes)
    excerpt = passages[0][passages[1]]
    note = words.ornament
    staged = tune if drill is None or note is None else with_stage(tune, note, drill)
    return TuneAsked(
        key,
        tune.title or key,
        make_passage(staged, excerpt.first, excerpt.last, loops=True),
        known.book,
        standard,
        bpm,
        words.click_off,
        excerpt=excerpt,
        stage=words.stage if drill is not None else None,
        stages=1 if note is None else len(build_up(known.book, tune, note)),
        asked={} if drill is None or note is None else {note: drill},
        feedback=EVERY_REP if rule is not None or widens is not None else feedback,
        ladder=rule,
        widening=widens,
    )


def _together(words: TuneWords) -> list[tuple[str, str]]:
    """What cannot be asked for together, by its field."""
    found: list[tuple[str, str]] = []
    climbs = words.ladder is not None or words.widen is not None
    if words.ladder is not None and words.widen is not None:
        found.append(("widen", "A ladder climbs the tempo or widens the passage; leave 'ladder' or 'widen' out."))
    if climbs and words.feedback is not None:
        said = "A ladder shows every round, since where it leads gives the verdict away; leave 'feedback' out."
        found.append(("feedback", said))
    if words.ladder is not None and words.click_off:
        found.append(("click_off", "A ladder needs its click, which gives the next tempo; leave 'click_off' out."))
    if words.ornament is not None and (words.first is not None or words.last is not None):
        found.append(("ornament", "An ornament is taken out with the notes around it; leave 'from' and 'to' out."))
    if words.ornament is None:
        found += [
            (name, f"The field '{name}' is about one ornament; say in 'ornament' which note it is on.")
            for name, value in (("width", words.width), ("stage", words.stage))
            if value is not None
        ]
    return found


def _passages(tune: Tune, words: TuneWords) -> tuple[list[Excerpt], int]:
    """Every passage from the narrowest up, and which of them is to be played."""
    if words.ornament is None:
        passage = make_passage(tune, words.first or 0, words.last)
        return widths(tune, chosen(tune, passage.first, passage.last)), 0
    found = widths(tune, around(tune, words.ornament))
    if words.width is None:
        return found, 0
    known = [one.value for one in Width if one is not Width.PASSAGE]
    if words.width not in known:
        offered = ", ".join(f"'{one}'" for one in known)
        raise ChanterdError(f"The width is '{words.width}'; it must be one of {offered}.")
    order = list(Width)
    wanted = order.index(Width(words.width))
    return found, max(index for index, one in enumerate(found) if order.index(one.width) <= wanted)


def _drill(tune: Tune, words: TuneWords, book: Book) -> Drill | None:
    """The stage that is to be played; None: all of the ornament."""
    if words.ornament is None or words.stage is None:
        return None
    drill = at_stage(book, tune, words.ornament, words.stage)
    return None if words.stage == len(build_up(book, tune, words.ornament)) else drill


def _ornaments(tune: Tune, passage: Excerpt) -> int:
    return sum(bool(note.gracenotes) for note in tune.notes[passage.first : passage.last + 1])
