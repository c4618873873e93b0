"""A take as a whole: whether it is off the click throughout, and whether it is transposed.

Both are found from the exercise played right, wherever it is in the take and however high: the notes of a rep one after
the other. Times in ns; + is late; semitones are + if the take is higher than the chanter's profile.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median

from chanterd.hearing.chanter import Profile
from chanterd.hearing.take import Take
from chanterd.music.drill import Drill
from chanterd.music.note import Note
from chanterd.music.score import Score
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, Ns

FEWEST = 2
"""Reps played right from which something is said of the whole: our own choice."""
OFF_CLICKS = 0.25
"""A take that is off by less is a player who is early or late: our own choice."""
ALIKE_CLICKS = 0.15
"""Reps that are off alike differ by no more from their median: our own choice."""
MOST_SEMITONES = 24
"""Two octaves to either side are tried."""

Played = tuple[Note, Ns]


@dataclass(frozen=True, slots=True)
class Pattern:
    """What sounds of a drill, and where in it the beat is heard."""

    notes: tuple[Note, ...]
    """The lead first; equal notes in a row are one."""
    anchor: int


def pattern_of(drill: Drill) -> Pattern:
    """The pattern of a drill."""
    notes = [drill.lead, *(step.note for step in drill.steps)]
    sounding = [0, *(place for place, (before, note) in enumerate(pairwise(notes), 1) if note is not before)]
    place = max(index for index, at in enumerate(sounding) if at <= drill.anchor_step + 1)
    return Pattern(tuple(notes[at] for at in sounding), place)


def heard_in(take: Take, profile: Profile, semitones: int = 0) -> list[Played]:
    """The notes of a take, read on that chanter moved up by ``semitones``; equal notes in a row are one."""
    found: list[Played] = []
    for message, at_ns in take.messages:
        if message.type == "note_on" and message.velocity:
            note = profile.notes.get(message.note - semitones)
            if note is not None and (not found or found[-1][0] is not note):
                found.append((note, at_ns))
    return found


def beats_in(played: Sequence[Played], patterns: Iterable[Pattern]) -> list[Ns]:
    """When the beat was heard of each rep that was played right."""
    notes = [note for note, _ in played]
    found: list[Ns] = []
    for notes_asked, anchor in ((pattern.notes, pattern.anchor) for pattern in patterns):
        last = len(notes) - len(notes_asked)
        firsts = (first for first in range(last + 1) if tuple(notes[first : first + len(notes_asked)]) == notes_asked)
        found += [played[first + anchor][1] for first in firsts]
    return sorted(found)


def transposition(take: Take, profiles: Iterable[Profile], drills: Iterable[Drill]) -> tuple[Profile, int] | None:
    """The chanter, and by how many semitones the take differs from it, with which most reps were played right.

    None if too few were with any. Of equals the first chanter, and its smallest difference.
    """
    patterns = {pattern_of(drill) for drill in drills}
    most = FEWEST - 1
    best: tuple[Profile, int] | None = None
    for profile in profiles:
        for semitones in sorted(range(-MOST_SEMITONES, MOST_SEMITONES + 1), key=abs):
            count = len(beats_in(heard_in(take, profile, semitones), patterns))
            if count > most:
                most, best = count, (profile, semitones)
    return best


def transposed(profile: Profile, semitones: int) -> Profile:
    """The chanter with every note moved up by ``semitones``."""
    return replace(
        profile,
        notes={midi + semitones: note for midi, note in profile.notes.items()},
        drones=frozenset(midi + semitones for midi in profile.drones),
    )


def transposed_words(profile: Profile, semitones: int) -> str:
    """A sentence about it."""
    many = "semitone" if abs(semitones) == 1 else "semitones"
    way = "higher" if semitones > 0 else "lower"
    return f"The take is transposed: it is {abs(semitones)} {many} {way} than the chanter '{profile.name}'."


def offset_of(take: Take, profile: Profile, score: Score) -> Ns | None:
    """How late the take is as a whole, at most half a rep to either side; None if it is not, or that is not known."""
    beats = beats_in(heard_in(take, profile), {pattern_of(segment.drill) for segment in score.segments})
    first = score.segments[0]
    click_ns = NS_PER_MINUTE / first.click_bpm
    start = score.start(0) * click_ns + first.beat_ns
    offs = [(at - start + first.lasts_ns / 2) % first.lasts_ns - first.lasts_ns / 2 for at in beats]
    if len(offs) < FEWEST:
        return None
    # On a circle: what lies just before half a rep and what lies just after it are near each other.
    turned = [(off - offs[0] + first.lasts_ns / 2) % first.lasts_ns - first.lasts_ns / 2 for off in offs]
    middle = median(turned)
    alike = sum(abs(off - middle) <= ALIKE_CLICKS * click_ns for off in turned)
    off = (middle + offs[0] + first.lasts_ns / 2) % first.lasts_ns - first.lasts_ns / 2
    return Ns(round(off)) if 2 * alike > len(offs) and abs(off) >= OFF_CLICKS * click_ns else None


def offset_words(off_ns: Ns) -> str:
    """A sentence about it, with the way to mend it."""
    ms = round(off_ns / NS_PER_MS)
    side = "after" if ms > 0 else "before"
    return (
        f"The take as a whole is {abs(ms)} ms {side} the click. If the recording did not begin with the first click, "
        f"assess it with --offset {ms}."
    )


def shifted_take(take: Take, offset_ns: Ns) -> Take:
    """The take as if its first click were at its time 0; ``offset_ns`` is when that click falls in the file."""
    return replace(take, messages=tuple((message, Ns(at_ns - offset_ns)) for message, at_ns in take.messages))
