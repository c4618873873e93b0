"""A judged rep as plain data: the one object that ``chanterd assess`` prints and the live ``rep`` frame carries.

Conventions: ``_ms`` of an onset counts from beat 0 of the run (in a file: from its start); deviations are + = late;
reps and steps count from 0. The typed dictionaries are what the JSON Schema of the frames is made from.
"""

from typing import Literal, NotRequired

from pydantic import ConfigDict, with_config
from typing_extensions import TypedDict

from chanterd.following.reading import State
from chanterd.judging.measure import ExtraMeasured, RepMeasured, StepMeasured
from chanterd.judging.verdict import Verdict
from chanterd.trade.note import WORDS
from chanterd.trade.ornament import Kind
from chanterd.trade.units import ms

STRICT = ConfigDict(extra="forbid")

StepState = Literal["played", "wrong note", "missing", "merged"]
ExtraKind = Literal["crossing noise", "extra note", "bounce"]


@with_config(STRICT)
class Timing(TypedDict):
    """The part that every note of a result shares."""

    state: StepState
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
    extra: ExtraKind


@with_config(STRICT)
class FaultResult(TypedDict):
    """One thing that was wrong with a rep, in the trade's word and in a sentence for the player."""

    fault: str
    step: int | None
    said: str


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
    steps: list[StepResult]
    extras: list[ExtraResult]


STATES: dict[State, StepState] = {state: state.value for state in State}
KINDS: dict[Kind, Literal["quick", "held", "theme"]] = {kind: kind.value for kind in Kind}
"""Looked up, since an enum's own ``value`` is slow and there are many."""


def _ms(ns: int | None) -> float | None:
    return None if ns is None else ms(ns)


def timing(step: StepMeasured) -> Timing:
    """State and times of one step."""
    onset, length = step.onset_ns, step.length_ns
    found: Timing = {
        "state": STATES[step.state],
        "expected_ms": ms(step.expected_ns),
        "onset_ms": None if onset is None else ms(onset),
        "deviation_ms": None if onset is None else ms(onset - step.expected_ns),
        "length_ms": None if length is None else ms(length),
    }
    if step.played_note is not None:
        found["played_note"] = WORDS[step.played_note]
    return found


def step_result(step: StepMeasured) -> StepResult:
    """One step of the ornament, or the theme note."""
    return {"step": step.step, "note": WORDS[step.note], "kind": KINDS[step.kind or Kind.THEME], **timing(step)}


def extra_result(extra: ExtraMeasured) -> ExtraResult:
    """A note that nobody asked for."""
    return ExtraResult(
        note=extra.note.words, onset_ms=ms(extra.onset_ns), length_ms=_ms(extra.length_ns), extra=extra.kind.value
    )


def rep_result(rep: RepMeasured, verdict: Verdict, said: str) -> RepResult:
    """One rep with its verdict; ``said`` is the sentence for the player."""
    return RepResult(
        rep=rep.rep,
        lead=LeadResult(note=rep.lead.note.words, **timing(rep.lead)),
        clean=verdict.clean,
        skipped=rep.skipped,
        faults=[FaultResult(fault=fault.fault, step=fault.step, said=fault.said) for fault in verdict.faults],
        said=said,
        anchor_ms=_ms(rep.anchor.deviation_ns),
        steps=[step_result(step) for step in rep.steps],
        extras=[extra_result(extra) for extra in rep.extras],
    )
