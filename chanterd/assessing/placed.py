"""Early and late in a recording of which nothing was known: only where a beat is certain, by the player's own pulse.

A beat is certain in a drill whose reps are at steady distances. There each rep is judged as if the drill had been
chosen, without the click. Times in ns, as in the take.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from chanterd.judging.report import RepResult
from chanterd.judging.standard import Standard
from chanterd.listening.passages import Passage
from chanterd.listening.report import PassagePlacement, not_judged
from chanterd.music.drill import drill_from_words
from chanterd.music.grid import click_bpm
from chanterd.music.heard import Heard, Stray
from chanterd.music.layout import standard_layout
from chanterd.music.ornament import Book
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import RepEvent, make_run

NO_BEAT = "No beat is certain here, so early and late are not judged."
UNEVEN = "The distances between the reps are too uneven for a certain beat, so early and late are not judged."
IN_HISTORY = "Early and late are judged once you keep it in the history."
TENTH_MS = NS_PER_MS // 10


@dataclass(frozen=True, slots=True)
class Placed:
    """A passage and its reps as they were judged; none where no beat is certain."""

    placement: PassagePlacement
    reps: Mapping[int, RepResult]
    """By when the theme note began, in tenths of a ms."""


def place_of(onset_ns: int) -> int:
    """What a rep is looked up by."""
    return round(onset_ns / TENTH_MS)


def placed(passage: Passage, heard: Sequence[Heard], book: Book, standard: Standard) -> Placed:
    """Judge a passage against the player's own beat, where there is one; ``heard`` is in order of time."""
    if passage.kind != "drill" or passage.drill is None or passage.click_bpm is None or passage.beat_ns is None:
        return _unjudged(IN_HISTORY if passage.kind == "tune" else NO_BEAT)
    if not passage.steady:
        return _unjudged(UNEVEN)
    drill, bpm = drill_from_words(passage.drill, book), click_bpm(passage.click_bpm)
    beat0_ns = Ns(round(passage.beat_ns - standard_layout().first_beat * NS_PER_MINUTE / bpm))
    run = make_run(Exercise(drill, bpm, standard, click_off=True), beat0_ns)
    # Only what is in it is gone through: a long recording has many passages.
    first = bisect_left(heard, passage.start_ns, key=_at)
    for one in heard[first : bisect_right(heard, passage.end_ns, lo=first, key=_at)]:
        if not isinstance(one, Stray):
            run.hear(one)
    reps = [one.result for one in run.finish() if isinstance(one, RepEvent) and not one.result["skipped"]]
    themes = [(rep, rep["steps"][-1]["onset_ms"]) for rep in reps]
    return Placed(
        _judged(reps),
        {place_of(beat0_ns + round(onset * NS_PER_MS)): rep for rep, onset in themes if onset is not None},
    )


def _at(heard: Heard) -> Ns:
    return heard.at_ns


def _unjudged(said: str) -> Placed:
    return Placed(not_judged(said), {})


def _judged(reps: Sequence[RepResult]) -> PassagePlacement:
    off = [rep["placement"]["off_ms"] for rep in reps if rep["placement"]["off_ms"] is not None]
    usual = round(median(off), 1) if off else None
    late, early = (
        sum(any(one["fault"] == name for one in rep["faults"]) for rep in reps) for name in ("late", "early")
    )
    return {
        "judged": True,
        "off_ms": usual,
        "late": late,
        "early": early,
        "reps": len(off),
        "said": _said(usual, late, early, len(off)),
    }


def _said(usual: float | None, late: int, early: int, reps: int) -> str:
    if usual is None:
        return UNEVEN
    side = "after" if usual >= 0 else "before"
    where = f"usually {abs(usual):.0f} ms {side} your own beat" if round(abs(usual)) else "usually on your own beat"
    counted = [f"{words} in {count} of {reps}" for words, count in (("late", late), ("early", early)) if count]
    return f"{where[0].upper()}{where[1:]}; {' and '.join(counted) or f'never early or late in {reps}'}."
