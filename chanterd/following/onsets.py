"""The onsets of the open rep, with what each would cost if nobody had asked for it.

An onset's length is known when the next one comes; until then it costs as much as a whole note. Indices count from 0;
``sums[i]`` is the price of the first ``i`` onsets, ``odd[i]`` how many of them break what they come into: they are no
crossing noises, and not too short to be heard.
"""

from math import inf

from chanterd.following.cost import Costs
from chanterd.following.reading import Sound
from chanterd.music.fingering import is_little_finger, noise_notes
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS, Ns

LEGATO_NS = 25 * NS_PER_MS
"""A silence shorter than this between two notes is the chanter's way of changing them, not a rest."""


class Onsets:
    """A growing list of onsets; the ones that a closed rep has used are taken off its front."""

    __slots__ = (
        "_beat0_ns",
        "_blip_ns",
        "_costs",
        "_noise_ns",
        "_short_ns",
        "at",
        "before",
        "before_end",
        "ends",
        "notes",
        "odd",
        "sums",
    )

    def __init__(self, costs: Costs, beat0_ns: int = 0) -> None:
        """Begin with nothing heard, and nothing sounding; times go in from beat 0, and come out on the clock."""
        self._beat0_ns = beat0_ns
        self._costs = costs
        self._short_ns = round(costs.short_ms * NS_PER_MS)
        self._noise_ns = round(costs.little_finger_ms * NS_PER_MS)
        self._blip_ns = round(costs.blip_ms * NS_PER_MS)
        self.before: Note | None = None
        """The note that sounded when the open rep began."""
        self.before_end: int | None = None
        self.notes: list[Note] = []
        self.at: list[int] = []
        self.ends: list[int | None] = []
        self.sums = [0.0]
        self.odd = [0]

    def __len__(self) -> int:
        return len(self.notes)

    def part(self) -> None:
        """For a copy: share no list with the original from now on."""
        self.notes, self.at, self.ends = self.notes[:], self.at[:], self.ends[:]
        self.sums, self.odd = self.sums[:], self.odd[:]

    def add(self, note: Note, at_ns: int) -> None:
        """Take the next onset; the one before it is over now at the latest."""
        if self.notes:
            end = self.ends[-1]
            if end is None or at_ns - end <= LEGATO_NS:
                end = self.ends[-1] = at_ns
            if end - self.at[-1] < self._noise_ns:
                self._reprice(note)
        elif self.before_end is not None:
            if at_ns - self.before_end > LEGATO_NS:
                self.before = None
            self.before_end = None
        self.notes.append(note)
        self.at.append(at_ns)
        self.ends.append(None)
        self.sums.append(self.sums[-1] + self._costs.extra)
        self.odd.append(self.odd[-1] + 1)

    def end(self, at_ns: int) -> None:
        """Silence: what sounds is over."""
        if not self.notes:
            self.before_end = at_ns
        elif self.ends[-1] is None:
            self.ends[-1] = at_ns

    def go_on(self, note: Note) -> None:
        """After a bounce the note sounds on: its end was none."""
        if not self.notes:
            if self.before == note:
                self.before_end = None
        elif self.notes[-1] == note:
            self.ends[-1] = None

    def settle(self, now_ns: int) -> None:
        """Take what is known by now for final: the last onset's end, and that a silence has become a rest."""
        if self.notes:
            if self.length(len(self.notes) - 1) < self._noise_ns:
                self._reprice(None)
        elif self.before_end is not None and now_ns - self.before_end > LEGATO_NS:
            self.before = None

    def _reprice(self, after: Note | None) -> None:
        last = len(self.notes) - 1
        crossing, length, costs = self.crosses(last, after), self.length(last), self._costs
        price = costs.crossing if crossing else costs.short_extra if length < self._short_ns else costs.extra
        self.sums[-1] = self.sums[last] + price
        self.odd[-1] = self.odd[last] + (not crossing and length >= self._blip_ns)

    def length(self, index: int) -> float:
        """How long an onset has lasted, ns; without an end as long as that is not known."""
        end = self.ends[index]
        return inf if end is None else end - self.at[index]

    def crosses(self, index: int, after: Note | None = None) -> bool:
        """Whether the moving fingers pass through this note on the way from the note before it to the one after.

        It must be too short to be meant; a little finger that comes up may take longer to be noticed.
        """
        before = self.notes[index - 1] if index else self.before
        if index + 1 < len(self.notes):
            after = self.notes[index + 1]
        if before is None or after is None:
            return False
        note, length = self.notes[index], self.length(index)
        if length < self._short_ns:
            return note in noise_notes(before, after)
        return length < self._noise_ns and is_little_finger(before, note, after)

    def sound(self, index: int) -> Sound:
        """An onset with its times on the clock."""
        at_ns, end = self.at[index], self.ends[index]
        return Sound(self.notes[index], Ns(self._beat0_ns + at_ns), None if end is None else Ns(end - at_ns))

    def drop(self, count: int) -> None:
        """Take the first onsets off: their rep is closed."""
        if not count:
            return
        self.before = self.notes[count - 1]
        self.before_end = self.ends[count - 1] if count == len(self.notes) else None
        price, odd = self.sums[count], self.odd[count]
        del self.notes[:count], self.at[:count], self.ends[:count]
        self.sums = [one - price for one in self.sums[count:]]
        self.odd = [one - odd for one in self.odd[count:]]
