"""The verdict on one rep: its faults in the trade's words, the most important first.

Importance: what was not played at all comes before what was played badly, and the beat before the shape around it
(a missing step is worse than a slow one: common practice, no source). A note wound up to comes before the lateness it
makes: the cause is what a player can mend.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from chanterd.following.reading import LEAD, ExtraKind, StepState
from chanterd.judging.crossing import Crossing, crossings
from chanterd.judging.limit import Limit
from chanterd.judging.measure import ExtraMeasured, RepMeasured
from chanterd.judging.naming import say_ms, step_name, upper_first
from chanterd.judging.neighbours import Neighbours, NeighbourTiming
from chanterd.judging.shape import KindShape, Shape
from chanterd.judging.standard import Standard
from chanterd.music.drill import Drill
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS

ORDER = (
    "missing step",
    "wrong note",
    "wound up",
    "early",
    "late",
    "crushed",
    "uneven",
    "cut short",
    "paused",
    "extra note",
    "crossing noise",
)
_RANK = {name: rank for rank, name in enumerate(ORDER)}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that was wrong with a rep."""

    fault: str
    step: int | None
    """The step it is about, from 0; -1: the note before the ornament; None when it is about none of them."""
    said: str
    crossing: Crossing | None = None
    """Which fingers did not move together, for a crossing noise."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is said of one rep."""

    clean: bool
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """All that is known of one rep: when it came, what shape it had, how the notes around it were kept."""

    rep: RepMeasured
    shape: Shape
    neighbours: Neighbours
    before: RepMeasured | None = None
    """The rep right before it, which left a note sounding."""


def judge_rep(seen: Seen, drill: Drill, standard: Standard, click_ns: float) -> Verdict:
    """The faults of a rep by a standard, the most important first; a rep that was skipped has none and is not clean."""
    if seen.rep.skipped:
        return Verdict(clean=False, faults=())
    faults = [
        *_not_played(drill, seen.rep),
        *_placement(drill, seen.rep, standard, click_ns),
        *_crushed(drill, seen.rep, standard),
        *_uneven(drill, seen.shape.held, Kind.HELD, standard),
        *_uneven(drill, seen.shape.quick, Kind.QUICK, standard),
        *_neighbours(drill, seen.neighbours, standard),
    ]
    if seen.rep.extras:
        faults += _extras(seen, drill, standard)
    faults.sort(key=lambda fault: _RANK[fault.fault])
    return Verdict(clean=not faults, faults=tuple(faults))


def _not_played(drill: Drill, rep: RepMeasured) -> Iterator[Fault]:
    missing = StepState.MISSING
    for step in rep.steps:
        if step.state is missing:
            yield Fault("missing step", step.step, f"You left out the {step_name(drill, step.step)}.")
        elif step.played_note is not None:
            said = f"You played {step.played_note.words} instead of the {step_name(drill, step.step)}."
            yield Fault("wrong note", step.step, said)


def _placement(drill: Drill, rep: RepMeasured, standard: Standard, click_ns: float) -> Iterator[Fault]:
    off = rep.anchor.deviation_ns
    if off is not None and abs(off) > standard.beat_within_ns(click_ns):
        word, side = ("late", "after") if off > 0 else ("early", "before")
        said = f"{upper_first(word)}: the {step_name(drill, rep.anchor_step)} came {say_ms(off)} {side} the beat."
        yield Fault(word, rep.anchor_step, said)


def _crushed(drill: Drill, rep: RepMeasured, standard: Standard) -> Iterator[Fault]:
    quick, quick_ns, held_ns = Kind.QUICK, standard.crushed_under_ns(Kind.QUICK), standard.crushed_under_ns(Kind.HELD)
    for step in rep.steps[:-1]:
        length = step.length_ns
        if length is not None and length < (quick_ns if step.kind is quick else held_ns):
            said = f"You crushed the {step_name(drill, step.step)}: {say_ms(length)}, too short to hear."
            yield Fault("crushed", step.step, said)


def _uneven(drill: Drill, shape: KindShape, kind: Kind, standard: Standard) -> Iterator[Fault]:
    """Of the steps of one kind; the crushed ones have a fault of their own."""
    if len(shape.even_ns) < 2:  # noqa: PLR2004 - one step is even with itself
        return
    least = standard.crushed_under_ns(kind)
    clear = [
        (even, step, length)
        for even, step, length in zip(shape.even_ns, shape.steps, shape.lengths_ns, strict=True)
        if length >= least
    ]
    if not clear:
        return
    shortest, longest = min(clear), max(clear)
    differ = longest[0] - shortest[0]
    if differ > standard.uneven_over_ms * NS_PER_MS and longest[0] > standard.uneven_times_over * shortest[0]:
        said = (
            f"Uneven: the {step_name(drill, longest[1])} lasted {say_ms(longest[2])}, "
            f"the {step_name(drill, shortest[1])} only {say_ms(shortest[2])}."
        )
        yield Fault("uneven", shortest[1], said)


def _neighbours(drill: Drill, neighbours: Neighbours, standard: Standard) -> Iterator[Fault]:
    lead, theme, ornament = drill.lead.words, drill.theme.words, drill.ornament.name
    off = _beyond(neighbours.lead, standard.wound_up, standard.cut_short)
    if off > 0:
        yield Fault("wound up", LEAD, f"You held the {lead} {say_ms(off)} too long before the {ornament}.")
    elif off < 0:
        yield Fault("cut short", LEAD, f"You cut the {lead} before the {ornament} short, by {say_ms(off)}.")
    last, off = len(drill.steps) - 1, _beyond(neighbours.theme, standard.paused, standard.cut_short)
    if off > 0:
        yield Fault("paused", last, f"You paused after the {ornament}: the {theme} lasted {say_ms(off)} too long.")
    elif off < 0:
        yield Fault("cut short", last, f"You cut the {theme} after the {ornament} short, by {say_ms(off)}.")
    before = neighbours.paused_before_ns
    if before is not None and before > standard.paused.of(neighbours.theme.room_ns):
        yield Fault("paused", LEAD, f"You paused before this rep, {say_ms(before)} too long.")


def _beyond(kept: NeighbourTiming, longer: Limit, shorter: Limit) -> int:
    """By how much a note was too long (+) or too short (-) if that is beyond the limit, else 0."""
    off = kept.off_ns
    if not off:
        return 0
    return off if abs(off) > (longer if off > 0 else shorter).of(kept.room_ns) else 0


def _extras(seen: Seen, drill: Drill, standard: Standard) -> Iterator[Fault]:
    explained: dict[int, Crossing] | None = None
    for extra in seen.rep.extras:
        length = extra.length_ns
        if extra.kind is ExtraKind.EXTRA_NOTE:
            if _is_lead_begun(extra, seen.rep, drill):
                continue
            if length is None or length > standard.extra_over_ms * NS_PER_MS:
                said = f"Extra note: {_with_length(extra)}."
                yield Fault("extra note", None, said)
        elif extra.kind is ExtraKind.CROSSING_NOISE and (length or 0) > standard.crossing_over_ms * NS_PER_MS:
            explained = crossings(seen.rep, seen.before, drill) if explained is None else explained
            crossing = explained.get(extra.onset_ns)
            said = f"Crossing noise: {_with_length(extra)}." + ("" if crossing is None else f" {crossing.said}.")
            yield Fault("crossing noise", None, said, crossing)


def _with_length(extra: ExtraMeasured) -> str:
    """``low G, 30 ms``; one that still sounds has no length yet."""
    return extra.note.words if extra.length_ns is None else f"{extra.note.words}, {say_ms(extra.length_ns)}"


def _is_lead_begun(extra: ExtraMeasured, rep: RepMeasured, drill: Drill) -> bool:
    """Whether it is the lead, before something else came in its midst: what came is the fault, not the lead."""
    again = rep.lead.onset_ns
    return (
        again is not None
        and extra.note is drill.lead
        and any(extra.onset_ns < other.onset_ns < again and other.kind is ExtraKind.EXTRA_NOTE for other in rep.extras)
    )
