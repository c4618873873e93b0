"""One run of the history in words, for the terminal: of a drill, or of a tune with what its summary shows."""

from collections.abc import Iterator, Sequence

from chanterd.commands.assess_tune import melody_lines, out_lines
from chanterd.history.answers import RunSeen
from chanterd.history.free_runs import FreeRunSeen
from chanterd.history.tune_runs import TuneRunSeen
from chanterd.history.wall_clock import WallTime
from chanterd.judging.report import RepResult
from chanterd.judging.tunes.report import BarTempo
from chanterd.listening.report import HeardOrnament
from chanterd.practice.tune_run import TunePlayed

TUNE = "tune-"
"""Begins the number of a run through a tune."""
FREE = "free-"
"""Begins the number of a run of free playing."""
MS_PER_S, S_PER_MINUTE = 1000, 60
BARS_A_LINE = 8

AnyRun = RunSeen | TuneRunSeen | FreeRunSeen


def began(run: AnyRun) -> str:
    """When the run began, by the player's own clock."""
    return f"{WallTime(run.began_ns, run.utc_offset_s).at_place:%Y-%m-%d %H:%M}"


def tune_words(run: TuneRunSeen) -> str:
    """What was played of a tune, and how it went."""
    tempo = f"own tempo, about {run.click_bpm:.0f}" if run.click_off else f"{run.click_bpm:g} clicks"
    how = f"{run.clean} of {run.ornaments} ornaments clean" if run.judged or run.ornaments else "not judged yet"
    return f"{run.title}, {tempo}: {how}"


def free_words(run: FreeRunSeen) -> str:
    """How free playing went."""
    return f"free playing: {run.clean} of {run.ornaments} ornaments clean"


def free_lines(ornaments: Sequence[HeardOrnament]) -> Iterator[str]:
    """Every ornament with when it was played, in minutes and seconds from the beginning, and its sentence."""
    for one in ornaments:
        minutes, seconds = divmod(int(one["theme_ms"] // MS_PER_S), S_PER_MINUTE)
        yield f"{minutes:>5}:{seconds:02d}  {one['drill'] or one['ornament']}: {one['said']}"


def drill_lines(reps: Sequence[RepResult]) -> Iterator[str]:
    """Every rep with its sentence; they count from 1."""
    for rep in reps:
        yield f"{rep['rep'] + 1:>5}  {'Not played.' if rep['skipped'] else rep['said']}"


def tune_lines(played: TunePlayed) -> Iterator[str]:
    """The sentence on the whole, the melody, what to take out next, what is not alike, and the tempo by bar."""
    summary = played["summary"]
    yield summary["said"]
    yield from melody_lines(summary)
    yield from out_lines(summary)
    if len(summary["tempi"]) > 1:
        yield ""
        yield "Tempo by bar, in the order in which they were played:"
        yield from _tempi(summary["tempi"])


def _tempi(tempi: Sequence[BarTempo]) -> Iterator[str]:
    for first in range(0, len(tempi), BARS_A_LINE):
        bars = tempi[first : first + BARS_A_LINE]
        yield "  " + "  ".join(f"bar {one['bar']:>2}: {one['click_bpm']:>3.0f}" for one in bars)
