"""The notes on both sides of an ornament: whether the one before it and the one after it kept their full time.

What is compared are deviations from the click (+ = late) of the notes' beginnings, never lengths by themselves:

- A steady bias moves every beginning alike, so it makes no note too long or too short.
- How open the steps are is the player's own affair. A note counts as too long only if both the beat and the step that
  ended it came later than it did, and as too short only if both came sooner; how far that step is from the beat is
  held against how far it usually does with this player (``Usual``).
- Making up for an earlier slip is no slip: after a late ornament the next note on the click is not "cut short". So a
  beginning is late or early only if it is so against every beginning before it that is compared. Where nothing was
  played right before, the click takes its place: whoever comes in late or early has wound up to nothing yet.
- A habit is no making up: where the note before was as much too long or too short in the rep before, too, only its own
  beginning is compared, so that it is named in every rep.

What cannot be known is None: after the last rep, before a rest, or where the note on that side was not played.
"""

from collections import deque
from dataclasses import dataclass

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.measure import ExtraMeasured, SegmentMeasured, StepMeasured
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MS, Ns

REST_NS = 25 * NS_PER_MS
"""A silence longer than this is a rest; a shorter one is some chanters' way of changing notes."""

HABIT_SHARE = 0.5
"""A slip of at least that share of this one in the rep before, and a beginning that differs by no more than that share
of it, make a habit, and no making up for a slip: our own choice."""

USUAL_OF = 9
"""How many reps show what is usual: enough that one slip does not, few enough to follow the player."""


@dataclass(frozen=True, slots=True)
class NeighbourTiming:
    """How one of the notes kept its time."""

    length_ns: Ns | None
    asked_ns: Ns
    room_ns: Ns
    """From beat to beat, what the limits are a share of."""
    off_ns: Ns | None
    """+ too long, - too short; 0 if it is neither. None: not known."""


@dataclass(frozen=True, slots=True)
class Neighbours:
    """The two notes, and what only this rep's first note could show about the rep before."""

    lead: NeighbourTiming
    """With a merged lead it is one with the theme of the rep before."""
    theme: NeighbourTiming
    """With a merged theme it is one with the step that sounded on."""
    paused_before_ns: Ns | None
    """How much too long the last rep's theme was held, if that was not known yet when that rep was judged."""


@dataclass(frozen=True, slots=True)
class RepBefore:
    """The rep right before, as the next one needs it."""

    rep: SegmentMeasured
    asked_theme_ns: Ns


@dataclass(frozen=True, slots=True)
class Usual:
    """How far apart the player's steps usually are, beyond what is asked; + is more open."""

    to_beat_ns: Ns
    """From the first step to the beat."""
    from_beat_ns: Ns
    """From the beat to the theme note."""


AS_ASKED = Usual(Ns(0), Ns(0))
"""Until more is known."""


class Openness:
    """How open the player's last reps were; the median of them is what is usual."""

    __slots__ = ("_from_beat", "_to_beat")

    def __init__(self) -> None:
        """Begin with nothing known."""
        self._to_beat: deque[Ns] = deque(maxlen=USUAL_OF)
        self._from_beat: deque[Ns] = deque(maxlen=USUAL_OF)

    @property
    def usual(self) -> Usual:
        """By the reps so far."""
        return Usual(_middle(self._to_beat), _middle(self._from_beat))

    def add(self, rep: SegmentMeasured) -> None:
        """Take the next rep."""
        first, anchor, theme = _first_ns(rep), rep.anchor.deviation_ns, rep.steps[-1].deviation_ns
        if anchor is not None and first is not None:
            self._to_beat.append(Ns(anchor - first))
        if anchor is not None and theme is not None:
            self._from_beat.append(Ns(theme - anchor))


def _middle(values: deque[Ns]) -> Ns:
    """The median, the lower one of two; 0 of none."""
    return sorted(values)[(len(values) - 1) // 2] if values else Ns(0)


def _first_ns(rep: SegmentMeasured) -> Ns | None:
    """How late the first step was that could be heard."""
    return next((step.deviation_ns for step in rep.steps if step.onset_ns is not None), None)


def neighbours_of(
    rep: SegmentMeasured,
    segment: Segment,
    before: RepBefore | None = None,
    next_lead: StepMeasured | None = None,
    usual: Usual = AS_ASKED,
) -> Neighbours:
    """How both notes were kept; ``next_lead`` is the lead of the next rep, if it has been read by now."""
    if before is not None and (before.rep.rep != rep.rep - 1 or before.rep.skipped):
        before = None
    return Neighbours(
        lead=_lead(rep, segment, before, usual.to_beat_ns),
        theme=_theme(rep, segment, next_lead, usual.from_beat_ns),
        paused_before_ns=None if before is None else _paused_before(rep.lead, before.rep, usual.from_beat_ns),
    )


def _slip(starts: list[Ns], ends: list[Ns]) -> Ns:
    """By how much all ends came later (+) or sooner (-) than all starts; 0 if they did neither."""
    longer, shorter = min(ends) - max(starts), max(ends) - min(starts)
    return Ns(longer if longer > 0 else min(shorter, 0))


def _lead(rep: SegmentMeasured, segment: Segment, before: RepBefore | None, to_beat: Ns) -> NeighbourTiming:
    first = next((step for step in rep.steps if step.onset_ns is not None), None)
    asked, room = segment.lengths_ns[0], segment.beat_ns
    began = rep.lead
    if began.state is StepState.MERGED and before is not None:
        began = before.rep.steps[-1]
        asked, room = Ns(asked + before.asked_theme_ns), segment.lasts_ns
    since, late, anchor = began.onset_ns, began.deviation_ns, rep.anchor.deviation_ns
    if since is None or late is None or anchor is None or first is None or first.onset_ns is None:
        return NeighbourTiming(None, asked, room, None)
    if began is not rep.lead and began.length_ns is not None and first.onset_ns - since - began.length_ns > REST_NS:
        return NeighbourTiming(None, asked, room, None)
    ended = _ended(rep, since, first.onset_ns)
    ends = [anchor, Ns((first.deviation_ns or 0) + to_beat - first.onset_ns + ended)]
    if began is rep.lead and _restarted(rep):
        starts = [_beat_before(before)]
    elif began is rep.lead and before is not None and _is_habit(before.rep, late, _slip([late], ends)):
        starts = [late]
    else:
        starts = [_beat_before(before), late]
    return NeighbourTiming(Ns(ended - since), asked, room, _slip(starts, ends))


def _ended(rep: SegmentMeasured, since: Ns, first: Ns) -> Ns:
    """When the note before was over: at the first step, or at a note nobody asked for that went on right up to it."""
    ended = reached = first
    for extra in reversed(rep.extras):
        if since < extra.onset_ns < reached and extra.onset_ns + (extra.length_ns or 0) == reached:
            reached = extra.onset_ns
            if extra.kind is ExtraKind.EXTRA_NOTE:
                ended = reached
    return ended


def _beat_before(before: RepBefore | None) -> Ns:
    """How late the beat of the rep before was; the click where it is not known."""
    late = None if before is None else before.rep.anchor.deviation_ns
    return Ns(0) if late is None else late


def _is_habit(before: SegmentMeasured, late: Ns, slip: Ns) -> bool:
    """Whether the note before began alike in the rep before, and was as much too long or too short there."""
    lead, beat = before.lead.deviation_ns, before.anchor.deviation_ns
    if lead is None or beat is None or not slip or _restarted(before):
        return False
    return (beat - lead) / slip >= HABIT_SHARE and abs(late - lead) <= HABIT_SHARE * abs(slip)


def _theme(rep: SegmentMeasured, segment: Segment, next_lead: StepMeasured | None, from_beat: Ns) -> NeighbourTiming:
    theme = _sounded_on(rep)
    asked = Ns(sum(segment.lengths_ns[theme.step + 1 :]))
    room = Ns(segment.lasts_ns - segment.beat_ns)
    since, starts = theme.onset_ns, _theme_starts(rep, from_beat)
    until = None if next_lead is None or next_lead.rep != rep.rep + 1 else next_lead.onset_ns
    if next_lead is None or until is None or since is None or not starts:
        return NeighbourTiming(None, asked, room, None)
    if until - max([_end(theme), *map(_end, rep.extras)]) > REST_NS:
        return NeighbourTiming(None, asked, room, None)
    return NeighbourTiming(Ns(until - since), asked, room, _slip(starts, [next_lead.deviation_ns or Ns(0)]))


def _sounded_on(rep: SegmentMeasured) -> StepMeasured:
    """The theme, or the step it melted into: what sounded when the ornament was over."""
    theme = rep.steps[-1]
    if theme.state is not StepState.MERGED:
        return theme
    return next((step for step in reversed(rep.steps) if step.onset_ns is not None), theme)


def _theme_starts(rep: SegmentMeasured, from_beat: Ns) -> list[Ns]:
    """The beginnings that the end of the theme is held against; none where beat or theme were not heard.

    When a melted theme would have begun is not known, so that the beat and the lead alone stand for it.
    """
    anchor, theme, lead = rep.anchor.deviation_ns, rep.steps[-1], rep.lead.deviation_ns
    if anchor is None or (theme.onset_ns is None and theme.state is not StepState.MERGED):
        return []
    starts = [anchor]
    if theme.deviation_ns is not None:
        starts.append(Ns(theme.deviation_ns - from_beat))
    if lead is not None and not _restarted(rep):
        starts.append(lead)
    return starts


def _restarted(rep: SegmentMeasured) -> bool:
    """Whether another note came in the middle of the lead: then where it began again says nothing of its length."""
    lead = rep.lead.onset_ns
    return any(extra.kind is ExtraKind.EXTRA_NOTE and extra.onset_ns < (lead or 0) for extra in rep.extras)


def _end(one: StepMeasured | ExtraMeasured) -> int:
    """When a note was over; one that is still sounding has only begun."""
    return (one.onset_ns or 0) + (one.length_ns or 0)


def _paused_before(lead: StepMeasured, before: SegmentMeasured, from_beat: Ns) -> Ns | None:
    """By how much the last theme was held too long, if that rep was judged while it still sounded."""
    late, starts = lead.deviation_ns, _theme_starts(before, from_beat)
    if _sounded_on(before).length_ns is not None or late is None or not starts:
        return None
    return Ns(max(late - max(starts), 0))
