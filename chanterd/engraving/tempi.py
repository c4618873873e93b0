"""The tempi that a sheet has boxes for, from words such as ``60-80``."""

import re
from dataclasses import dataclass
from typing import Literal

from chanterd.config import ChanterdError
from chanterd.music.grid import click_bpm
from chanterd.music.units import Bpm

STEP_BPM = 5.0
"""From one box to the next; tempi go up by 3 to 5 at a time (common practice, no source)."""
DECIMALS = 6
"""More than anybody writes, and fewer than binary fractions get wrong: 20 + 9 * 1.2 is 30.8."""
Unit = Literal["clicks", "beats"]
_UNIT = re.compile(r"\s*(?P<unit>clicks?|beats?)(?: (?:a|per) minute)?$", re.IGNORECASE)
_NUMBER = r"\d+(?:\.\d+)?"
_RANGE = re.compile(rf"({_NUMBER}) ?(?:-|to) ?({_NUMBER})(?: ?by ?({_NUMBER}))?")


@dataclass(frozen=True, slots=True)
class Tempi:
    """The tempi of the boxes; there may be none."""

    numbers: tuple[Bpm, ...]
    unit: Unit
    """What is counted, a minute; the metronome often clicks twice to the beat."""


def tempi_from_words(words: str) -> Tempi:
    """``60-80`` is 60, 65, 70, 75, 80; ``60-80 by 4`` goes in other steps; ``60, 66, 72`` names each; empty is none.

    They are clicks, unless ``beats`` is said behind them. Raises ChanterdError with the range allowed and how it is
    meant to be said.
    """
    named = _UNIT.search(words)
    numbers = words[: named.start()] if named else words
    found = [tempo for part in numbers.split(",") if part.strip() for tempo in _part(part.strip().lower(), words)]
    unit: Unit = "beats" if named and named["unit"].lower().startswith("beat") else "clicks"
    return Tempi(tuple(dict.fromkeys(found)), unit)


def _part(part: str, words: str) -> list[Bpm]:
    if re.fullmatch(_NUMBER, part):
        return [click_bpm(float(part))]
    spread = _RANGE.fullmatch(part)
    if spread is None:
        raise ChanterdError(
            f"The tempo '{words}' is not understood; say it as '60-80', '60-80 by 4' or '60, 66, 72'; "
            "they are clicks, unless 'beats' is said behind them."
        )
    low, high, step = click_bpm(float(spread[1])), click_bpm(float(spread[2])), float(spread[3] or STEP_BPM)
    if low > high or step < 1:
        raise ChanterdError(
            f"The tempo '{words}' goes from {low:g} to {high:g} by {step:g}; it must rise, in steps of at least 1."
        )
    last = int(round((high - low) / step, DECIMALS))
    rising = [Bpm(round(low + number * step, DECIMALS)) for number in range(last + 1)]
    return rising if rising[-1] >= high else [*rising, high]
