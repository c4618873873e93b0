"""Following a player who plays without the click: the grid goes along with the player's own pulse.

Nobody keeps a tempo to the beat for long without hearing it, so what was asked soon lies a rep away from what is
played. Here the expectation has a pace of its own beside its place, and each rep moves both (an alpha-beta filter): a
steady tempo other than the asked one is met without a lag, and a change of tempo within a few reps.

It bears a tempo up to ``BORNE_FASTER`` or ``BORNE_SLOWER`` than asked from the first rep on, and changes of 14 % at
once; beyond that, reps are mistaken for one another (on simulated players).
"""

from dataclasses import replace

from chanterd.following.chain import Asked, Pair
from chanterd.following.cost import STANDARD_COSTS, Costs
from chanterd.following.follow import Follower
from chanterd.following.reading import LEAD, RepRead
from chanterd.music.course import Course
from chanterd.music.grid import TempoGrid
from chanterd.music.units import Ns

PACE = 0.2
"""How much of what is learned of a rep's place is taken for a change of pace; chosen by us, on simulated players."""
BORNE_FASTER, BORNE_SLOWER = 0.12, 0.18
"""Shares of the asked tempo, both with something in hand; measured on simulated players."""
FARTHEST_PACE = 0.25
"""The share of a rep by which the pace may differ from what was asked."""


class OwnPulse(Follower):
    """A follower whose grid is the player's.

    The pace stretches what lies between the ornament and the notes around it; the ornament's own steps are the hand's.
    """

    _moved_ns = 0.0
    _pace_ns = 0.0
    """How much longer than asked the player's reps are."""

    def __init__(self, course: Course, grid: TempoGrid, costs: Costs = STANDARD_COSTS, *, at_once: bool = True) -> None:
        self._beat_of_rep = course.timetables[0].beat_ns / course.rep_ns
        super().__init__(course, grid, costs, at_once=at_once)

    def moved_ns(self, rep: int, step: int) -> Ns:
        """How much later (+) than by the asked grid a step of the open rep, or of one after it, is expected."""
        moved_ns = self._moved_ns + (rep - self._rep) * self._pace_ns
        return Ns(round(moved_ns + self._lead_ns if step == LEAD else moved_ns))

    @property
    def _lead_ns(self) -> float:
        """How much later a lead is due: a slow player's comes sooner before its beat, by what lies between them."""
        return -self._pace_ns * self._beat_of_rep

    def _due(self, ahead: int, asked: Asked) -> list[float]:
        # The rep ahead is not looked for by the pace: a tempo that changes at once would then be lost.
        lead, *steps = super()._due(ahead, asked)
        return [lead + self._lead_ns, *steps]

    def _rep_read(self, pairs: list[Pair], cut: int, price: float) -> RepRead:
        read = super()._rep_read(pairs, cut, price)
        return replace(read, shift_ns=self._moved_ns, lead_shift_ns=self._lead_ns)

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
