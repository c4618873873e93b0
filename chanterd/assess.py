"""Assessing a take: a file through the same ear, follower and judge that listen live."""

from collections.abc import Iterator, Mapping
from itertools import chain

from typing_extensions import TypedDict

from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile
from chanterd.hearing.ear import Ear
from chanterd.hearing.take import Take
from chanterd.judging.report import RepResult
from chanterd.judging.standard import Standard
from chanterd.judging.summary import Summary, summarise
from chanterd.practice.run import RepTold, Told, make_run
from chanterd.trade.drill import Drill
from chanterd.trade.grid import click_bpm
from chanterd.trade.heard import Heard
from chanterd.trade.units import Bpm, Ns


class Assessment(TypedDict):
    """What ``chanterd assess --json`` prints."""

    drill: str
    click_bpm: float
    standard: str
    chanter: str
    reps: list[RepResult]
    summary: Summary


def tempo_of(take: Take) -> Bpm:
    """The take's own tempo. Raises ChanterdError if it has none or more than one."""
    if take.click_bpm is not None:
        return click_bpm(round(take.click_bpm, 3))
    told = ", ".join(f"{bpm:g} from {at_ns / 1e9:g} s" for at_ns, bpm in take.tempi[:4])
    why = f"changes its tempo ({told})" if take.tempi else "counts film frames, not beats"
    raise ChanterdError(
        f"{take.name}: the take {why}; say the tempo it was played to with --click, such as --click 60."
    )


def profile_for(take: Take, profiles: Mapping[str, Profile]) -> Profile:
    """The first profile that knows every note number of the take.

    Raises ChanterdError naming the notes that none of them knows.
    """
    used = {message.note for message, _ in take.messages if message.type == "note_on" and message.velocity}
    for profile in profiles.values():
        if used <= {*profile.notes, *profile.drones}:
            return profile
    nearest = max(profiles.values(), key=lambda profile: len(used & {*profile.notes}))
    unknown = ", ".join(str(midi) for midi in sorted(used - {*nearest.notes, *nearest.drones}))
    raise ChanterdError(
        f"{take.name}: no chanter profile knows all its notes; '{nearest.name}' comes nearest but lacks MIDI note "
        f"{unknown}. Name one with --chanter, or teach the daemon your chanter with 'chanterd learn'."
    )


def hear_take(take: Take, profile: Profile) -> Iterator[Heard]:
    """What the ear hears in a take, in order of time."""
    ear = Ear(profile)
    return chain.from_iterable(ear.hear(message, at_ns) for message, at_ns in take.messages)


def assess(take: Take, profile: Profile, drill: Drill, bpm: Bpm, standard: Standard) -> Assessment:
    """Follow and judge a whole take; beat 0 is its time 0."""
    run = make_run(drill, bpm, Ns(0), standard)
    told: list[Told] = []
    for heard in hear_take(take, profile):
        told += run.hear(heard)
    told += run.finish()
    reps = [one.result for one in told if isinstance(one, RepTold)]
    return Assessment(
        drill=drill.words,
        click_bpm=bpm,
        standard=standard.name,
        chanter=profile.name,
        reps=reps,
        summary=summarise(reps),
    )
