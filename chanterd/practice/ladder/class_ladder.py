"""A tempo ladder for a class: up a notch when enough of those who play have the row. Pure.

There is no way down: a teacher who hears that it is too fast stops, and calls a slower tempo.
"""

from collections.abc import Collection
from dataclasses import dataclass
from math import ceil

from chanterd.config import ChanterdError
from chanterd.music.units import Bpm


@dataclass(frozen=True, slots=True)
class ClassRule:
    """The rule, fixed before the class begins; tempi are clicks a minute."""

    raise_bpm: float
    """From one notch to the next."""
    top_bpm: Bpm
    """Never faster than this."""
    in_a_row: int
    """Clean reps in a row that count as a player's row."""
    share: float
    """How many of those who play must have their row, above 0 and at most 1 (all of them)."""

    def check(self, first_bpm: Bpm) -> None:
        """Raises ChanterdError if the class would begin above the top."""
        if first_bpm > self.top_bpm:
            raise ChanterdError(
                f"The ladder's top is {self.top_bpm:g} clicks a minute, below the first tempo, {first_bpm:g}; "
                "raise the top, or begin slower."
            )

    def needed(self, playing: int) -> int:
        """How many of that many players must have their row."""
        return max(1, ceil(self.share * playing - 1e-9))  # 0.7 of 10 is 7, also in binary

    def ready(self, rows: Collection[int]) -> int:
        """How many have their row; ``rows`` are the clean reps in a row of each who plays, at this tempo."""
        return sum(row >= self.in_a_row for row in rows)

    def after(self, click_bpm: Bpm, rows: Collection[int]) -> Bpm:
        """The tempo that follows: the same one until enough have their row, and at the top."""
        if not rows or self.ready(rows) < self.needed(len(rows)):
            return click_bpm
        return Bpm(min(click_bpm + self.raise_bpm, self.top_bpm))

    def said(self, click_bpm: Bpm, rows: Collection[int]) -> str:
        """How far the class is, in one sentence."""
        needed, ready = self.needed(len(rows)), self.ready(rows)
        row = f"{self.in_a_row} clean in a row"
        if click_bpm >= self.top_bpm:
            return f"This is the top. {ready} of {len(rows)} have {row}."
        up_bpm = self.after(click_bpm, [self.in_a_row])
        return f"{ready} of {len(rows)} have {row}. With {needed} it goes up to {up_bpm:g}."
