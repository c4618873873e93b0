"""A tune as written: its notes with their gracenotes, its bars, and what in the file was not understood.

Conventions: times are exact fractions of a whole note from the beginning of the tune, repeats not unfolded. A tie makes
one note. Notes and bars' places in a list count from 0; bar numbers are as printed: a pick-up is bar 0, the first full
bar is 1. Lines and columns count from 1.
"""

from dataclasses import dataclass
from fractions import Fraction

from chanterd.music.note import Note


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature such as 6/8."""

    beats: int
    unit: int

    @property
    def bar(self) -> Fraction:
        """How long a full bar is."""
        return Fraction(self.beats, self.unit)

    @property
    def click(self) -> Fraction:
        """How long a click is: a dotted quarter in 6/8, 9/8 and 12/8, else one of the lower number."""
        compound = self.unit == 8 and self.beats > 3 and self.beats % 3 == 0  # noqa: PLR2004 - what compound time is
        return Fraction(3 if compound else 1, self.unit)


@dataclass(frozen=True, slots=True)
class TuneNote:
    """One melody note and the gracenotes before it."""

    note: Note
    start: Fraction
    lasts: Fraction
    bar: int
    """The number of its bar."""
    gracenotes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar, and the signs at its edges."""

    number: int
    start: Fraction
    lasts: Fraction
    meter: Meter | None
    """None: free time."""
    opens_repeat: bool = False
    closes_repeat: bool = False
    times: int = 2
    """How often what it closes is played; it says nothing where no repeat is closed."""
    ends_part: bool = False
    """Whether a double or a repeat bar line closes it."""
    ending: tuple[int, ...] = ()
    """The times through that it belongs to, where an ending begins with it; empty elsewhere."""


@dataclass(frozen=True, slots=True)
class Remark:
    """Something in the file that was not understood, or read in another way than written."""

    line: int
    column: int
    said: str


@dataclass(frozen=True, slots=True)
class Tune:
    """A tune as written."""

    title: str
    kind: str
    """March, strathspey, ...: as the file says; empty if it says nothing."""
    meter: Meter | None
    """The one it begins with."""
    notes: tuple[TuneNote, ...]
    bars: tuple[Bar, ...]
    remarks: tuple[Remark, ...]
