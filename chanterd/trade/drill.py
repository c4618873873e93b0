"""A drill: one ornament between two notes, at one stage of its build-up, spelled by what can sound.

Conventions: steps count from 0 and end with the theme note; stages count from 1, the last one is the full ornament.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from typing_extensions import TypedDict

from chanterd.config import ChanterdError
from chanterd.trade.note import Note, note_from_words
from chanterd.trade.ornament import Book, Kind, Ornament, SpelledStep, Spelling, plain, standard_book


@dataclass(frozen=True, slots=True)
class Step:
    """One step as asked."""

    note: Note
    kind: Kind
    sounds: bool
    """False: equal to the note before it, so it melts into that note and has no onset of its own."""
    stands_for: tuple[Kind, ...]
    """The steps whose time it fills: itself, or as a placeholder also those that a later stage will add."""


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
        to = f" to {self.theme.words}" if len(self.ornament.themes) > 1 else ""
        stage = f", stage {self.stage}" if self.stage else ""
        return f"{self.ornament.name} from {self.lead.words}{to}{stage}"

    @property
    def spelled(self) -> str:
        """Spelled for a reader: ``low G, D, low G, then C on the beat``."""
        names = [step.note.words for step in self.steps]
        names[self.beat_step] += " on the beat"
        return f"{', '.join(names[:-1])}, then {names[-1]}"


def _why_silent(lead: Note, notes: Sequence[Note], kinds: Sequence[Kind], beat: int | None) -> str | None:
    """Why a run of steps cannot be played after the lead, or None if it can.

    A quick step must stand out from both its neighbours, above both (a gracenote) or below both (a tap). A held step
    or the theme may melt into the note before it, but not the held step that carries the beat.
    """
    around = (lead, *notes)
    if beat is not None and kinds[beat] is Kind.HELD and notes[beat] == around[beat]:
        return f"the {notes[beat].words} on the beat would melt into the {notes[beat].words} before it"
    for index, kind in enumerate(kinds):
        if kind is not Kind.QUICK:
            continue
        before, note, after = around[index], around[index + 1], around[index + 2]
        if note in (before, after):
            return f"the quick {note.words} cannot sound beside another {note.words}"
        if (note > before) != (note > after):
            return f"the {note.words} between {before.words} and {after.words} would be a passing note, not a gracenote"
    return None


def _anchor(beat_step: int, sounds: Sequence[bool]) -> int:
    """Where the beat can be heard: a step that melts into another is heard with that one, or else with the next."""
    order: tuple[int, ...] = (*range(beat_step, -1, -1), *range(beat_step + 1, len(sounds)))
    return next(index for index in order if sounds[index])


def _kept_steps(ornament: Ornament, kinds: Sequence[Kind], notes: Sequence[Note]) -> list[tuple[int, ...]]:
    """Which steps are kept at each stage, the full ornament last.

    The general rule: with the beat on the first step, that step alone, then all; otherwise first the held notes (equal
    ones melt into one long placeholder), then the quick steps between them one at a time.
    """
    everything = tuple(range(len(kinds)))
    if ornament.build:
        stages = list(ornament.build)
    elif ornament.beat == 0:
        stages = [(0,)]
    else:
        held = [index for index in everything if kinds[index] is Kind.HELD]
        distinct = tuple(
            index for place, index in enumerate(held) if place == 0 or notes[index] != notes[held[place - 1]]
        )
        quick = [index for index in everything if kinds[index] is Kind.QUICK]
        stages = [distinct]
        for count in range(1, len(quick) + 1):
            upto = quick[:count]
            stages.append(tuple(sorted({*upto, *(index for index in held if index <= upto[-1] + 1)})))
    return [stage for stage in stages if stage != everything] + [everything]


def _build_steps(
    kept: Sequence[int], spelled: Sequence[SpelledStep], lead: Note, theme: Note, beat: int
) -> tuple[tuple[Step, ...], int]:
    """The steps of one stage and the index of the one on the beat; dropped steps lend their time to a neighbour."""
    last = len(spelled)
    places = [*kept, last]
    stands: dict[int, list[Kind]] = {place: [] for place in places}
    for index, step in enumerate(spelled):
        before = [place for place in places if place <= index]
        after = [place for place in places if place >= index]
        # Before the beat the note before goes on in its place; from the beat on the note after comes in its place.
        home = before[-1] if before and (index < beat or index in kept) else after[0]
        if home != last:
            stands[home].append(step.kind)
    steps: list[Step] = []
    for place in places:
        note, kind = (theme, Kind.THEME) if place == last else (spelled[place].on(theme), spelled[place].kind)
        previous = steps[-1].note if steps else lead
        steps.append(Step(note, kind, note != previous, tuple(stands[place]) or (kind,)))
    return tuple(steps), next(number for number, place in enumerate(places) if place >= beat)


def _stages(ornament: Ornament, spelling: Spelling, lead: Note, theme: Note) -> list[tuple[tuple[Step, ...], int]]:
    """Steps and index of the step on the beat, stage by stage; a stage in which nothing would sound is left out."""
    kinds = [step.kind for step in spelling.steps]
    beat = len(kinds) if ornament.beat is None else ornament.beat
    kept = _kept_steps(ornament, kinds, [step.on(theme) for step in spelling.steps])
    built = [_build_steps(stage, spelling.steps, lead, theme, beat) for stage in kept]
    return [stage for stage in built if any(step.sounds for step in stage[0])]


def _find_spelling(ornament: Ornament, lead: Note, theme: Note) -> Spelling | str:
    """The spelling between two notes, or the reason why there is none."""
    if theme not in ornament.themes:
        return f"it is not played on {theme.words}, only on {', '.join(note.words for note in ornament.themes)}"
    reason = f"it is not played from {lead.words} to {theme.words}"
    for spelling in ornament.spellings:
        if spelling.serves(lead, theme):
            notes = [*(step.on(theme) for step in spelling.steps), theme]
            silent = _why_silent(lead, notes, [step.kind for step in spelling.steps], ornament.beat)
            if silent is None:
                return spelling
            reason = silent
    return reason


def make_drill(ornament: Ornament, lead: Note, theme: Note, stage: int | None = None) -> Drill:
    """The drill of that ornament between two notes.

    Raises ChanterdError if it is not played there (with the reason, and what takes its place) or has no such stage.
    """
    spelling = _find_spelling(ornament, lead, theme)
    if isinstance(spelling, str):
        told = ornament.instead.get(lead)
        mend = "choose another note"
        if told:
            mend = f"ask for '{told.ask} from {lead.words} to {theme.words}', since {told.because}"
        raise ChanterdError(f"There is no {ornament.name} from {lead.words} to {theme.words}: {spelling}; {mend}.")
    stages = _stages(ornament, spelling, lead, theme)
    if stage is not None and not 1 <= stage <= len(stages):
        raise ChanterdError(f"The {ornament.name} has no stage {stage}; its build-up has stages 1 to {len(stages)}.")
    full = stage is None or stage == len(stages)
    steps, beat_step = stages[-1 if full or stage is None else stage - 1]
    anchor = _anchor(beat_step, [step.sounds for step in steps])
    return Drill(ornament, lead, theme, None if full else stage, len(stages), steps, beat_step, anchor)


_WORDS = re.compile(r"^(?P<ornament>.+?) from (?P<lead>.+?)(?: to (?P<theme>.+?))?(?: ?, ?stage (?P<stage>\S+))?$")


def drill_from_words(words: str, book: Book | None = None) -> Drill:
    """Read ``grip from B to C``, ``birl from E`` or ``grip from B to C, stage 1``; case and hyphens are ignored.

    Raises ChanterdError that says which part is not understood and how it is meant to be.
    """
    book = book or standard_book()
    match = _WORDS.match(plain(words))
    if match is None:
        raise ChanterdError(
            f"The drill '{words}' is not understood; say 'ORNAMENT from NOTE to NOTE', such as 'grip from B to C'."
        )
    ornament = book.find(match["ornament"])
    lead = note_from_words(match["lead"])
    if match["theme"]:
        theme = note_from_words(match["theme"])
    elif len(ornament.themes) == 1:
        theme = ornament.themes[0]
    else:
        names = ", ".join(note.words for note in ornament.themes)
        raise ChanterdError(
            f"The drill '{words}' does not say which note the {ornament.name} leads to; add 'to' and one of {names}."
        )
    stage = match["stage"]
    if stage is not None and not (stage.isdecimal() and stage.isascii()):
        raise ChanterdError(f"The stage '{stage}' is not a number; say it as in 'grip from B to C, stage 1'.")
    return make_drill(ornament, lead, theme, None if stage is None else int(stage))


def all_drills(book: Book | None = None) -> Iterator[Drill]:
    """Every full ornament from every note it is played from, in the order of the table."""
    for ornament in (book or standard_book()).ornaments:
        for theme in ornament.themes:
            for lead in Note:
                if not isinstance(_find_spelling(ornament, lead, theme), str):
                    yield make_drill(ornament, lead, theme)


class ListedDrill(TypedDict):
    """One drill of the book, as it is listed for programs."""

    drill: str
    ornament: str
    lead: str
    theme: str
    steps: list[str]
    """Note names, the theme last."""
    stages: list[str]
    """The drill of each stage in words, the full ornament last."""


def list_drill(drill: Drill) -> ListedDrill:
    """One drill as it is listed."""
    stages = [make_drill(drill.ornament, drill.lead, drill.theme, stage).words for stage in range(1, drill.stages + 1)]
    return ListedDrill(
        drill=drill.words,
        ornament=drill.ornament.name,
        lead=drill.lead.words,
        theme=drill.theme.words,
        steps=[step.note.words for step in drill.steps],
        stages=stages,
    )
