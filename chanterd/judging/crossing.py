"""Crossing noises explained: which fingers moved after the others, as shown by the note that sounded in between.

A note's fingering says of each hole whether it is closed. Of the fingers that move from one note to the next, those
that the noise shows as in the note before had not moved yet, and those that it shows as in the note after had.
"""

from dataclasses import dataclass
from functools import cache

from chanterd.judging.measure import SegmentMeasured
from chanterd.music.drill import Drill
from chanterd.music.fingering import FINGERS, LITTLE_FINGER, Passing, is_little_finger, passing
from chanterd.music.note import Note
from chanterd.music.ornament import Kind


@dataclass(frozen=True, slots=True)
class Crossing:
    """One noise on the way from a note to another."""

    before: Note
    noise: Note
    after: Note

    @property
    def fingers(self) -> Passing:
        """Which fingers had moved, and which had not."""
        return passing(self.before, self.noise, self.after)

    @property
    def said(self) -> str:
        """Which fingers to mind, the fewer: ``From C to E, your right ring finger moved after the others``."""
        return _said(self.before, self.noise, self.after)


@cache
def _said(before: Note, noise: Note, after: Note) -> str:
    way = f"From {before.words} to {after.words}"
    if is_little_finger(before, noise, after):
        return f"{way}, your {FINGERS[LITTLE_FINGER]} came up: keep it down"
    fingers = passing(before, noise, after)
    if len(fingers.late) <= len(fingers.moved):
        return f"{way}, your {_all_of(fingers.late)} moved after the {_others(fingers.moved)}"
    return f"{way}, your {_all_of(fingers.moved)} moved before the {_others(fingers.late)}"


def _others(holes: tuple[int, ...]) -> str:
    return "others" if len(holes) > 1 else FINGERS[holes[0]]


def _all_of(holes: tuple[int, ...]) -> str:
    """``left ring finger``, ``left index and middle fingers``, ``left ring and right little fingers``."""
    names = [FINGERS[hole].removesuffix(" finger") for hole in holes]
    if len(names) == 1:
        return FINGERS[holes[0]]
    hands = {name.partition(" ")[0] for name in names} - {FINGERS[0]}
    if len(hands) == 1:
        first = next(index for index, name in enumerate(names) if " " in name)
        names[first + 1 :] = [name.partition(" ")[2] for name in names[first + 1 :]]
    return f"{', '.join(names[:-1])} and {names[-1]} fingers"


def crossings(rep: SegmentMeasured, before: SegmentMeasured | None, drill: Drill) -> dict[int, Crossing]:
    """The crossing noises of a rep by their onset: between which two notes that were meant each one sounded.

    Left out are those whose neighbours are not known, and those beside a gracenote or tap: that is one finger lifted
    or put down over the note it is played on (common practice, from memory), which is not in the
    table of fingerings.
    """
    meant = sorted(
        (step.onset_ns, step.note if step.played_note is None else step.played_note, step.kind is Kind.QUICK)
        for step in (rep.lead, *rep.steps)
        if step.onset_ns is not None
    )
    sounding = None if before is None else before.steps[-1].note
    if sounding is None and rep.lead.onset_ns is None:
        sounding = drill.lead
    found: dict[int, Crossing] = {}
    for extra in rep.extras:
        start, after, quick = sounding, None, False
        for at, note, is_quick in meant:
            if at > extra.onset_ns:
                after, quick = note, quick or is_quick
                break
            start, quick = note, is_quick
        if start is None or after is None or quick:
            continue
        if passing(start, extra.note, after).explains or is_little_finger(start, extra.note, after):
            found[extra.onset_ns] = Crossing(start, extra.note, after)
    return found
