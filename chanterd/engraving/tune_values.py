"""Note values: how long a note of a tune is drawn, and which notes share a beam. Pure.

Lengths are exact fractions of a whole note.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

TYPES = {
    Fraction(2): "breve",
    Fraction(1): "whole",
    Fraction(1, 2): "half",
    Fraction(1, 4): "quarter",
    Fraction(1, 8): "eighth",
    Fraction(1, 16): "16th",
    Fraction(1, 32): "32nd",
    Fraction(1, 64): "64th",
    Fraction(1, 128): "128th",
}
"""The names of plain note values in MusicXML 4.0, longest first."""
DOTTED = (Fraction(7, 4), Fraction(3, 2), Fraction(1))
"""What two dots, one dot and none make of a value."""
IN_THE_TIME_OF = {3: 2, 5: 4, 7: 4}
"""How many plain notes a tuplet of that many takes the time of: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Value:
    """One drawn note or rest."""

    type: str
    dots: int
    lasts: Fraction
    """As it sounds: of a triplet's eighth, a twelfth."""
    tuplet: int = 1
    """How many notes share the time of a tuplet; 1: none."""

    @property
    def beams(self) -> int:
        """How many beams or flags it has."""
        return max(0, list(TYPES.values()).index(self.type) - 3)


def values_of(lasts: Fraction) -> list[Value]:
    """What is drawn, and tied if it is more than one, for a length; nothing for one too short to write."""
    tuplet = next((odd for odd in IN_THE_TIME_OF if lasts.denominator % odd == 0), 1)
    stretch = Fraction(tuplet, IN_THE_TIME_OF.get(tuplet, 1))
    left, found = lasts * stretch, []
    while left > 0:
        fitting = _longest_within(left)
        if fitting is None:
            break
        written, kind, dots = fitting
        found.append(Value(kind, dots, written / stretch, tuplet))
        left -= written
    return found


def _longest_within(length: Fraction) -> tuple[Fraction, str, int] | None:
    for value, kind in TYPES.items():
        for dots, factor in zip((2, 1, 0), DOTTED, strict=True):
            if value * factor <= length:
                return value * factor, kind, dots
    return None


def beamed(beams: Sequence[int]) -> Iterator[list[str]]:
    """The states of each note's beams, the longest beam first, for the notes of one group by how many beams they have.

    As in MusicXML: begin, continue, end, and a hook on the side of the neighbour it is nearer to.
    """
    for place, own in enumerate(beams):
        before = beams[place - 1] if place > 0 else 0
        after = beams[place + 1] if place + 1 < len(beams) else 0
        states = []
        for level in range(1, own + 1):
            match before >= level, after >= level:
                case True, True:
                    states.append("continue")
                case True, False:
                    states.append("end")
                case False, True:
                    states.append("begin")
                case _:
                    states.append("backward hook" if before else "forward hook")
        yield states
