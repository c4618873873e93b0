"""A drill in time: when each step of a rep is expected.

The layout: the lead note starts on the rep's first click, the ornament's own beat is the second, and the theme note
lasts until the rep's end, two clicks after its start. The steps' lengths come from a :class:`Spread`.
Offsets count from the start of the rep; index 0 is the lead, index 1 + k is step k.
"""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from chanterd.config import Complaints, bundled, read_toml
from chanterd.trade.drill import Drill
from chanterd.trade.ornament import Kind
from chanterd.trade.units import NS_PER_MS, Bpm, Ms, Ns

CLICKS_PER_REP = 2
ORNAMENT_BEAT = 1
MOST_OF_CLICK = 0.9
"""How much of the click before the beat, and of the one after it, the steps may fill: where the longest ornaments would
need more at a fast tempo, all their steps are shortened alike, floor or no floor, so that lead and theme are heard."""


@dataclass(frozen=True, slots=True)
class Spread:
    """How long steps are asked to be: a share of the click each, with a floor in ms below which they do not shrink."""

    held_of_click: float
    held_at_least_ms: Ms
    quick_of_click: float
    quick_at_least_ms: Ms

    def length_ns(self, kind: Kind, click_ns: float) -> float:
        """The length asked of a step of that kind."""
        if kind is Kind.QUICK:
            return max(self.quick_of_click * click_ns, self.quick_at_least_ms * NS_PER_MS)
        return max(self.held_of_click * click_ns, self.held_at_least_ms * NS_PER_MS)


def read_spread(path: Path) -> Spread:
    """Read a spread. Raises ConfigError with everything that is wrong with it."""
    complaints, tables = Complaints(path), read_toml(path)
    complaints.unknown_keys("file", tables, ("held", "quick"))
    numbers: list[float] = []
    for name in ("held", "quick"):
        table = complaints.take_table("file", tables, name)
        complaints.unknown_keys(name, table, ("of_click", "at_least_ms"))
        numbers.append(complaints.take_number(name, table, "of_click", 0.005, 0.3))
        numbers.append(complaints.take_number(name, table, "at_least_ms", 5, 300))
    complaints.raise_if_any()
    return Spread(numbers[0], Ms(numbers[1]), numbers[2], Ms(numbers[3]))


@cache
def standard_spread() -> Spread:
    """The spread that ships with the program."""
    return read_spread(bundled("configs") / "spread.toml")


@dataclass(frozen=True, slots=True)
class Timetable:
    """One rep of a drill at a tempo."""

    drill: Drill
    click_bpm: Bpm
    offsets_ns: tuple[Ns, ...]
    """Expected onsets from the start of the rep: the lead, then every step, the theme last."""
    lengths_ns: tuple[Ns, ...]
    """Expected lengths, in the same order; the theme lasts until the rep ends."""
    rep_ns: Ns
    """Length of the rep."""
    beat_ns: Ns
    """The ornament's own beat, from the start of the rep."""


def make_timetable(drill: Drill, click_bpm: Bpm, spread: Spread | None = None) -> Timetable:
    """Lay a drill out in time, the step that belongs on the beat on the ornament's own beat."""
    spread = spread or standard_spread()
    click_ns = 60e9 / click_bpm
    lengths = [sum(spread.length_ns(kind, click_ns) for kind in step.stands_for) for step in drill.steps[:-1]]
    on_beat = drill.anchor_step
    longest = max(sum(lengths[:on_beat]), sum(lengths[on_beat:]))
    fits = min(1.0, MOST_OF_CLICK * click_ns / longest) if longest else 1.0
    lengths = [length * fits for length in lengths]
    start = ORNAMENT_BEAT * click_ns - sum(lengths[:on_beat])
    onsets = [start + sum(lengths[:index]) for index in range(len(drill.steps))]
    end = CLICKS_PER_REP * click_ns
    return Timetable(
        drill=drill,
        click_bpm=click_bpm,
        offsets_ns=tuple(Ns(round(at)) for at in (0.0, *onsets)),
        lengths_ns=tuple(Ns(round(length)) for length in (start, *lengths, end - onsets[-1])),
        rep_ns=Ns(round(end)),
        beat_ns=Ns(round(ORNAMENT_BEAT * click_ns)),
    )
