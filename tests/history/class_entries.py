"""Entries of a class: a grip at 60 clicks, then at 64."""

from pathlib import Path

from chanterd.history.class_record import ClassBegun, ClassRepClosed, ClassRunBegun
from chanterd.history.wall_clock import WallTime
from chanterd.judging.ensemble import BandRep, OnsetSpread, StepSpread
from chanterd.music.units import Bpm
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.tables import read_tables

BEGAN = WallTime(1_790_000_000_000_000_000, 3600)


def begun(folder: Path, key: str = "a" * 32) -> ClassBegun:
    """A class that begins in the afternoon."""
    exercise = resolve(ExerciseWords("grip from B to C", 60), read_tables(folder))
    return ClassBegun(key, BEGAN, exercise, None)


def band_rep(klass: ClassBegun, number: int, spread_ms: float | None = 20.0, click_bpm: float = 60.0) -> ClassRepClosed:
    """A rep of the band, two seconds after the one before."""
    steps = tuple(
        StepSpread(step, note, {}, OnsetSpread(2, at_ms, None if spread_ms is None else spread_ms + step))
        for step, (note, at_ms) in enumerate((("low G", -160.0), ("D", -100.0), ("low G", -60.0), ("C", 0.0)))
    )
    band = BandRep(number, 2, steps, OnsetSpread(2, 3.14159, spread_ms), spread_ms)
    wall = WallTime(BEGAN.ns + 2_000_000_000 * (number + 1), BEGAN.utc_offset_s)
    return ClassRepClosed(klass, number, Bpm(click_bpm), band, wall)


def run_begun(klass: ClassBegun, run_key: str = "b" * 32, seat: str = "1") -> ClassRunBegun:
    """A seat's run."""
    return ClassRunBegun(klass, run_key, seat)
