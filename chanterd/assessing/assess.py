"""Assessing a take: a file through the same ear, follower and judge that listen live."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain
from typing import NotRequired

from pydantic_core import to_json
from typing_extensions import TypedDict

from chanterd.assessing.alignment import OFF_CLICKS, offset_of, offset_words
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile
from chanterd.hearing.ear import Ear
from chanterd.hearing.take import Take
from chanterd.judging.continuation import Continuation
from chanterd.judging.report import RepResult
from chanterd.judging.summary import Summary, summarise
from chanterd.music.drill import Drill
from chanterd.music.grid import click_bpm
from chanterd.music.heard import Heard, Stray
from chanterd.music.units import NS_PER_S, Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import RepEvent, make_run


class Assessment(TypedDict):
    """What ``chanterd assess --json`` prints."""

    drill: str
    click_bpm: float
    standard: str
    chanter: str
    unknown_notes: list[int]
    """MIDI note numbers that the chanter's profile does not know: heard, and followed by nobody."""
    sequence: list[str]
    """The drills of reps 0, 1, 2, ... in turn, over and over; one where every rep asks the same."""
    whole_take: list[str]
    """What is said of the take as a whole: that it is off the click throughout, or transposed."""
    left_out: str
    """What of the scale is not played, in a sentence; empty if nothing."""
    reps: list[RepResult]
    summary: Summary
    continuation: NotRequired[Continuation]
    """How steady the tempo was, in a take that was played without a click."""


def tempo_of(take: Take) -> Bpm:
    """The take's own tempo. Raises ChanterdError if it has none or more than one."""
    if take.click_bpm is not None:
        return click_bpm(round(take.click_bpm, 3))
    tempi = ", ".join(f"{bpm:g} from {at_ns / NS_PER_S:g} s" for at_ns, bpm in take.tempi[:4])
    why = f"changes its tempo ({tempi})" if take.tempi else "counts film frames, not beats"
    raise ChanterdError(
        f"{take.name}: the take {why}; say the tempo it was played to with --click, such as --click 60."
    )


def profile_for(take: Take, profiles: Mapping[str, Profile], drills: Iterable[Drill]) -> Profile:
    """The profile that knows every note number of the take and hears most of the drills' notes; the first of several.

    Raises ChanterdError naming the notes that none of them knows.
    """
    used = {message.note for message, _ in take.messages if message.type == "note_on" and message.velocity}
    asked = {note for drill in drills for note in (drill.lead, *(step.note for step in drill.steps))}
    fitting = [profile for profile in profiles.values() if used <= {*profile.notes, *profile.drones}]
    if fitting:
        return max(fitting, key=lambda profile: sum(profile.notes.get(midi) in asked for midi in used))
    nearest = max(profiles.values(), key=lambda profile: len(used & {*profile.notes}))
    unknown = sorted(used - {*nearest.notes, *nearest.drones})
    raise ChanterdError(
        f"{take.name}: no chanter profile knows all its notes; '{nearest.name}' comes nearest but lacks MIDI "
        f"{_numbers(unknown)}. Name one with --chanter, or teach the daemon your chanter with 'chanterd learn'."
    )


def _numbers(midi: Sequence[int]) -> str:
    return f"note{'s' if len(midi) > 1 else ''} {', '.join(map(str, midi))}"


def hear_take(take: Take, profile: Profile) -> Iterator[Heard]:
    """What the ear hears in a take, in order of time."""
    ear = Ear(profile)
    return chain.from_iterable(ear.hear(message, at_ns) for message, at_ns in take.messages)


def assess(
    take: Take,
    profile: Profile,
    exercise: Exercise,
) -> Assessment:
    """Follow and judge a whole take; beat 0 is its time 0.

    Raises ChanterdError if the chanter's profile knows none of its notes.
    """
    # Only reps are wanted. (The player's own pulse moves what is read at once, so there steps are read as live.)
    run = make_run(exercise, Ns(0), at_once=exercise.click_off)
    strays: set[int] = set()
    for heard in hear_take(take, profile):
        if isinstance(heard, Stray):
            strays.add(heard.midi)
        else:
            run.hear(heard)
    reps = [one.result for one in run.finish() if isinstance(one, RepEvent)]
    if not reps:
        why = f"holds MIDI {_numbers(sorted(strays))}, none of which it knows" if strays else "holds only its drones"
        raise ChanterdError(f"{take.name}: nothing was heard with the chanter '{profile.name}': the take {why}.")
    found = Assessment(
        drill=exercise.drill.words,
        click_bpm=exercise.click_bpm,
        standard=exercise.standard.name,
        chanter=profile.name,
        unknown_notes=sorted(strays),
        sequence=[one.drill.words for one in run.score.segments],
        whole_take=[],
        left_out=run.score.left_out,
        reps=reps,
        summary=summarise(reps, exercise.drill, exercise.click_bpm, click_off=exercise.click_off),
    )
    if not exercise.click_off and _is_doubtful(reps):
        off_ns = offset_of(take, profile, run.score)
        found["whole_take"] += [] if off_ns is None else [offset_words(off_ns)]
    if run.continuation is not None:
        found["continuation"] = run.continuation
    return found


def _is_doubtful(reps: Sequence[RepResult]) -> bool:
    """Whether most reps were not found as they were asked, or not near their beat."""
    found = [
        all(step["state"] in ("played", "merged") for step in rep["steps"])
        and abs(rep["placement"]["of_click"] or 0.0) < OFF_CLICKS
        for rep in reps
    ]
    return 2 * sum(found) < len(found)


def assessment_json(found: Assessment) -> str:
    """One JSON object, a rep a line, so that programs read it and people can still find a rep.

    Written by pydantic's core, which takes a tenth of the time that ``json`` does: an hour is three megabytes.
    """
    members = []
    for name, value in found.items():
        lines = b"[\n" + b",\n".join(map(to_json, found["reps"])) + b"\n]" if name == "reps" else to_json(value)
        members.append(b'"%b": %b' % (name.encode(), lines))
    return (b"{" + b",\n".join(members) + b"}").decode()
