"""Practice for the history to keep: runs of a scene of our own, made with the real judge from simulated playing."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cache
from uuid import uuid4

import mido

from chanterd.assessing.assess import assess
from chanterd.hearing.chanter import DEFAULT_PROFILE, Profile, load_profiles
from chanterd.hearing.take import Take
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player, create
from chanterd.history.record import RepsClosed, RunBegun, RunEnded
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from chanterd.judging.report import RepResult
from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.music.drill import drill_from_words
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from chanterd.practice.exercise import Exercise
from tests.written_takes import WRITTEN

NOON_NS = 1_774_958_400_000_000_000
"""2026-03-31 at noon in UTC."""
DAY_NS = 86_400 * 1_000_000_000
GRIP = "grip from B to C"


@cache
def profile() -> Profile:
    """A chanter at written pitch."""
    return load_profiles(None)[DEFAULT_PROFILE]


def noon(day: int = 0, utc_offset_s: int = 0) -> WallTime:
    """Noon in UTC, that many days after the first."""
    return WallTime(NOON_NS + day * DAY_NS, utc_offset_s)


def played(words: str, offs_ms: Sequence[float | None], bpm: float = 60.0) -> list[tuple[mido.Message, Ns]]:
    """A grip from B to C for each of ``offs_ms``, its ornament so late; None: nothing is played. Simulated."""
    drill = drill_from_words(words)
    beat = 60_000.0 / bpm
    notes: list[tuple[float, str | None]] = []
    for rep, off_ms in enumerate(offs_ms):
        start = 2 * rep * beat
        if off_ms is None:
            notes.append((start, None))
            continue
        notes.append((start, drill.lead.words))
        steps = [step.note.words for step in drill.steps]
        first = start + beat - 60.0 * drill.beat_step + off_ms
        notes += [(first + 60.0 * number, note) for number, note in enumerate(steps)]
    messages: list[tuple[mido.Message, Ns]] = []
    sounding: str | None = None
    for at_ms, note in notes:
        at_ns = Ns(round(at_ms * NS_PER_MS))
        if sounding is not None:
            messages.append((mido.Message("note_off", note=WRITTEN[sounding]), at_ns))
        if note is not None:
            messages.append((mido.Message("note_on", note=WRITTEN[note], velocity=64), at_ns))
        sounding = note
    return messages


def exercise(words: str = GRIP, bpm: float = 60.0) -> Exercise:
    """The usual exercise of a drill at a tempo."""
    return Exercise(drill_from_words(words), Bpm(bpm), read_standards()[DEFAULT])


def judged(words: str, offs_ms: Sequence[float | None], bpm: float = 60.0) -> list[RepResult]:
    """The same, judged."""
    take = Take("scene.mid", tuple(played(words, offs_ms, bpm)), Bpm(bpm), ())
    return assess(take, profile(), exercise(words, bpm))["reps"]


def begun(person: Player, words: str = GRIP, bpm: float = 60.0, wall: WallTime | None = None) -> RunBegun:
    """A run that begins."""
    return RunBegun(
        key=uuid4().hex,
        player=person.number,
        name=person.name,
        wall=wall or noon(),
        exercise=exercise(words, bpm),
        walks=False,
        input="demo",
        profile=profile(),
        calibration_ns=None,
        lead_in_clicks=0,
    )


def practise(
    store: Store,
    person: Player,
    offs_ms: Sequence[float | None],
    words: str = GRIP,
    bpm: float = 60.0,
    wall: WallTime | None = None,
    *,
    click_off: bool = False,
    walks: bool = False,
) -> int:
    """A whole run of theirs in the history; its number."""
    ledger, run = Ledger(store), replace(begun(person, words, bpm, wall), walks=walks)
    run = replace(run, exercise=replace(run.exercise, click_off=click_off))
    number = ledger.write(RepsClosed(run, judged(words, offs_ms, bpm), run.wall, b""))
    ledger.write(RunEnded(run, "stopped", b""))
    return number


def closed(run: RunBegun, results: Iterable[RepResult], midi: bytes = b"") -> RepsClosed:
    """Reps that are over."""
    return RepsClosed(run, tuple(results), run.wall, midi)


def somebody(store: Store, name: str = "Ailsa") -> Player:
    """A player, in a scene of our own."""
    return create(store, name, noon())
