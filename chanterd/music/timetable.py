"""A drill in time: when each step of a rep is expected.

The lead note starts with the rep, the ornament's own beat and the rep's length are the layout's (if none is named: on
the second of two clicks), and the theme note lasts until the rep ends. A :class:`Spread` gives the steps' lengths.
Offsets count from the start of the rep; index 0 is the lead, index 1 + k is step k.
"""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Annotated

from annotated_types import Interval
from typing_extensions import TypedDict

from chanterd.config import ChanterdError, bundled
from chanterd.music.drill import Drill
from chanterd.music.layout import Layout, standard_layout
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, Bpm, Ms, Ns
from chanterd.table_file import read_one
from chanterd.values import table

NARROWEST, WIDEST = 0.01, 0.3
"""The share of a click that a held step may take."""
MOST_OF_CLICK = 0.9
"""How much of the time before the beat, and of that after it, the steps may fill, up to a click each: where the longest
ornaments would need more at a fast tempo, all their steps are shortened alike, floor or no floor, so that lead and
theme are heard."""


@dataclass(frozen=True, slots=True)
class Spread:
    """How long steps are to be: a share of the click each, and never shorter than a floor in ms."""

    held_of_click: float
    held_at_least_ms: Ms
    quick_of_click: float
    quick_at_least_ms: Ms

    def length_ns(self, kind: Kind, click_ns: float) -> float:
        """How long a step of that kind is to be."""
        if kind is Kind.QUICK:
            return max(self.quick_of_click * click_ns, self.quick_at_least_ms * NS_PER_MS)
        return max(self.held_of_click * click_ns, self.held_at_least_ms * NS_PER_MS)

    def opened(self, of_click: object) -> "Spread":
        """The same hand, wider or tighter: held steps are that share of the click, quick ones in proportion.

        Raises ChanterdError if it is not a number from ``NARROWEST`` to ``WIDEST``; NaN is refused too.
        """
        number = isinstance(of_click, int | float) and not isinstance(of_click, bool)
        if not (number and NARROWEST <= of_click <= WIDEST):  # type: ignore[operator]  # a number, or the first is False
            raise ChanterdError(
                f"The spread is {of_click!r}; it must be the share of a click that a held step takes, from "
                f"{NARROWEST:g} to {WIDEST:g}, such as {self.held_of_click:g} (did you mean a percentage?)."
            )
        share = float(of_click)  # type: ignore[arg-type]
        return replace(self, held_of_click=share, quick_of_click=share * self.quick_of_click / self.held_of_click)


@table
class SizeTable(TypedDict):
    """How long steps of one kind are to be."""

    of_click: Annotated[float, Interval(ge=0.005, le=0.3)]
    at_least_ms: Annotated[float, Interval(ge=5, le=300)]


@table
class SpreadTable(TypedDict):
    """The file."""

    held: SizeTable
    quick: SizeTable


def read_spread(path: Path) -> Spread:
    """Read a spread. Raises ConfigError with everything that is wrong with it."""
    found = read_one(path, SpreadTable)
    held, quick = found["held"], found["quick"]
    return Spread(held["of_click"], Ms(held["at_least_ms"]), quick["of_click"], Ms(quick["at_least_ms"]))


@cache
def standard_spread() -> Spread:
    """The spread that ships with the program."""
    return read_spread(bundled("configs") / "spread.toml")


def spread_asked(of_click: object) -> Spread:
    """The shipped spread, opened to that share of the click unless it is None; see :meth:`Spread.opened`."""
    return standard_spread() if of_click is None else standard_spread().opened(of_click)


@dataclass(frozen=True, slots=True)
class Timetable:
    """One rep of a drill at a tempo."""

    drill: Drill
    click_bpm: Bpm
    layout: Layout
    offsets_ns: tuple[Ns, ...]
    """Expected onsets from the start of the rep: the lead, then every step, the theme last."""
    lengths_ns: tuple[Ns, ...]
    """Expected lengths, in the same order; the theme lasts until the rep ends."""
    rep_ns: Ns
    """Length of the rep."""
    beat_ns: Ns
    """The ornament's own beat, from the start of the rep."""


def make_timetable(
    drill: Drill, click_bpm: Bpm, spread: Spread | None = None, layout: Layout | None = None
) -> Timetable:
    """Lay a drill out in time, the step that belongs on the beat on the ornament's own beat."""
    spread, layout = spread or standard_spread(), layout or standard_layout()
    click_ns = NS_PER_MINUTE / click_bpm
    lengths = [sum(spread.length_ns(kind, click_ns) for kind in step.stands_for) for step in drill.steps[:-1]]
    beat, end = layout.ornament * click_ns, layout.clicks * click_ns
    fits = min(
        _fit(sum(lengths[: drill.anchor_step]), min(beat, click_ns)),
        _fit(sum(lengths[drill.anchor_step :]), min(end - beat, click_ns)),
    )
    lengths = [length * fits for length in lengths]
    start = beat - sum(lengths[: drill.anchor_step])
    onsets = [start + sum(lengths[:index]) for index in range(len(drill.steps))]
    return Timetable(
        drill=drill,
        click_bpm=click_bpm,
        layout=layout,
        offsets_ns=tuple(Ns(round(at)) for at in (0.0, *onsets)),
        lengths_ns=tuple(Ns(round(length)) for length in (start, *lengths, end - onsets[-1])),
        rep_ns=Ns(round(end)),
        beat_ns=Ns(round(beat)),
    )


def _fit(needed_ns: float, room_ns: float) -> float:
    """By how much steps must be shortened to leave some of the room free."""
    return min(1.0, MOST_OF_CLICK * room_ns / needed_ns) if needed_ns else 1.0
