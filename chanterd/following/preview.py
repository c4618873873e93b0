"""The reading of a rep before it closes: once its ornament seems to be over, and before the next one begins.

A rep closes only when the next one's first note has been heard or is overdue: at slow clicks more than a second after
the player has finished. What is read here is what the close would say if nothing more came. On simulated players,
however rough, the close says otherwise in less than one rep of a hundred (``tests/bench/bench_verdict.py``).
"""

from copy import copy

from chanterd.following.follow import Follower
from chanterd.following.reading import RepRead
from chanterd.music.units import NS_PER_MS, Ns

SETTLED_NS = 250 * NS_PER_MS
"""How long a theme note has sounded, or is overdue, when a rep is previewed: a player still thinks of it then, and most
of what could change the reading has come. Chosen by us, on simulated players."""

UNFINISHED_NS = 350 * NS_PER_MS
"""How long nothing has been heard where the theme note has not come: the player may have stopped in the middle."""


class Preview:
    """Previews each rep of a follower once."""

    __slots__ = ("_follower", "_next")

    def __init__(self, follower: Follower) -> None:
        self._follower = follower
        self._next = 0

    def read(self, now_ns: Ns) -> RepRead | None:
        """The open rep as it is read by now, if it seems to be over and was not read before; else None."""
        rep = self._follower.open_rep
        if rep < self._next or not self._is_settled(now_ns):
            return None
        self._next = rep + 1
        return copy(self._follower).read_apart()

    def _is_settled(self, now_ns: int) -> bool:
        """Whether the ornament was begun and seems to be over."""
        so_far = self._follower.so_far()
        if so_far is None or not so_far.steps:
            return False
        if so_far.next_begun:
            return True
        since_ns = now_ns - so_far.last_onset_ns
        if so_far.theme_heard:
            return since_ns >= SETTLED_NS
        wait_ns = SETTLED_NS if so_far.theme_melted else UNFINISHED_NS
        return since_ns >= wait_ns and now_ns >= so_far.theme_due_ns + SETTLED_NS
