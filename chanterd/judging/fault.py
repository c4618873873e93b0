"""What can be wrong with a rep, in the trade's words.

Importance: what was not played at all comes before what was played badly, and the beat before the shape around it
(a missing step is worse than a slow one: common practice, no source). A note wound up to, and an ornament too slow for
the tempo, come before the lateness they make: the cause is what a player can mend.
"""

from dataclasses import dataclass

from chanterd.judging.crossing import Crossing

ORDER = (
    "wrong ornament",
    "missing step",
    "wrong note",
    "too slow",
    "wound up",
    "early",
    "late",
    "crushed",
    "too long",
    "uneven",
    "cut short",
    "paused",
    "extra note",
    "crossing noise",
)
"""The most important first."""
RANK = {name: rank for rank, name in enumerate(ORDER)}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that was wrong with a rep."""

    fault: str
    step: int | None
    """The step it is about, from 0; -1: the note before the ornament; None when it is about none of them."""
    said: str
    crossing: Crossing | None = None
    """Which fingers did not move together, for a crossing noise."""
