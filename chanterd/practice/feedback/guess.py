"""The player's guess about a rep before seeing it: early, on the beat or late; and how often that was right.

Deviations in ns, + = late. On the beat is what the standard calls so: the words of verdict and guess agree.
"""

from dataclasses import dataclass, field
from statistics import median
from typing import Literal, get_args

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.config import ChanterdError
from chanterd.judging.report import STRICT
from chanterd.music.units import ms

Word = Literal["early", "on", "late"]
WORDS: tuple[Word, ...] = get_args(Word)
SAID: dict[Word, str] = {"early": "early", "on": "on the beat", "late": "late"}


@with_config(STRICT)
class GuessesShown(TypedDict):
    """How well the player guessed."""

    said: int
    right: int
    wrong_by_ms: float | None
    """The median of how far the wrong ones were from being right; None while all were right."""


def checked(word: object) -> Word:
    """A guess, checked. Raises ChanterdError if it is none of the three words."""
    for known in WORDS:
        if word == known:
            return known
    raise ChanterdError(f"The field 'guess' is {word!r}; it must be 'early', 'on' (on the beat) or 'late'.")


def truth(deviation_ns: int, within_ns: float) -> Word:
    """The right guess for a rep whose step on the beat deviated by that."""
    if abs(deviation_ns) <= within_ns:
        return "on"
    return "late" if deviation_ns > 0 else "early"


def off_by(deviation_ms: float) -> str:
    """How far off, in whole ms and in words: ``3 ms late``; ``0 ms`` is neither."""
    whole = round(deviation_ms)
    return f"{abs(whole)} ms {'late' if whole > 0 else 'early'}" if whole else "0 ms"


def wrong_by_ns(word: Word, deviation_ns: int, within_ns: float) -> float:
    """How far the deviation is from the nearest for which the word would be right; 0 if it is."""
    low, high = {
        "early": (float("-inf"), -within_ns),
        "on": (-within_ns, within_ns),
        "late": (within_ns, float("inf")),
    }[word]
    return max(low - deviation_ns, deviation_ns - high, 0.0)


@dataclass(slots=True)
class Guesses:
    """All guesses of a run."""

    right: int = 0
    wrong_ns: list[float] = field(default_factory=list)

    def add(self, word: Word, deviation_ns: int, within_ns: float) -> str:
        """Count a guess; the sentence that compares it with the truth."""
        was = truth(deviation_ns, within_ns)
        by = off_by(ms(deviation_ns))
        if word == was:
            self.right += 1
            return f"Right: {SAID[was]}." if was == "on" else f"Right: {by}."
        self.wrong_ns.append(wrong_by_ns(word, deviation_ns, within_ns))
        where = SAID[was] if was == "on" else by
        return f"You said {SAID[word]}; it was {where}."

    @property
    def shown(self) -> GuessesShown:
        """As plain data."""
        return {
            "said": self.right + len(self.wrong_ns),
            "right": self.right,
            "wrong_by_ms": ms(round(median(self.wrong_ns))) if self.wrong_ns else None,
        }

    @property
    def sentence(self) -> str:
        """For the player, at the end."""
        shown = self.shown
        by = (
            ""
            if shown["wrong_by_ms"] is None
            else f" The others were out by {round(shown['wrong_by_ms'])} ms (median)."
        )
        return f"You were right {self.right} of {shown['said']} times.{by}"
