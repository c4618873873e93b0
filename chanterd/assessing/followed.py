"""A passage of a recording followed and judged as if its drill or its tune had been chosen, without a click.

Pure; times in ns, as in the take.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from chanterd.assessing.placed import NO_BEAT, NOT_REACHED, UNEVEN, drill_placement, tune_placement
from chanterd.assessing.tune import follow_tune
from chanterd.judging.measure import StepMeasured
from chanterd.judging.standard import Standard
from chanterd.listening.followed import Followed
from chanterd.listening.passages import Passage
from chanterd.listening.report import PassagePlacement, not_judged
from chanterd.listening.tunes import KnownTune
from chanterd.music.drill import drill_from_words
from chanterd.music.grid import click_bpm
from chanterd.music.heard import Heard, Stray
from chanterd.music.layout import standard_layout
from chanterd.music.ornament import Book
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MINUTE, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import RepEvent, make_run
from chanterd.practice.tune_run import from_beat0


@dataclass(frozen=True, slots=True)
class FollowedPassage:
    """A passage as it was judged."""

    placement: PassagePlacement
    """What is said of early and late, and of a tune as a whole."""
    ornaments: Sequence[Followed] = ()
    """None where it is not known what was to be played."""


def followed(
    passages: Sequence[Passage], heard: Sequence[Heard], tunes: Sequence[KnownTune], book: Book, standard: Standard
) -> tuple[FollowedPassage, ...]:
    """Every passage as it was judged; ``heard`` is in order of time, ``tunes`` are those that may be in it."""
    known = {one.title: one.tune for one in reversed(tunes) if one.tune is not None}

    def follow(passage: Passage) -> FollowedPassage:
        if passage.kind == "drill":
            return _drill(passage, heard, book, standard)
        tune = known.get(passage.tune or "")
        return FollowedPassage(not_judged(NO_BEAT)) if tune is None else _tune(passage, heard, tune, book, standard)

    return tuple(follow(passage) for passage in passages)


def _drill(passage: Passage, heard: Sequence[Heard], book: Book, standard: Standard) -> FollowedPassage:
    """The reps that were played, against the player's own beat."""
    if passage.drill is None or passage.click_bpm is None or passage.beat_ns is None or not passage.steady:
        return FollowedPassage(not_judged(UNEVEN))
    drill, bpm = drill_from_words(passage.drill, book), click_bpm(passage.click_bpm)
    beat0_ns = Ns(round(passage.beat_ns - standard_layout().first_beat * NS_PER_MINUTE / bpm))
    run = make_run(Exercise(drill, bpm, standard, click_off=True), beat0_ns)
    for one in _within(heard, passage):
        run.hear(one)
    reps = [one for one in run.finish() if isinstance(one, RepEvent) and not one.result["skipped"]]

    def judged(rep: RepEvent) -> Followed:
        onsets_ns, of = _onsets(rep.steps[1:], beat0_ns), rep.result
        return Followed(drill.words, onsets_ns, of["clean"], of["faults"], of["placement"]["off_ms"])

    return FollowedPassage(drill_placement([rep.result for rep in reps]), [judged(rep) for rep in reps])


def _tune(passage: Passage, heard: Sequence[Heard], tune: Tune, book: Book, standard: Standard) -> FollowedPassage:
    """The ornaments that were reached, each by the drill that it is from the note before, where the book has one."""
    sounding = [from_beat0(one, passage.start_ns) for one in _within(heard, passage)]
    run = follow_tune(sounding, make_passage(tune), book, standard, standard_spread())
    (notes, played), drills = run.over(), set(book.ornaments)
    if not notes:
        return FollowedPassage(not_judged(NOT_REACHED))
    ornaments: list[Followed] = []
    for number, note in enumerate(notes):
        ornament, drill = note.result["ornament"], note.segment.drill
        if note.judged is None or ornament is None or drill.ornament not in drills:
            continue
        ornaments.append(
            Followed(
                drill.words,
                _onsets(note.judged.seen.rep.steps, passage.start_ns),
                ornament["clean"],
                ornament["faults"],
                None if note.segment.phase else note.result["deviation_ms"],
                lead_known=number > 0 and not note.visit.leap,
            )
        )
    return FollowedPassage(tune_placement(played["summary"], ornaments), ornaments)


def _onsets(steps: Sequence[StepMeasured], zero_ns: Ns) -> list[Ns | None]:
    """When the steps began, in the take."""
    return [None if step.onset_ns is None else Ns(zero_ns + step.onset_ns) for step in steps]


def _within(heard: Sequence[Heard], passage: Passage) -> list[Heard]:
    """What was heard in a passage. Only that is gone through: a long recording has many."""
    first = bisect_left(heard, passage.start_ns, key=_at)
    inside = heard[first : bisect_right(heard, passage.end_ns, lo=first, key=_at)]
    return [one for one in inside if not isinstance(one, Stray)]


def _at(heard: Heard) -> Ns:
    return heard.at_ns
