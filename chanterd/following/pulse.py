"""Following a player who plays without the click: the grid goes along with the player's own pulse.

Nobody keeps a tempo to the beat for long without hearing it, so what was asked soon lies a rep away from what is
played. Here the expectation has a pace of its own beside its place, and each rep moves both (an alpha-beta filter): a
steady tempo other than the asked one is met without a lag, and a change of tempo within a few reps.

It bears a tempo up to ``BORNE_FASTER`` or ``BORNE_SLOWER`` than asked from the first rep on, and changes of 14 % at
once; beyond that, reps are mistaken for one another (on simulated players).
"""

from dataclasses import replace

from chanterd.following.chain import Pair
from chanterd.following.follow import Follower
from chanterd.following.reading import RepRead
from chanterd.trade.grid import TempoGrid
from chanterd.trade.units import Ns

PACE = 0.2
"""How much of what is learned of a rep's place is taken for a change of pace; chosen by us, on simulated players."""
BORNE_FASTER, BORNE_SLOWER = 0.12, 0.20
"""Shares of the asked tempo; measured on simulated players."""
FARTHEST_PACE = 0.25
"""The share of a rep by which the pace may differ from what was asked."""


class OwnPulse(Follower):
    """A follower whose grid is the player's."""

    _moved_ns = 0.0
    _pace_ns = 0.0

    @property
    def moved_ns(self) -> Ns:
        """How far the open rep is expected from where the asked grid has it; + = later."""
        return Ns(round(self._moved_ns))

    def _rep_read(self, pairs: list[Pair], cut: int, price: float) -> RepRead:
        return replace(super()._rep_read(pairs, cut, price), shift_ns=self._moved_ns)

    def _learn(self, pairs: list[Pair]) -> None:
        """Move place and pace, and then the grid itself, so that no shift is left that could be too far."""
        super()._learn(pairs)
        rep_ns = self._layout.clicks * self._click_ns
        most = FARTHEST_PACE * rep_ns
        self._pace_ns = max(-most, min(most, self._pace_ns + PACE * self._shift_ns))
        self._move(self._shift_ns + self._pace_ns)

    def _move(self, by_ns: float) -> None:
        self._moved_ns += by_ns
        self._grid = TempoGrid(self._grid.click_bpm, Ns(round(self._grid.beat0_ns + by_ns)))
        self._shift_ns = 0.0
