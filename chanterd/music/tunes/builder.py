"""Building a tune note by note, whatever it is read from: time, ties, bars and their numbers."""

from dataclasses import replace
from fractions import Fraction

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.tunes.tune import Bar, Meter, Remark, Tune, TuneNote

MOST_NOTES = 50_000
"""Notes, gracenotes, rests, bar lines and remarks of a file; some three hundred tunes, read in seconds."""
MOST_OF_TUNE = 10_000
"""The same of one tune, and the whole notes that it lasts; the longest that are played have a third of it. Its staves
are drawn in a few seconds."""
GRID = 2**14 * 3**3 * 5**2 * 7 * 11 * 13
"""Into how many a whole note is divided. Lengths that are written are whole numbers of these; what is made up to keep
us busy with long fractions is moved by less than anything can show."""


class Allowance:
    """How many notes may still be read of a file, however many tunes they are in."""

    def __init__(self, most: int = MOST_NOTES) -> None:
        self._most = self._left = most
        self._of_tune = 0

    def take(self, count: int = 1) -> None:
        """Count some. Raises ChanterdError when there are too many."""
        self._left -= count
        if self._left < 0:
            raise ChanterdError(f"it holds more than {self._most:,} notes and gracenotes; divide it into several files")
        self._of_tune += count
        if self._of_tune > MOST_OF_TUNE:
            raise ChanterdError(
                f"one tune in it is longer than {MOST_OF_TUNE:,} notes, gracenotes and bars; divide that tune"
            )

    def begin(self) -> None:
        """Another tune begins."""
        self._of_tune = 0


def on_grid(length: Fraction) -> Fraction:
    """That length, or the nearest that is a whole number of parts of the grid; never 0."""
    return length if GRID % length.denominator == 0 else Fraction(max(1, round(length * GRID)), GRID)


class TuneBuilder:
    """Takes what a reader finds, in the order in which it is written."""

    def __init__(self, allowance: Allowance | None = None) -> None:
        """Begin with nothing; tunes of one file share its allowance."""
        self._allowance = allowance or Allowance()
        self._allowance.begin()
        self.title = ""
        self.kind = ""
        self.remarks: list[Remark] = []
        self._first_meter: Meter | None = None
        self._meter: Meter | None = None
        self._of_bar: Meter | None = None
        self._notes: list[TuneNote] = []
        self._bars: list[Bar] = []
        self._at = Fraction(0)
        self._bar_start = Fraction(0)
        self._opens = False
        self._ending: tuple[int, ...] = ()
        self._gracenotes: list[Note] = []
        self._graced_at = (1, 1)
        self._tied = False
        self._last = Fraction(0)
        self._rested = False

    @property
    def at(self) -> Fraction:
        """Where the next note begins."""
        return self._at

    def meter(self, meter: Meter | None) -> None:
        """From the next bar on, the time signature, or from this one if nothing is in it; None is free time."""
        if not self._notes and not self._bars:
            self._first_meter = meter
        self._meter = meter
        if self._at <= self._bar_start:
            self._of_bar = meter

    def grace(self, notes: list[Note], line: int, column: int) -> None:
        """Gracenotes, written there, that belong to the next melody note; several groups in a row are one."""
        self._allowance.take(len(notes))
        self._gracenotes += notes
        self._graced_at = (line, column)

    def note(self, note: Note, lasts: Fraction) -> None:
        """A melody note."""
        lasts = on_grid(lasts)
        self._allowance.take(1 + int(lasts))
        gracenotes, self._gracenotes = tuple(self._gracenotes), []
        last = self._notes[-1] if self._notes else None
        if self._tied and last is not None and last.note is note and not gracenotes:
            self._notes[-1] = replace(last, lasts=last.lasts + lasts)
        else:
            self._notes.append(TuneNote(note, self._at, lasts, 0, gracenotes))
        self._tied = self._rested = False
        self._last = lasts
        self._at += lasts

    def stretch(self, times: Fraction) -> bool:
        """Make the last note or rest that many times as long, as broken rhythm does; False if this bar has none yet.

        Of a tied note only what is written last is made longer.
        """
        if self._at <= self._bar_start:
            return False
        more = on_grid(self._last * times) - self._last
        self._allowance.take(max(0, int(more)))
        if not self._rested:
            self._notes[-1] = replace(self._notes[-1], lasts=self._notes[-1].lasts + more)
        self._last += more
        self._at += more
        return True

    def tie(self) -> None:
        """The last note goes on in the next, if that is the same."""
        self._tied = bool(self._notes)

    def rest(self, lasts: Fraction) -> None:
        """Nothing is written for that long."""
        lasts = on_grid(lasts)
        self._allowance.take(1 + int(lasts))
        self._leave_out_gracenotes()
        self._tied, self._rested = False, True
        self._last = lasts
        self._at += lasts

    def bar_line(self, *, closes: bool = False, opens: bool = False, double: bool = False, times: int = 2) -> None:
        """A bar line, with its repeat signs; ``times``: how often what it closes is played."""
        self._allowance.take()
        if self._at > self._bar_start:
            bar = Bar(0, self._bar_start, self._at - self._bar_start, self._of_bar, self._opens, ending=self._ending)
            self._bars.append(bar)
            self._of_bar = self._meter
            self._opens, self._ending, self._bar_start = False, (), self._at
        if self._bars and (closes or double or opens):
            last = self._bars[-1]
            times = times if closes and not last.closes_repeat else last.times
            self._bars[-1] = replace(last, closes_repeat=last.closes_repeat or closes, times=times, ends_part=True)
        self._opens = self._opens or opens

    def ending(self, times: tuple[int, ...]) -> None:
        """An ending begins here, for these times through."""
        if self._at > self._bar_start:  # in the middle of a bar: what was before is a bar of its own
            self.bar_line()
        self._ending = times

    def remark(self, line: int, column: int, said: str) -> None:
        """Something was not understood."""
        self._allowance.take()
        self.remarks.append(Remark(line, column, said))

    def tune(self) -> Tune:
        """The whole tune, its bars numbered."""
        self.bar_line()
        self._leave_out_gracenotes()
        bars = _numbered(self._bars)
        notes: list[TuneNote] = []
        place = 0
        for note in self._notes:
            while place + 1 < len(bars) and bars[place + 1].start <= note.start:
                place += 1
            notes.append(replace(note, bar=bars[place].number))
        return Tune(self.title, self.kind, self._first_meter, tuple(notes), tuple(bars), tuple(self.remarks))

    def _leave_out_gracenotes(self) -> None:
        if self._gracenotes:
            self.remark(*self._graced_at, "No note follows these gracenotes; they are left out.")
            self._gracenotes = []


def _numbered(bars: list[Bar]) -> list[Bar]:
    """Bars numbered as they are printed: a pick-up is 0; a bar that only fills up another does not count again."""
    numbered: list[Bar] = []
    number, filled = 0, Fraction(0)
    for index, bar in enumerate(bars):
        full = None if bar.meter is None else bar.meter.bar
        if index == 0:
            number = 0 if full is not None and bar.lasts < full else 1
            filled = Fraction(0) if number == 0 else bar.lasts
        elif number and full is not None and filled < full and filled + bar.lasts <= full:
            filled += bar.lasts  # the second half of a bar that a repeat sign or an ending divides
        else:
            number, filled = number + 1, bar.lasts
        numbered.append(replace(bar, number=number))
    return numbered
