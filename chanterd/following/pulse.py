"""Following a player who plays without the click: the grid goes along with the player's own pulse.

Nobody keeps a tempo to the beat for long without hearing it, so what was asked is soon a rep away from what is
played. Here the expectation has a pace of its own beside its place, and each rep moves both (an alpha-beta filter): a
steady tempo other than the asked one is met without a lag, and a change of tempo within a few reps.

It bears a tempo up to ``BORNE_FASTER`` or ``BORNE_SLOWER`` than asked from the first rep on, and changes of 14 % at
once; beyond that, reps are mistaken for one another (on simulated players).
"""

from collections.abc import Sequence

from chanterd.following.expectation import by_click
from chanterd.following.reading import LEAD
from chanterd.music.grid import TempoGrid
from chanterd.music.score import Score
from chanterd.music.units import Beats, Ns

PACE = 0.2
"""How much of what is learned of a rep's place is taken for a change of pace; chosen by us, on simulated players."""
BORNE_FASTER, BORNE_SLOWER = 0.12, 0.18
"""Shares of the asked tempo, both with something in hand; measured on simulated players."""
FARTHEST_PACE = 0.25
"""The share of a rep by which the pace may differ from what was asked."""


class OwnPulse:
    """An expectation whose grid is the player's.

    The pace stretches what is between the ornament and the notes around it; the ornament's own steps are the hand's.
    """

    __slots__ = ("_beat_of_rep", "_click", "_pace_ns", "_rep_ns", "shift_ns")

    def __init__(self, score: Score, grid: TempoGrid) -> None:
        """Begin with the asked grid and the asked pace."""
        self._beat_of_rep = score.segments[0].beat_ns / score.turn_ns
        self._rep_ns = score.start(1) * grid.click_ns - score.start(0) * grid.click_ns
        self._click = by_click(grid)
        self._pace_ns = 0.0
        """How much longer than asked the player's reps are."""
        self.shift_ns = 0.0
        """How much later (+) than by the asked grid the open rep is expected."""

    @property
    def grid(self) -> TempoGrid:
        """The player's own."""
        return self._click.grid

    @property
    def lead_shift_ns(self) -> float:
        """How much later a lead is due: a slow player's comes sooner before its beat, by what is between them."""
        return -self._pace_ns * self._beat_of_rep

    def moved_ns(self, ahead: int, step: int) -> Ns:
        """How much later (+) than by the asked grid a step is expected; ``ahead``: how many reps after the open one."""
        shift_ns = self.shift_ns + ahead * self._pace_ns
        return Ns(round(shift_ns + self.lead_shift_ns if step == LEAD else shift_ns))

    def due(self, start: Beats | float, offsets: Sequence[float]) -> list[float]:
        """When the notes of a rep are expected that starts on that beat.

        The rep ahead is not looked for by the pace: a tempo that changes at once would then be lost.
        """
        lead, *steps = self._click.due(start, offsets)
        return [lead + self.lead_shift_ns, *steps]

    def learn(self, off_ns: float | None) -> None:
        """Move place and pace, and then the grid itself, so that no shift is left that could be too far."""
        self._click.learn(off_ns)
        off = self._click.take_shift()
        most = FARTHEST_PACE * self._rep_ns
        self._pace_ns = max(-most, min(most, self._pace_ns + PACE * off))
        by_ns = off + self._pace_ns
        self.shift_ns += by_ns
        grid = self._click.grid
        self._click.grid = TempoGrid(grid.click_bpm, Ns(round(grid.beat0_ns + by_ns)))
