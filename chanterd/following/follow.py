"""Following: a streaming alignment of onsets with the asked steps, rep after rep.

Goal: say at once which step an onset was, correct that when later onsets tell otherwise, and close each rep with a
reading that no other reading of the same onsets beats.

How: the asked notes of the open rep and of the one after it (lead, steps, theme, lead, steps, theme) stand in a row,
and each onset adds a column to a ``Table`` whose prices (see ``cost``) know about time, length and fingers. A rep
closes at a fixed time, a fraction of a click after the next rep's lead is due; the cheapest path through the table then
says where it ended, and the onsets behind that point start the next table. Prices add up along the path, so the part
of it that lies in a rep is the cheapest reading of that rep's onsets.

When two readings cost the same, an onset is rather a step than an extra, and rather an extra than a sign that a step
was missed; so of two equal candidates the later onset is the step.

Closing times depend on the grid only, never on when somebody asks: live and replay read alike.
"""

from statistics import median

from chanterd.following.cost import STANDARD_COSTS, Costs
from chanterd.following.reading import LEAD, Extra, ExtraKind, Finding, RepRead, Sound, State, StepFound
from chanterd.following.table import UNASKED, Prices, Table
from chanterd.trade.fingering import crossing_notes
from chanterd.trade.grid import TempoGrid
from chanterd.trade.heard import Onset
from chanterd.trade.note import Note
from chanterd.trade.timetable import Timetable
from chanterd.trade.units import NS_PER_MS, Ns

CLOSE_AFTER_CLICKS = 0.35
"""A rep closes so long after the next lead is due: late enough to have heard it, early enough to be told in time."""

LEGATO_NS = 25 * NS_PER_MS
"""A silence shorter than this between two notes is the chanter's way of changing them, not a rest."""

FORGET = 0.5
"""How far each rep's own deviation moves the expectation for the next: half the way."""

FARTHEST_CLICKS = 0.4
"""The expectation never strays farther than this from the click, so that it cannot drift onto another rep."""


class Follower:
    """Follows one player through one run of a drill."""

    def __init__(self, timetable: Timetable, grid: TempoGrid, costs: Costs = STANDARD_COSTS) -> None:
        self._timetable = timetable
        self._grid = grid
        self._costs = costs
        self._asked: tuple[Note, ...] = (timetable.drill.lead, *(step.note for step in timetable.drill.steps))
        self._size = len(self._asked)
        self._short_ns = round(costs.short_ms * NS_PER_MS)
        self._prices = Prices(self._asked * 2, costs.half_lateness_of_click * grid.click_ns, costs)
        self._rep = 0
        self._shift_ns = 0.0
        self._before: Note | None = None
        self._before_end: int | None = None
        # The onsets of the open rep, index by index: what, from when, until when (None: not known yet).
        self._notes: list[Note] = []
        self._at: list[int] = []
        self._ends: list[int | None] = []
        self._bounces: list[Sound] = []
        self._told: dict[int, tuple[State, int]] = {}
        self._open()

    def hear(self, onset: Onset) -> list[Finding]:
        """Take the next onset, in order of time; return what it tells, first the reps it closes."""
        findings = self.tick(onset.at_ns)
        if onset.bounce:
            self._bounces.append(Sound(onset.note, onset.at_ns, None))
            self._go_on(onset.note)
            return findings
        if self._notes:
            self._end_last(onset)
        elif self._before_end is not None and onset.at_ns - self._before_end > LEGATO_NS:
            self._before = None
            self._open()
        self._before_end = None
        self._notes.append(onset.note)
        self._at.append(onset.at_ns)
        self._ends.append(None)
        self._add(len(self._notes) - 1, self._costs.extra)
        findings += self._changes()
        return findings

    def silence(self, at_ns: Ns) -> list[Finding]:
        """The sound stopped; return the reps that this time closes."""
        findings = self.tick(at_ns)
        if not self._notes:
            self._before_end = at_ns
        elif self._ends[-1] is None:
            self._ends[-1] = at_ns
        return findings

    def tick(self, now_ns: Ns) -> list[Finding]:
        """Close every rep whose time is over by ``now_ns``. Nothing heard later may bear an earlier stamp."""
        findings: list[Finding] = []
        while now_ns >= self._closes_ns:
            findings += self._close()
        return findings

    def finish(self) -> list[Finding]:
        """Close every rep that has been begun, because no more onsets will come."""
        findings: list[Finding] = []
        while self._notes or self._bounces:
            findings += self._close()
        return findings

    def _go_on(self, note: Note) -> None:
        """After a bounce the note sounds on: its end was none."""
        if self._notes and self._notes[-1] == note:
            self._ends[-1] = None
        elif not self._notes and self._before == note:
            self._before_end = None

    def _add(self, index: int, extra: float) -> None:
        """Add an onset of the open rep to the table. Until the ornament's own beat none can belong to the next rep."""
        at_ns = self._at[index]
        upto = self._size if at_ns < self._beat_ns else 2 * self._size
        sounding = self._notes[index - 1] if index else self._before
        self._table.add(self._notes[index], at_ns, extra, upto, sounding)

    def _open(self) -> None:
        """Start a table for the open rep and the one after it, with whatever onsets are left over."""
        layout = self._timetable.layout
        starts = [self._grid.at(layout.start(self._rep + ahead)) + self._shift_ns for ahead in (0, 1)]
        self._beat_ns = self._grid.at(layout.beat(self._rep))
        self._closes_ns = self._grid.at(layout.start(self._rep + 1) + CLOSE_AFTER_CLICKS)
        due = [start + offset for start in starts for offset in self._timetable.offsets_ns]
        self._table = Table(self._prices, due, self._before)
        for index in range(len(self._notes)):
            self._add(index, self._extra_cost(index))

    def _end_last(self, following: Onset) -> None:
        """The last onset's length is known now: end it, and price its column anew if that changes it."""
        end = self._ends[-1]
        if end is None or following.at_ns - end <= LEGATO_NS:
            end = self._ends[-1] = following.at_ns
        if end - self._at[-1] < self._short_ns:
            self._price_last(following.note)

    def _price_last(self, after: Note | None) -> None:
        index = len(self._notes) - 1
        self._table.drop()
        self._add(index, self._extra_cost(index, after))

    def _extra_cost(self, index: int, after: Note | None = None) -> float:
        """The price of calling an onset extra, as far as its length is known."""
        end = self._ends[index]
        if end is None or end - self._at[index] >= self._short_ns:
            return self._costs.extra
        return self._costs.crossing if self._crosses(index, after) else self._costs.short_extra

    def _crosses(self, index: int, after: Note | None = None) -> bool:
        """Whether the moving fingers pass through this note on the way from the note before it to the one after."""
        before = self._notes[index - 1] if index else self._before
        if index + 1 < len(self._notes):
            after = self._notes[index + 1]
        return before is not None and after is not None and self._notes[index] in crossing_notes(before, after)

    # --- what is told

    def _changes(self) -> list[Finding]:
        """The steps whose reading the last onset made or changed."""
        found = self._read(self._table.trace(self._table.best(), len(self._notes)))
        told = self._told
        findings: list[Finding] = [self._step(place, *now) for place, now in found.items() if told.get(place) != now]
        findings += [self._step(place, State.MISSING, UNASKED) for place in told if place not in found]
        self._told = found
        return findings

    def _read(self, trace: list[int]) -> dict[int, tuple[State, int]]:
        """State and onset index of every asked note up to the last one that an onset was."""
        found: dict[int, tuple[State, int]] = {}
        place, sounding = 0, self._before
        for index, matched in enumerate(trace):
            note = self._notes[index]
            if matched != UNASKED:
                while place < matched:
                    found[place] = (State.MERGED if self._asked_note(place) == sounding else State.MISSING, UNASKED)
                    place += 1
                found[place] = (State.PLAYED if self._asked_note(place) == note else State.WRONG_NOTE, index)
                place += 1
            sounding = note
        return found

    def _sounding(self) -> Note | None:
        return self._notes[-1] if self._notes else self._before

    def _asked_note(self, place: int) -> Note:
        return self._asked[place % self._size]

    def _step(self, place: int, state: State, index: int) -> StepFound:
        rep, step = self._rep + place // self._size, place % self._size + LEAD
        return StepFound(rep, step, state, None if index == UNASKED else self._sound(index))

    def _sound(self, index: int) -> Sound:
        at_ns, end = self._at[index], self._ends[index]
        return Sound(self._notes[index], Ns(at_ns), None if end is None else Ns(end - at_ns))

    # --- closing a rep

    def _close(self) -> list[Finding]:
        """Read the open rep for good and open the next with the onsets that belong to it."""
        if self._ends and self._ends[-1] is not None:
            self._price_last(None)
        everything = self._table.trace(self._table.best_end(self._size, self._sounding()), len(self._notes))
        first_of_next = next((index for index, place in enumerate(everything) if place >= self._size), len(everything))
        trace = self._table.trace(self._size, first_of_next)
        read = self._rep_read(trace, self._bounces_before(first_of_next))
        self._learn(trace)
        if first_of_next:
            self._before, self._before_end = self._notes[first_of_next - 1], self._ends[first_of_next - 1]
            if first_of_next < len(everything):
                self._before_end = None
        del self._notes[:first_of_next], self._at[:first_of_next], self._ends[:first_of_next]
        self._told = {
            place - self._size: (state, index - first_of_next if index != UNASKED else UNASKED)
            for place, (state, index) in self._told.items()
            if place >= self._size and index >= first_of_next
        }
        self._rep += 1
        self._open()
        return [read, *(self._changes() if self._notes else [])]

    def _bounces_before(self, index: int) -> list[Sound]:
        """Take out the bounces that came before an onset of the open rep."""
        limit = self._at[index] if index < len(self._at) else None
        mine = [bounce for bounce in self._bounces if limit is None or bounce.onset_ns < limit]
        self._bounces = [bounce for bounce in self._bounces if bounce not in mine]
        return mine

    def _rep_read(self, trace: list[int], bounces: list[Sound]) -> RepRead:
        found = self._read(trace)
        sounding = self._notes[len(trace) - 1] if trace else self._before
        for place in range(len(found), self._size):
            found[place] = (State.MERGED if self._asked[place] == sounding else State.MISSING, UNASKED)
        steps = [self._step(place, *found[place]) for place in range(self._size)]
        extras = [Extra(sound, ExtraKind.BOUNCE) for sound in bounces]
        for index, place in enumerate(trace):
            if place == UNASKED:
                sound = self._sound(index)
                short = sound.length_ns is not None and sound.length_ns < self._short_ns
                crossing = short and self._crosses(index)
                extras.append(Extra(sound, ExtraKind.CROSSING_NOISE if crossing else ExtraKind.EXTRA_NOTE))
        extras.sort(key=lambda extra: extra.sound.onset_ns)
        price = self._table.columns[len(trace)][self._size]
        return RepRead(self._rep, steps[0], tuple(steps[1:]), tuple(extras), self._shift_ns, price)

    def _learn(self, trace: list[int]) -> None:
        """Let the rep's own deviation move the expectation for the next."""
        start = self._grid.at(self._timetable.layout.start(self._rep))
        offsets = self._timetable.offsets_ns
        off = [self._at[index] - start - offsets[place] for index, place in enumerate(trace) if place != UNASKED]
        if off:
            farthest = FARTHEST_CLICKS * self._grid.click_ns
            moved = self._shift_ns + FORGET * (median(off) - self._shift_ns)
            self._shift_ns = max(-farthest, min(farthest, moved))
