"""When a player of a drill is expected: a timeline, moved by how early or late the player was in the reps before.

Times are in ns from beat 0; shifts are + = late. :class:`ByClick` keeps the grid of the click; ``pulse`` has another.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from chanterd.music.grid import TempoGrid
from chanterd.music.score import Score
from chanterd.music.timeline import Timeline
from chanterd.music.units import Beats, Ns

LEARN = 0.7
"""How much of a rep's own deviation moves the expectation for the next, …"""

AT_ONCE_CLICKS = 0.3
"""… never by more than this at once, …"""

FARTHEST_CLICKS = 0.9
"""… nor ever farther than this from the click, so that it cannot drift onto another rep."""

FADE = 0.5
"""How much of what was learned is lost with a rep of which no step was heard: who rests hears the click meanwhile."""


class Expectation(Timeline, Protocol):
    """The timeline that reps begin and close by, and where on it the player is; its beat 0 is near time 0."""

    @property
    def shift_ns(self) -> float:
        """How much later (+) than by the grid of the click the open rep is expected."""

    def lead_shift_ns(self, turn: int, /) -> float:
        """How much later than the rest of its rep the lead of a turn is expected."""

    def due(self, turn: int, offsets: Sequence[float], /) -> list[float]:
        """When the notes of a turn are expected; ``offsets`` count from its start."""

    def learn(self, turn: int, off_ns: float | None, /) -> None:
        """Take the deviation of the turn that closes from what was expected; None: no step of it was heard."""


@dataclass(slots=True)
class ByClick:
    """By the click, and by how early or late the player usually is."""

    score: Score
    grid: TempoGrid
    shift_ns: float = 0.0

    def at(self, beats: Beats | float, /) -> Ns:
        """When a click sounds, however early or late the player is."""
        return self.grid.at(beats)

    def beats(self, at_ns: Ns, /) -> Beats:
        """Which click a time is, as a fraction."""
        return self.grid.beats(at_ns)

    def lead_shift_ns(self, _turn: int, /) -> float:
        """A lead is as early or late as its rep."""
        return 0.0

    def due(self, turn: int, offsets: Sequence[float], /) -> list[float]:
        """When the notes of a turn are expected."""
        since = self.grid.at(self.score.start(turn)) + self.shift_ns
        return [since + at for at in offsets]

    def learn(self, _turn: int, off_ns: float | None, /) -> None:
        """Move the expectation for the next turn."""
        if off_ns is None:
            self.shift_ns *= 1 - FADE
            return
        click_ns = self.grid.click_ns
        most, farthest = AT_ONCE_CLICKS * click_ns, FARTHEST_CLICKS * click_ns
        moved = self.shift_ns + LEARN * max(-most, min(most, off_ns))
        self.shift_ns = max(-farthest, min(farthest, moved))

    def take_shift(self) -> float:
        """The shift, which is none from now on, because whoever asked has moved the grid by it."""
        shift_ns, self.shift_ns = self.shift_ns, 0.0
        return shift_ns


def by_click(score: Score, grid: TempoGrid) -> ByClick:
    """The expectation of a follower on that grid.

    Inside, times count from beat 0: how long the clock has run must not show in the rounding of any price.
    """
    return ByClick(score, TempoGrid(grid.click_bpm, Ns(0)))
