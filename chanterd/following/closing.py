"""When a segment is over, in a drill and in a tune alike: the next one has begun, or its time is up.

Its time is up a moment after its theme note began or was due, so that a verdict need not wait for the next note. What
is read then is what the end would say if nothing more came. A drill's rep closes for good only when the next one's
first note has been heard or is overdue (see ``follow``), a tune's notes when the run is over: what comes later may show
that the player had begun a bar once more.
"""

from typing import NamedTuple

from chanterd.music.units import NS_PER_MS, Ns

SETTLED_NS = 250 * NS_PER_MS
"""How long a theme note has sounded, or is overdue, when a segment counts as over: a player still thinks of it then,
and most of what could change the reading has come. Chosen by us, on simulated players."""

UNFINISHED_NS = 350 * NS_PER_MS
"""How long nothing has been heard where the theme note has not come: the player may have stopped in the middle."""

CLOSE_AFTER_CLICKS = 0.35
"""A rep closes this long after the next lead is due: late enough to have heard it, early enough for the player."""

WAIT_CLICKS = 0.85
"""Where a rep was begun and its theme note has not come by then, it closes this long after the next lead is due."""

BOTH_CLICKS = 0.25
"""Where the theme note would melt into the step that sounds, that has to last this long to be both."""


class SoFar(NamedTuple):
    """How far the segment that is open has been played; all times are by the clock of its follower."""

    steps: bool
    """Whether anything behind its lead was played."""
    theme_heard: bool
    theme_melted: bool
    """Whether the note that sounds is the theme note already, so that it cannot begin again."""
    next_begun: bool
    """Whether a note of the next segment has been heard."""
    last_onset_ns: Ns
    theme_due_ns: Ns
    """When its theme note is expected, by how early or late the player is as a rule."""


def is_over(so_far: SoFar | None, now_ns: int) -> bool:
    """Whether a segment was begun and is over, as far as can be seen; None: nothing of it was heard."""
    if so_far is None or not so_far.steps:
        return False
    if so_far.next_begun:
        return True
    since_ns = now_ns - so_far.last_onset_ns
    if so_far.theme_heard:
        return since_ns >= SETTLED_NS
    wait_ns = SETTLED_NS if so_far.theme_melted else UNFINISHED_NS
    return since_ns >= wait_ns and now_ns >= so_far.theme_due_ns + SETTLED_NS
