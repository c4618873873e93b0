"""A judged rep as plain data: the one object that ``chanterd assess`` prints and the live ``rep`` frame carries.

Conventions: ``_ms`` of an onset counts from beat 0 of the run (in a file: from its start); deviations are + = late;
reps and steps count from 0. The typed dictionaries are what the JSON Schema of the frames is made from.
"""

from typing import Literal, NotRequired

from pydantic import ConfigDict, with_config
from typing_extensions import TypedDict

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.judge import Judged
from chanterd.judging.measure import ExtraMeasured, StepMeasured
from chanterd.judging.neighbours import NeighbourTiming
from chanterd.judging.shape import KindShape
from chanterd.music.note import WORDS
from chanterd.music.ornament import Kind
from chanterd.music.units import ms

STRICT = ConfigDict(extra="forbid", defer_build=True)
"""No member but those that are named. What checks them is built at first use: to build it for every route would double
the time to the first page."""

StateName = Literal["played", "wrong note", "missing", "merged"]
ExtraName = Literal["crossing noise", "extra note", "bounce"]


@with_config(STRICT)
class Timing(TypedDict):
    """The part that every note of a result shares."""

    state: StateName
    played_note: NotRequired[str]
    expected_ms: float
    onset_ms: float | None
    deviation_ms: float | None
    length_ms: float | None


@with_config(STRICT)
class StepResult(Timing):
    """One step of one rep, as in ``chanterd assess``."""

    step: int
    note: str
    kind: Literal["quick", "held", "theme"]


@with_config(STRICT)
class LeadResult(Timing):
    """The note before the ornament; ``merged`` when it only went on sounding from the rep before."""

    note: str


@with_config(STRICT)
class ExtraResult(TypedDict):
    """A note that was heard and not asked."""

    note: str
    onset_ms: float
    length_ms: float | None
    extra: ExtraName


@with_config(STRICT)
class FaultResult(TypedDict):
    """One thing that was wrong with a rep, in the trade's word and in a sentence for the player."""

    fault: str
    step: int | None
    """-1: the note before the ornament."""
    said: str
    do: str
    """What to do about it."""
    drill: str | None
    """A drill that helps, in words; None: the same one, slower."""


@with_config(STRICT)
class Placement(TypedDict):
    """Where the step on the beat fell; both None if it was not played."""

    off_ms: float | None
    """+ is late."""
    of_click: float | None
    """The same as a share of the click."""


@with_config(STRICT)
class Lengths(TypedDict):
    """The steps of one kind that were played as asked, without regard to where they were placed."""

    steps: list[int]
    lengths_ms: list[float]
    """In the order of ``steps``; a crossing noise behind a step counts to it."""
    longest_over_shortest: float | None
    """1 is even; None with fewer than two."""
    spread_ms: float | None
    """Their standard deviation within the rep; None with fewer than two."""


@with_config(STRICT)
class Shaped(TypedDict):
    """The shape of the ornament."""

    held: Lengths
    quick: Lengths


@with_config(STRICT)
class KeptNote(TypedDict):
    """How the note on one side kept its time; None where that cannot be known, as before a rest."""

    length_ms: float | None
    asked_ms: float
    off_ms: float | None
    """+ too long, - too short, against the player's own placement."""


@with_config(STRICT)
class AroundResult(TypedDict):
    """The notes on both sides of the ornament."""

    lead: KeptNote
    """From its beginning to the first step; a merged one began with the theme of the rep before."""
    theme: KeptNote
    """From its beginning to the next rep's."""


@with_config(STRICT)
class RepResult(TypedDict):
    """The final reading and verdict of one rep, as in ``chanterd assess``."""

    rep: int
    lead: LeadResult
    clean: bool
    skipped: bool
    """Nothing of this rep was played: the player rested."""
    faults: list[FaultResult]
    said: str
    """The one sentence for the player: the most important fault, or that it was clean."""
    anchor_ms: float | None
    placement: Placement
    shape: Shaped
    around: AroundResult
    steps: list[StepResult]
    extras: list[ExtraResult]


STATES: dict[StepState, StateName] = {state: state.value for state in StepState}
KINDS: dict[Kind, Literal["quick", "held", "theme"]] = {kind: kind.value for kind in Kind}
EXTRAS: dict[ExtraKind, ExtraName] = {kind: kind.value for kind in ExtraKind}
"""Looked up, since an enum's own ``value`` is slow and there are many."""


def _ms(ns: int | None) -> float | None:
    return None if ns is None else ms(ns)


def timing(step: StepMeasured) -> Timing:
    """State and times of one step."""
    onset, length, expected = step.onset_ns, step.length_ns, step.expected_ns
    found: Timing = {
        "state": STATES[step.state],
        "expected_ms": ms(expected),
        "onset_ms": None if onset is None else ms(onset),
        "deviation_ms": None if onset is None else ms(onset - expected),
        "length_ms": None if length is None else ms(length),
    }
    if step.played_note is not None:
        found["played_note"] = WORDS[step.played_note]
    return found


def step_result(step: StepMeasured) -> StepResult:
    """One step of the ornament, or the theme note."""
    return {
        "step": step.step,
        "note": WORDS[step.note],
        "kind": "theme" if step.kind is None else KINDS[step.kind],
        **timing(step),
    }


def extra_result(extra: ExtraMeasured) -> ExtraResult:
    """A note that nobody asked for."""
    return {
        "note": WORDS[extra.note],
        "onset_ms": ms(extra.onset_ns),
        "length_ms": _ms(extra.length_ns),
        "extra": EXTRAS[extra.kind],
    }


def rep_result(judged: Judged, said: str) -> RepResult:
    """One rep with its verdict; ``said`` is the sentence for the player."""
    seen, verdict = judged.seen, judged.verdict
    rep, off = seen.rep, seen.rep.anchor.deviation_ns
    off_ms = _ms(off)
    return {
        "rep": rep.rep,
        "lead": {"note": WORDS[rep.lead.note], **timing(rep.lead)},
        "clean": verdict.clean,
        "skipped": rep.skipped,
        "faults": [
            {"fault": fault.fault, "step": fault.step, "said": fault.said, "do": advice.said, "drill": advice.drill}
            for fault, advice in zip(verdict.faults, judged.advice, strict=True)
        ],
        "said": said,
        "anchor_ms": off_ms,
        "placement": {"off_ms": off_ms, "of_click": None if off is None else round(off / judged.click_ns, 4)},
        "shape": {"held": _lengths(seen.shape.held), "quick": _lengths(seen.shape.quick)},
        "around": {"lead": _kept(seen.neighbours.lead), "theme": _kept(seen.neighbours.theme)},
        "steps": [step_result(step) for step in rep.steps],
        "extras": [extra_result(extra) for extra in rep.extras],
    }


def _lengths(shape: KindShape) -> Lengths:
    times, spread = shape.longest_over_shortest, shape.spread_ns
    return {
        "steps": list(shape.steps),
        "lengths_ms": [ms(length) for length in shape.lengths_ns],
        "longest_over_shortest": None if times is None else round(times, 3),
        "spread_ms": None if spread is None else ms(round(spread)),
    }


def _kept(note: NeighbourTiming) -> KeptNote:
    return {"length_ms": _ms(note.length_ns), "asked_ms": ms(note.asked_ns), "off_ms": _ms(note.off_ns)}
