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
"""The share by which the pace may differ from what was asked."""


class OwnPulse:
    """An expectation whose timeline is the player's.

    The pace stretches what is between the ornament and the notes around it; the ornament's own steps are the hand's.
    Turns may be of any length: a pace is by the click.
    """

    __slots__ = ("_asked_ns", "_click", "_pace", "_score", "shift_ns")

    def __init__(self, score: Score, grid: TempoGrid) -> None:
        """Begin with the asked grid and the asked pace."""
        self._score = score
        self._asked_ns = grid.click_ns
        self._click = by_click(score, grid)
        self._pace = 0.0
        """How much longer (+) than asked the player's clicks are, as a share."""
        self.shift_ns = 0.0
        """How much later (+) than by the asked grid the open turn is expected."""

    def at(self, beats: Beats | float, /) -> Ns:
        """When a click of the player's own falls, by what is known in the open turn."""
        return self._click.at(beats)

    def beats(self, at_ns: Ns, /) -> Beats:
        """Which click of the player's own a time is."""
        return self._click.beats(at_ns)

    def lead_shift_ns(self, turn: int, /) -> float:
        """How much later a lead is due: a slow player's comes sooner before its beat, by what is between them."""
        return -self._pace * self._score.segment(turn).beat_ns

    def moved_ns(self, open_turn: int, turn: int, step: int) -> Ns:
        """How much later (+) than by the asked grid a step of a turn is expected while another turn is open."""
        between = self._score.start(turn) - self._score.start(open_turn)
        shift_ns = self.shift_ns + between * self._asked_ns * self._pace
        return Ns(round(shift_ns + self.lead_shift_ns(turn) if step == LEAD else shift_ns))

    def due(self, turn: int, offsets: Sequence[float], /) -> list[float]:
        """When the notes of a turn are expected.

        The turn ahead is not looked for by the pace: a tempo that changes at once would then be lost.
        """
        lead, *steps = self._click.due(turn, offsets)
        return [lead + self.lead_shift_ns(turn), *steps]

    def learn(self, turn: int, off_ns: float | None, /) -> None:
        """Move place and pace, and then the grid itself, so that no shift is left that could be too far."""
        self._click.learn(turn, off_ns)
        off = self._click.take_shift()
        lasts_ns = (self._score.start(turn + 1) - self._score.start(turn)) * self._asked_ns
        self._pace = max(-FARTHEST_PACE, min(FARTHEST_PACE, self._pace + PACE * off / lasts_ns))
        by_ns = off + self._pace * lasts_ns
        self.shift_ns += by_ns
        grid = self._click.grid
        self._click.grid = TempoGrid(grid.click_bpm, Ns(round(grid.beat0_ns + by_ns)))
