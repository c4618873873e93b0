"""The build-up of an ornament: its stages from the step that carries the beat to the whole, derived from its spelling.

The general rule: what carries the beat is first; then the held notes join one at a time, equal ones as one long
placeholder; then the quick steps are put in one at a time (how it is practised: common practice, no source).
Conventions: step indices count from 0; the last stage is the full ornament; the theme note is after the last step.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from chanterd.music.note import Note
from chanterd.music.ornament import Kind, Ornament, Spelling
from chanterd.music.sounding import why_spelling_silent
from chanterd.music.ways import find_spelling


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a drill."""

    note: Note
    kind: Kind
    sounds: bool
    """False: equal to the note before it, so it merges with that note and has no onset of its own."""
    stands_for: tuple[Kind, ...]
    """The steps whose time it fills: itself, or as a placeholder also those that a later stage will add."""
    gracenote: bool = False
    """Whether pipers call it a gracenote though it is lower than its neighbours."""
    long: bool = False
    """Whether it is written longer than others of its kind; how much longer is a matter of school."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage between two notes."""

    steps: tuple[Step, ...]
    """The steps kept, the theme note last."""
    beat_step: int
    """Index of the step that belongs on the beat."""

    @property
    def heard(self) -> tuple[Note, ...]:
        """The notes that have an onset of their own."""
        return tuple(step.note for step in self.steps if step.sounds)


@lru_cache(maxsize=256)
def stages(ornament: Ornament, lead: Note, theme: Note) -> tuple[Stage, ...]:
    """The build-up between two notes, no two of which sound alike; empty if the ornament is not played there.

    Cached: in the middle of a run, a judge looks for the stage that helps with a fault.
    """
    spelling = find_spelling(ornament, lead, theme)
    if spelling is None:
        return ()
    beat = len(spelling.steps) if ornament.beat is None else ornament.beat
    whole = tuple(range(len(spelling.steps)))
    before = stages(ornament.builds_on, lead, theme) if ornament.builds_on else ()
    kept = [] if before else [one for one in ornament.build or _kept(spelling, theme, beat) if one != whole]
    own = [
        _stage(spelling, lead, theme, beat, one)
        for one in dict.fromkeys((*kept, whole))
        if _can_be_played(spelling, lead, theme, one)
    ]
    heard = {stage.heard: stage for stage in (*before, *own) if stage.heard}
    return tuple(heard.values())


def _kept(spelling: Spelling, theme: Note, beat: int) -> Iterator[tuple[int, ...]]:
    """Which steps each stage keeps, by the general rule; the last ones may be the full ornament."""
    notes, kinds = spelling.on(theme), spelling.kinds
    quick = [index for index, kind in enumerate(kinds) if kind is Kind.QUICK]
    carrier = {0} & set(quick) if beat == 0 else set()
    if beat == 0:
        yield tuple(carrier) or _without_merged((0,), notes)
    held = [index for index in _distinct(notes, kinds, carrier) if index not in carrier]
    for count in range(1, len(held) + 1):
        kept = _without_merged(sorted({*carrier, *held[:count]}), notes)
        if kept:
            yield kept
    for count in range(1, len(quick) + 1):
        yield _without_merged(_distinct(notes, kinds, carrier | set(quick[:count])), notes)


def _distinct(notes: Sequence[Note], kinds: Sequence[Kind], quick: set[int]) -> tuple[int, ...]:
    """The steps left when only these quick ones are kept: held ones that have become neighbours are one if equal."""
    kept: list[int] = []
    for index, kind in enumerate(kinds):
        if index in quick if kind is Kind.QUICK else not kept or notes[kept[-1]] != notes[index]:
            kept.append(index)
    return tuple(kept)


def _without_merged(kept: Sequence[int], notes: Sequence[Note]) -> tuple[int, ...]:
    """Without a last step that is the theme note already."""
    return tuple(kept[:-1] if kept and notes[kept[-1]] == notes[-1] else kept)


def _stage(spelling: Spelling, lead: Note, theme: Note, beat: int, kept: Sequence[int]) -> Stage:
    """One stage; the steps that it leaves out lend their time to a neighbour."""
    notes, kinds = spelling.on(theme), (*spelling.kinds, Kind.THEME)
    places = (*kept, len(spelling.steps))
    filled: dict[int, list[Kind]] = {place: [] for place in places}
    for index in range(len(spelling.steps)):
        home = _home(index, places, notes, kinds, beat)
        if home is not None:
            filled[home] += [kinds[index]] * spelling.steps[index].times
    filled[places[-1]] = [Kind.THEME]
    steps = tuple(
        Step(
            notes[place],
            kinds[place],
            notes[place] != before,
            tuple(filled[place]),
            gracenote=place < len(spelling.steps) and spelling.steps[place].gracenote,
            long=place < len(spelling.steps) and spelling.steps[place].times > 1,
        )
        for place, before in zip(places, (lead, *(notes[place] for place in places)), strict=False)
    )
    return Stage(steps, next(number for number, place in enumerate(places) if place >= beat))


def _home(index: int, places: Sequence[int], notes: Sequence[Note], kinds: Sequence[Kind], beat: int) -> int | None:
    """The kept step that fills the time of a step; None: the lead note does.

    Itself; or the held placeholder that it has merged with, with all between the two; or else, before the beat, the
    held note before, which goes on in its place, and from the beat on the held note after, which takes its place.
    A note that sounds before the beat never goes on past it.
    """
    if index in places:
        return index
    held = [place for place in places if kinds[place] is not Kind.QUICK]
    after = min(place for place in held if place > index)
    before = max((place for place in places if place < index), default=None)
    if before is None:
        return None if index < beat else after
    if before not in held or before < beat <= index:
        return after
    merged = (notes[before], Kind.HELD) in zip(notes[index:after], kinds[index:after], strict=True)
    return before if index < beat or merged else after


def _can_be_played(spelling: Spelling, lead: Note, theme: Note, kept: Sequence[int]) -> bool:
    steps = tuple(spelling.steps[index] for index in kept)
    return why_spelling_silent(replace(spelling, steps=steps), lead, theme, None) is None
