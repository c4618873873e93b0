"""The verdict on one rep: its faults, the most important first (see ``fault``)."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from chanterd.following.reading import LEAD, ExtraKind, StepState
from chanterd.judging.extras import extra_faults, extras_in_lead
from chanterd.judging.fault import RANK, Fault
from chanterd.judging.limit import Limit
from chanterd.judging.measure import SegmentMeasured
from chanterd.judging.naming import say_ms, upper_first
from chanterd.judging.neighbours import Neighbours, NeighbourTiming
from chanterd.judging.recognise import recognise
from chanterd.judging.shape import KindShape, Shape
from chanterd.judging.standard import Standard
from chanterd.music.drill import Drill
from chanterd.music.ornament import Kind
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS

PLACED = ("early", "late")
LEAD_KEPT = (("wound up", LEAD), ("cut short", LEAD))
ENOUGH = 2
"""With fewer steps than this nothing is even, nor crushed as a whole, nor slow for the tempo."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is said of one rep."""

    clean: bool
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """All that is known of one rep: when it came, what shape it had, how the notes around it were kept."""

    rep: SegmentMeasured
    shape: Shape
    neighbours: Neighbours
    before: SegmentMeasured | None = None
    """The rep right before it, which left a note sounding."""


def judge_rep(seen: Seen, segment: Segment, standard: Standard) -> Verdict:
    """The faults of a rep by a standard, the most important first; a rep that was skipped has none and is not clean."""
    if seen.rep.skipped:
        return Verdict(clean=False, faults=())
    drill = segment.drill
    faults = [
        *_placement(drill, seen.rep, standard, NS_PER_MINUTE / segment.click_bpm),
        *_too_slow(seen.rep, segment, standard),
        *_crushed(drill, seen.rep, standard),
        *_too_long(seen.rep, segment, standard),
        *_uneven(drill, seen.shape.held, Kind.HELD, standard),
        *_uneven(drill, seen.shape.quick, Kind.QUICK, standard),
        *_neighbours(drill, seen.neighbours, standard),
    ]
    notes = [*_not_played(drill, seen.rep)]
    if seen.rep.extras:
        notes += extra_faults(seen.rep, seen.before, drill, standard)
    named = list(_by_name(notes, drill, seen.rep, standard)) if notes else []
    if seen.rep.anchor.played_note is not None and any(fault.fault == "wrong ornament" for fault in named):
        # It had its beat on a note of its own, before which the note before may be longer or shorter.
        faults = [fault for fault in faults if fault.fault not in PLACED and (fault.fault, fault.step) not in LEAD_KEPT]
    faults += named
    faults.sort(key=lambda fault: RANK[fault.fault])
    return Verdict(clean=not faults, faults=tuple(faults))


def judge_shape(rep: SegmentMeasured, shape: Shape, segment: Segment, standard: Standard) -> Verdict:
    """The faults of an ornament that was played without a beat: what was left out, and the shape of the rest."""
    drill = segment.drill
    faults = [
        *_crushed(drill, rep, standard),
        *_too_long(rep, segment, standard),
        *_uneven(drill, shape.held, Kind.HELD, standard),
        *_uneven(drill, shape.quick, Kind.QUICK, standard),
        *_not_played(drill, rep),
        *extra_faults(rep, None, drill, standard),
    ]
    faults.sort(key=lambda fault: RANK[fault.fault])
    return Verdict(clean=not faults, faults=tuple(faults))


def _by_name(notes: list[Fault], drill: Drill, rep: SegmentMeasured, standard: Standard) -> Iterator[Fault]:
    """Faults of single notes; or, where all of them make another ornament, that one and what came before it."""
    recognised = recognise(rep, drill)
    if recognised is not None:
        missing = next((fault.step for fault in notes if fault.fault == "missing step"), None)
        yield Fault("wrong ornament", missing, recognised.said(drill))
        notes = list(extra_faults(replace(rep, extras=extras_in_lead(rep)), None, drill, standard))
    yield from notes


def _not_played(drill: Drill, rep: SegmentMeasured) -> Iterator[Fault]:
    missing = StepState.MISSING
    for step in rep.steps:
        if step.state is missing:
            yield Fault("missing step", step.step, f"You left out the {drill.step_name(step.step)}.")
        elif step.played_note is not None:
            said = f"You played {step.played_note.words} instead of the {drill.step_name(step.step)}."
            yield Fault("wrong note", step.step, said)


def _placement(drill: Drill, rep: SegmentMeasured, standard: Standard, click_ns: float) -> Iterator[Fault]:
    off = rep.anchor.deviation_ns
    if off is not None and abs(off) > standard.beat_within_ns(click_ns):
        word, side = ("late", "after") if off > 0 else ("early", "before")
        said = f"{upper_first(word)}: the {drill.step_name(rep.anchor_step)} came {say_ms(off)} {side} the beat."
        yield Fault(word, rep.anchor_step, said)


def _too_slow(rep: SegmentMeasured, segment: Segment, standard: Standard) -> Iterator[Fault]:
    """The ornament as a whole, from its first step to the theme note, against what the tempo has room for."""
    heard = [step.onset_ns for step in rep.steps if step.onset_ns is not None]
    theme = rep.steps[-1].onset_ns
    if theme is None or len(heard) <= ENOUGH:
        return
    long = theme - heard[0] - _longer_than_asked(rep, segment)
    if any(extra.kind is ExtraKind.EXTRA_NOTE and heard[0] < extra.onset_ns < theme for extra in rep.extras):
        return  # broken off, or with something put in: that is what took so long
    if long > standard.too_slow_over_ns(segment):
        said = f"Too slow for this tempo: the {segment.drill.ornament.name} took {say_ms(long)}."
        yield Fault("too slow", None, said)


def _longer_than_asked(rep: SegmentMeasured, segment: Segment) -> int:
    """By how much the steps that are written long were longer than asked: that is a matter of school."""
    return sum(
        max(0, step.length_ns - segment.lengths_ns[step.step + 1])
        for step in rep.steps
        if segment.drill.steps[step.step].long and step.length_ns is not None
    )


def _crushed(drill: Drill, rep: SegmentMeasured, standard: Standard) -> Iterator[Fault]:
    heard = [(step.step, step.length_ns) for step in rep.steps[:-1] if step.length_ns is not None]
    crushed = [
        (step, length)
        for step, length in heard
        if length < standard.crushed_under_ns(drill.steps[step].kind, long=drill.steps[step].long)
    ]
    if len(crushed) == len(heard) >= ENOUGH:
        mean = sum(length for _, length in crushed) / len(crushed)
        said = f"You crushed the whole {drill.ornament.name}: {say_ms(mean)} a step, too short to hear."
        yield Fault("crushed", None, said)
        return
    for step, length in crushed:
        why = "and it is written long" if drill.steps[step].long else "too short to hear"
        yield Fault("crushed", step, f"You crushed the {drill.step_name(step)}: {say_ms(length)}, {why}.")


def _too_long(rep: SegmentMeasured, segment: Segment, standard: Standard) -> Iterator[Fault]:
    """Gracenotes and taps; one that had to sound on, since the step after it was left out, has no length of its own."""
    quick, played = Kind.QUICK, StepState.PLAYED
    for step, after in pairwise(rep.steps):
        if step.kind is not quick or step.state is not played or after.onset_ns is None:
            continue
        length = step.length_ns
        if length is not None and length > standard.quick_over_ns(segment.lengths_ns[step.step + 1]):
            said = f"Too long: the {segment.drill.step_name(step.step)} lasted {say_ms(length)}."
            yield Fault("too long", step.step, said)


def _uneven(drill: Drill, shape: KindShape, kind: Kind, standard: Standard) -> Iterator[Fault]:
    """Of the steps of one kind; the crushed ones have a fault of their own."""
    if len(shape.even_ns) < ENOUGH:
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
            f"Uneven: the {drill.step_name(longest[1])} lasted {say_ms(longest[2])}, "
            f"the {drill.step_name(shortest[1])} only {say_ms(shortest[2])}."
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
