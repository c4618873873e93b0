"""Takes written straight with mido, independent of our own writer, for tests that send them through the whole corridor.

Times are in ms from the file's start. A chanter never stops sounding while it is blown: each note lasts until the next.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Literal

import mido

WRITTEN = {
    "low G": 67,
    "low A": 69,
    "B": 71,
    "C": 73,
    "D": 74,
    "E": 76,
    "F": 78,
    "high G": 79,
    "high A": 81,
}
"""MIDI numbers of the written pitches: common practice, no source."""

US_PER_MINUTE = 60_000_000

Playing = Sequence[tuple[float, str | None]]
"""When each note begins, in order; None is silence."""
NoteOff = Literal["note_off", "velocity 0"]

GRIP_WORDS = "grip from B to C"
GRIP: Playing = [(0.0, "B"), (840.0, "low G"), (900.0, "D"), (940.0, "low G"), (1000.0, "C")]
"""A clean one at 60 clicks a minute."""


def write(
    path: Path,
    playing: Playing,
    *,
    bpm: float = 60.0,
    ticks: int = 10_000,
    kind: Literal[0, 1] = 0,
    numbers: Mapping[str, int] = WRITTEN,
    note_off: NoteOff = "note_off",
    overlap_ms: float = 0.0,
    say_tempo: bool = True,
) -> Path:
    """Write a take and return its path. The file's tempo is ``bpm``, unless it keeps silent about it."""
    timed: list[tuple[float, mido.Message]] = []
    ends = [at for at, _ in playing[1:]] + [playing[-1][0] + 500.0]
    for (at_ms, note), end_ms in zip(playing, ends, strict=True):
        if note is None:
            continue
        timed.append((at_ms, mido.Message("note_on", note=numbers[note], velocity=64)))
        off = "note_on" if note_off == "velocity 0" else note_off
        timed.append((end_ms + overlap_ms, mido.Message(off, note=numbers[note], velocity=0)))
    timed.sort(key=lambda one: one[0])
    per_ms = ticks * (bpm if say_tempo else 120.0) / 60_000.0
    stamps = [0, *(round(at_ms * per_ms) for at_ms, _ in timed)]
    notes = [
        message.copy(time=now - before) for (_, message), (before, now) in zip(timed, pairwise(stamps), strict=True)
    ]
    tempo = [mido.MetaMessage("set_tempo", tempo=round(US_PER_MINUTE / bpm))] if say_tempo else []
    tracks = [[*tempo, *notes]] if kind == 0 else [tempo, notes]
    mido.MidiFile(type=kind, ticks_per_beat=ticks, tracks=[mido.MidiTrack(track) for track in tracks]).save(path)
    return path
