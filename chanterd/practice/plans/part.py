"""A part of a plan, as a teacher writes it and as it is practised: a drill, or a tune or a passage of one."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any, NotRequired

from annotated_types import Interval
from typing_extensions import Doc, TypedDict

from chanterd.config import ChanterdError, FieldsError, did_you_mean, quoted
from chanterd.music.drill import Drill, make_drill
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from chanterd.practice.exercise import Exercise, ExerciseWords, Vocabulary, resolve
from chanterd.practice.ladder.words import row_words, say_tempo
from chanterd.practice.passage.asked import TuneAsked, TuneWords, tune_asked
from chanterd.sentences import missing
from chanterd.table_file import TableFile
from chanterd.values import Text, Title, Whole, table

LONGEST_MINUTES = 25
"""Of one part: a break is due after about so long (common advice, no trial found)."""
MOST_REPS = 500
LAST_NOTE = 1_000_000
"""An index of a note that no tune has."""
ONLY_OF_DRILLS = ("layout",)
ONLY_OF_TUNES = ("from", "to", "ornament", "width", "stage", "widen")
"""The keys of a part that only the one or the other has."""
HOW_LONG = ("minutes", "reps", "ladder", "widen")


@dataclass(frozen=True, slots=True)
class Part:
    """One exercise of a plan. Exactly one of minutes, reps and the exercise's ladder says how long it goes on."""

    title: str
    warm_up: bool
    exercise: Exercise | TuneAsked
    minutes: float | None
    reps: int | None
    """Played ones, of a passage the times through it; rests are not counted."""

    @property
    def tune(self) -> str | None:
        """The key of the tune that it is from; None for a drill."""
        return self.exercise.key if isinstance(self.exercise, TuneAsked) else None

    @property
    def counted(self) -> str:
        """What its reps are called."""
        return "reps" if self.tune is None else "rounds"

    @property
    def how_long(self) -> str:
        """In words: ``3 minutes``, ``45 seconds``, ``20 reps``, ``ladder 60 to 80, 3 in a row``."""
        ladder = self.exercise.ladder
        if ladder is not None:
            return f"ladder {say_tempo(ladder.first_bpm)} to {say_tempo(ladder.top_bpm)}, {row_words(ladder)}"
        if isinstance(self.exercise, TuneAsked) and self.exercise.widening is not None:
            widens = self.exercise.widening
            row = f"{widens.in_a_row} in a row" if widens.in_a_row > 1 else "1 clean round"
            return f"wider and wider up to {widens.passages[-1].words}, {row}"
        if self.minutes is not None and self.minutes < 1:
            return f"{self.minutes * 60:g} seconds"
        if self.minutes is not None:
            return f"{self.minutes:g} minutes" if self.minutes != 1 else "1 minute"
        return f"{self.reps} {self.counted}" if self.reps != 1 else f"1 {self.counted.removesuffix('s')}"


_Notes = TypedDict(  # a name of a field cannot be 'from'
    "_Notes",
    {
        "from": NotRequired[Annotated[int, Interval(ge=0, le=LAST_NOTE), Whole()]],
        "to": NotRequired[Annotated[int, Interval(ge=0, le=LAST_NOTE), Whole()]],
    },
)


@table
class PartTable(_Notes):
    """A part, or, with ``stages = true``, a part for each stage of its drill or of the ornament that is taken out."""

    title: NotRequired[Annotated[str, Text(80, may_be_empty=True)]]
    warm_up: NotRequired[bool]
    drill: NotRequired[Annotated[str, Text(200), Doc("a drill in a piper's words, such as grip from B to C")]]
    tune: NotRequired[Annotated[str, Text(200)]]
    ornament: NotRequired[Annotated[int, Interval(ge=0, le=LAST_NOTE), Whole()]]
    width: NotRequired[Title]
    stage: NotRequired[Annotated[int, Interval(ge=1, le=20), Whole()]]
    stages: NotRequired[bool]
    click_bpm: NotRequired[Annotated[float, Interval(ge=SLOWEST_BPM, le=FASTEST_BPM)]]
    click_off: NotRequired[bool]
    minutes: NotRequired[Annotated[float, Interval(ge=0.25, le=LONGEST_MINUTES)]]
    reps: NotRequired[Annotated[int, Interval(ge=1, le=MOST_REPS), Whole()]]
    ladder: NotRequired[dict[str, Any]]
    widen: NotRequired[dict[str, Any]]
    feedback: NotRequired[Title]
    standard: NotRequired[Title]
    layout: NotRequired[Title]


def drill_stages(drill: Drill) -> list[Drill]:
    """The drill's build-up from its first stage to the full ornament."""
    numbers = [*range(1, drill.stages), None]
    return [make_drill(drill.ornament, drill.lead, drill.theme, number) for number in numbers]


def parts_from(
    file: TableFile, where: str, written: dict[str, Any], known: Vocabulary | None, shelf: Shelf
) -> list[Part]:
    """The parts of a row, or none if anything is wrong with it, which is noted; ``shelf`` has the tunes."""
    before = file.count
    of_tune = "tune" in written
    row = file.right(PartTable, where, written, required=[] if of_tune else ["drill"])
    for key, said in _together(written):
        file.add(where, said, key)
    if "ladder" not in written and "click_bpm" not in written:
        file.add(where, missing("click_bpm", PartTable.__annotations__["click_bpm"], file.names), "click_bpm")
    exercises: list[Exercise | TuneAsked] = []
    if known is not None:
        try:
            exercises = [*(_passages(file, row, known, shelf) if of_tune else _drills(file, row, known))]
        except FieldsError as errors:
            for one in errors.mistakes:
                file.add(where, one.said, one.field)
        except ChanterdError as error:
            file.add(where, str(error), "tune")
    if file.count > before:
        return []
    title, warm_up = row.get("title", ""), row.get("warm_up", False)
    return [Part(title, warm_up, exercise, row.get("minutes"), row.get("reps")) for exercise in exercises]


def _drills(file: TableFile, row: PartTable, known: Vocabulary) -> Iterator[Exercise]:
    """The exercise of each of the row's stages. Raises FieldsError with what is wrong with its words."""
    if not row.get("drill"):
        return
    words = ExerciseWords(
        drill=row["drill"],
        click_bpm=_tempo(row),
        standard=row.get("standard"),
        layout=row.get("layout"),
        click_off=row.get("click_off", False),
        feedback=row.get("feedback"),
        ladder=row.get("ladder"),
    )
    exercise = resolve(words, known, file.names)
    drills = drill_stages(exercise.drill) if row.get("stages", False) else [exercise.drill]
    yield from (replace(exercise, drill=drill) for drill in drills)


def _passages(file: TableFile, row: PartTable, known: Vocabulary, shelf: Shelf) -> Iterator[TuneAsked]:
    """The passage with each of the row's stages. Raises ChanterdError with what is wrong with its words."""
    if not row.get("tune"):
        return
    key = row["tune"]
    tune = _tune(key, shelf)

    def asked(stage: int | None) -> TuneAsked:
        words = TuneWords(
            click_bpm=_tempo(row),
            first=row.get("from"),
            last=row.get("to"),
            standard=row.get("standard"),
            click_off=row.get("click_off", False),
            ornament=row.get("ornament"),
            width=row.get("width"),
            stage=stage,
            feedback=row.get("feedback"),
            ladder=row.get("ladder"),
            widen=row.get("widen"),
        )
        return tune_asked(key, tune, words, known, file.names)

    if not row.get("stages", False):
        yield asked(row.get("stage"))
        return
    whole = asked(None)
    yield from (asked(number) for number in range(1, whole.stages))
    yield whole


def _tune(key: str, shelf: Shelf) -> Tune:
    """The tune of that name. Raises ChanterdError, with what to do, if it is not there or cannot be read."""
    known = {one.key: one for one in shelf.tunes()}
    if key not in known:
        said = f"The tune {quoted(key)} is not there.{did_you_mean(key, known)}"
        raise ChanterdError(f"{said} Put its file back into the folder 'tunes', or choose another tune.")
    tune = known[key].tune
    if tune is None:
        raise ChanterdError(known[key].said)
    return tune


def _tempo(row: PartTable) -> float | None:
    """A tempo that is wrong or missing has been noted; a ladder has its own."""
    return row.get("click_bpm", None if "ladder" in row else SLOWEST_BPM)


def _together(written: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """What cannot be together in a part, or lacks something, by its key."""
    of_tune = "tune" in written
    if of_tune and "drill" in written:
        yield "drill", "it has 'drill' and 'tune'; a part is one or the other."
    if of_tune:
        for key in (key for key in ONLY_OF_DRILLS if key in written):
            yield key, f"A tune is played as it is written; leave '{key}' out."
        if written.get("stages") is True and "ornament" not in written:
            yield "stages", "'stages' builds one ornament up; say in 'ornament' which note it is on."
        if written.get("stages") is True and "stage" in written:
            yield "stage", "'stages' has every stage in it; leave 'stage' out."
    else:
        for key in (key for key in ONLY_OF_TUNES if key in written):
            yield key, f"'{key}' is about a passage of a tune; name it in 'tune', or leave it out."
    ways = [key for key in HOW_LONG if of_tune or key != "widen"]
    given = [key for key in ways if key in written]
    if len(given) != 1:
        found = " and ".join(f"'{key}'" for key in given) or "none of them"
        offered = ", ".join(f"'{key}'" for key in ways[:-1])
        yield "minutes", f"it has {found}; say how long by one of {offered} and '{ways[-1]}'."
