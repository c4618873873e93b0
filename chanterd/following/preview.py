"""The reading of a rep before it closes: once its ornament seems to be over, and before the next one begins.

A rep closes only when the next one's first note has been heard or is overdue: at slow clicks more than a second after
the player has finished. What is read here is what the close would say if nothing more came. On simulated players,
however rough, the close says otherwise in less than one rep of a hundred (``tests/bench/bench_verdict.py``).
"""

from copy import copy

from chanterd.following.closing import is_over
from chanterd.following.follow import Follower
from chanterd.following.reading import SegmentRead
from chanterd.music.units import Ns


class Preview:
    """Previews each rep of a follower once."""

    __slots__ = ("_follower", "_next")

    def __init__(self, follower: Follower) -> None:
        self._follower = follower
        self._next = 0

    def read(self, now_ns: Ns) -> SegmentRead | None:
        """The open rep as it is read by now, if it seems to be over and was not read before; else None."""
        rep = self._follower.open_rep
        if rep < self._next or not is_over(self._follower.so_far(), now_ns):
            return None
        self._next = rep + 1
        return copy(self._follower).read_apart()
