"""Following: a streaming alignment of onsets with the asked steps, rep after rep.

Goal: say at once which step an onset was, correct that when later onsets show otherwise, and close each rep with a
reading that no other reading of the same onsets beats.

How: the open rep and the one after it each have a ``Chain`` of right notes that grows onset by onset; its prices (see
``cost``) know about time, length and fingers. A rep closes at a fixed time, a fraction of a click after the next rep's
lead is due; the cheapest way to explain both reps together then says where the open one ended, and the onsets behind
that point begin the next. Prices add up, so the part within a rep is the cheapest reading of that rep's onsets.

When two readings cost the same, the one whose last link is the later onset counts; so of two equal candidates the later
onset is the step.

Closing times depend on the grid and on what was heard before them, never on when somebody asks: live and replay read
alike.
"""

from collections.abc import Sequence
from copy import copy
from math import inf

from chanterd.following.chain import START, Chain, Link, Pair
from chanterd.following.closing import BOTH_CLICKS, CLOSE_AFTER_CLICKS, WAIT_CLICKS, SoFar
from chanterd.following.cost import STANDARD_COSTS, Costs
from chanterd.following.expectation import Expectation, by_click
from chanterd.following.onsets import Onsets
from chanterd.following.reading import LEAD, Extra, ExtraKind, Finding, SegmentRead, Sound, StepFound, StepState
from chanterd.following.states import MERGED, MISSING, PLAYED, WRONG_NOTE, Reading, states_of
from chanterd.following.target import NOTHING, Target, target_of
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.score import Score
from chanterd.music.units import Ns

NEXT_FROM_CLICKS, LEAD_ON_CLICK = 0.5, 0.2
"""No onset is the next rep's that is earlier by more than the first before its lead is due, and by more than the second
before its click: whoever is late with ornaments by habit may play the notes before them on the click."""

LONGEST_REST = 100
"""This many reps in a row in which nothing was played are reported one by one; of a longer rest no more are, so that a
chanter left on the table for a day costs nothing."""


class Follower:
    """Follows one player through one run of a drill."""

    def __init__(
        self,
        score: Score,
        grid: TempoGrid,
        costs: Costs = STANDARD_COSTS,
        *,
        expectation: Expectation | None = None,
        at_once: bool = True,
    ) -> None:
        """Follow from rep 0 on, by the click unless there is another ``expectation``.

        ``at_once``: report each step as it sounds. Otherwise only reps are reported; their readings are the same.
        Before each rep comes the lead of the next, if that has not been reported yet as it is read by then.
        """
        self._at_once = at_once
        self._score = score
        self._beat0_ns: int = grid.beat0_ns
        self._expectation = expectation or by_click(score, grid)
        self._click_ns = grid.click_ns
        self._sequence = tuple(target_of(segment, grid.click_ns, costs) for segment in score.segments)
        """What reps 0, 1, 2, … ask in turn, over and over."""
        self._target = self._next = self._sequence[0]
        self._notes = self._target.notes
        self._size = len(self._notes)
        self._onsets = Onsets(costs, self._beat0_ns)
        self._bounces: list[Sound] = []
        self._chains: list[Chain] = []
        self._rep = self._rested = 0
        self._reported: dict[int, Reading] = {}
        self._closes_ns = 0
        self._last: Link | None = None
        self._open()

    @property
    def open_rep(self) -> int:
        """The rep that is being followed; every one before it is closed."""
        return self._rep

    def so_far(self) -> SoFar | None:
        """How far the open rep has been played; None if nothing of it was heard."""
        if not len(self._onsets):
            return None
        (last, after), theme = self._cheapest(), self._size - 1
        last_ns, due_ns = (Ns(round(self._beat0_ns + at)) for at in (self._onsets.at[-1], self._chains[0].due[-1]))
        place, melted = last.place + after, self._notes[last.place] == self._notes[-1]
        return SoFar(place > 0, place >= theme, melted, after > 0, last_ns, due_ns)

    def read_apart(self) -> SegmentRead:
        """For a copy: part from the original, and read the open rep as if nothing more came."""
        self._onsets, self._bounces = copy(self._onsets), self._bounces[:]
        self._onsets.part()
        self._chains = [chain.over(self._onsets) for chain in self._chains]
        return self._read(self._settled()[0])[1]

    def hear(self, onset: Onset) -> list[Finding]:
        """Take the next onset, in order of time; return what it shows, first the reps it closes."""
        at_ns = onset.at_ns - self._beat0_ns
        findings = self._pass(at_ns) if at_ns >= self._closes_ns else []
        onsets = self._onsets
        if onset.bounce:
            self._bounces.append(Sound(onset.note, onset.at_ns, None))
            onsets.go_on(onset.note)
            return findings
        onsets.add(onset.note, at_ns)
        index = len(onsets.notes) - 1
        if not index:
            self._start()
        self._link(index)
        if self._at_once:
            findings += self._changes()
        return findings

    def silence(self, at_ns: Ns) -> list[Finding]:
        """The sound stopped; return the reps that this time closes."""
        since_ns = at_ns - self._beat0_ns
        findings = self._pass(since_ns) if since_ns >= self._closes_ns else []
        self._onsets.end(since_ns)
        return findings

    def tick(self, now_ns: Ns) -> list[Finding]:
        """Close every rep whose time is over by ``now_ns``. Nothing heard later may bear an earlier stamp."""
        return self._pass(now_ns - self._beat0_ns)

    def _pass(self, now_ns: int) -> list[Finding]:
        findings: list[Finding] = []
        while now_ns >= self._closes_ns:
            if self._rested >= LONGEST_REST and not (len(self._onsets) or self._bounces):
                self._rest_until(now_ns)
            elif self._is_unfinished():
                self._closes_ns = self._closing(WAIT_CLICKS)
                self._waited = True
            else:
                findings += self._close()
        return findings

    def finish(self) -> list[Finding]:
        """Close every rep that has been begun, because no more onsets will come."""
        findings: list[Finding] = []
        while len(self._onsets) or self._bounces:
            findings += self._close()
        return findings

    def _rest_until(self, now_ns: int) -> None:
        """Leave out the reps of a long rest: open the one that is not over by then."""
        self._onsets.settle(self._closes_ns)
        beats = self._expectation.beats(Ns(now_ns)) - CLOSE_AFTER_CLICKS
        self._rep = max(self._rep, self._score.turn_at(beats) - 1)
        while now_ns >= self._closing(CLOSE_AFTER_CLICKS):
            self._rep += 1
        self._open()

    # --- the chains

    def _closing(self, clicks: float) -> int:
        return self._expectation.at(self._score.start(self._rep + 1) + clicks)

    def _due(self, ahead: int, target: Target) -> list[float]:
        """When each note of the open rep, or of the one so far ahead of it, is expected."""
        return self._expectation.due(self._rep + ahead, target.offsets)

    def _open(self) -> None:
        """Begin the open rep and the one after it, with whatever onsets are left over."""
        self._target, self._next = (self._sequence[(self._rep + ahead) % len(self._sequence)] for ahead in (0, 1))
        self._notes = self._target.notes
        self._size = len(self._notes)
        due, due_next = self._due(0, self._target), self._due(1, self._next)
        self._chains = [Chain(self._target, due, self._onsets), Chain(self._next, due_next, self._onsets)]
        self._next_from_ns = min(due_next[0] - NEXT_FROM_CLICKS * self._click_ns, self._closing(-LEAD_ON_CLICK))
        self._closes_ns, self._waited = self._closing(CLOSE_AFTER_CLICKS), False
        self._start()
        for index in range(len(self._onsets)):
            self._link(index)

    def _start(self) -> None:
        """The open rep begins with its first onset; by then it is known what sounds."""
        self._chains[0].starts.clear()
        self._chains[0].start(0, 0.0, self._onsets.before)
        self._last = None

    def _link(self, index: int) -> None:
        mine, ahead = self._chains
        mine.add(index)
        if self._onsets.at[index] >= self._next_from_ns:
            self._may_end(index)
            ahead.add(index)

    def _may_end(self, upto: int) -> None:
        """The open rep may have ended with the first ``upto`` onsets: let the next begin behind them."""
        before = self._onsets.notes[upto - 1] if upto else self._onsets.before
        price, _ = self._chains[0].end(upto)
        self._chains[1].start(upto, price, before)

    def _is_unfinished(self) -> bool:
        """Whether the open rep was begun and its theme note has not been heard, nor melted into a step that lasts."""
        if self._waited or not len(self._onsets):
            return False
        link, after = self._cheapest()
        last = link.place + after
        if not 0 < last < self._size - 1:
            return False
        lasted = self._closes_ns - self._onsets.at[-1]
        return self._notes[last] != self._notes[-1] or lasted < BOTH_CLICKS * self._click_ns

    # --- what is reported

    def _changes(self) -> list[Finding]:
        """The steps whose reading the last onset made or changed."""
        last, after = self._cheapest()
        before, self._last = self._last, last
        if before is not None and last.back is not None and last.onset == before.onset + 1:
            if last.back is before:
                return self._carry_on(before.place + 1, before.sounding, last, after)
            if after and last.back.place == START and self._follows(last, before):
                return self._carry_on(0, before.sounding, last, after)
        found, reported = self._reading_now(last, after), self._reported
        changed = [(place, *now) for place, now in found.items() if reported.get(place) != now]
        findings: list[Finding] = [self._step(*one) for one in changed]
        findings += [self._step(place, MISSING, None) for place in reported if place not in found]
        self._reported = found
        return findings

    def _cheapest(self) -> tuple[Link, int]:
        """The last link of the cheapest reading so far, and how many asked notes come before that link's own rep."""
        mine, ahead = self._chains
        price, last = mine.so_far()
        if ahead.starts:
            price_ahead, last_ahead = ahead.so_far()
            if last_ahead.place != START and price_ahead <= price:
                return last_ahead, self._size
        return last, 0

    def _follows(self, first: Link, theme: Link) -> bool:
        """Whether the next rep begins with the onset behind this rep's theme note."""
        return theme.place == self._size - 1 and self._chains[0].end(first.onset)[1] is theme

    def _carry_on(self, place: int, sounding: int, last: Link, after: int) -> list[Finding]:
        """What an onset adds that follows the last one reported, so that nothing before it can have changed."""
        findings: list[Finding] = []
        notes = self._next.notes if after else self._notes
        while place < last.place:
            state = MERGED if notes[place] == sounding else MISSING
            self._reported[place + after] = (state, None)
            findings.append(self._step(place + after, state, None))
            place += 1
        self._reported[place + after] = (PLAYED, last.onset)
        findings.append(self._step(place + after, PLAYED, last.onset))
        return findings

    def _reading_now(self, last: Link, after: int) -> dict[int, Reading]:
        """The reading so far, by place in this rep and (from ``after`` on) the next; the cheapest chain is given."""
        mine, ahead = self._chains
        count = len(self._onsets)
        if after:
            pairs, cut = self._pairs(ahead, last, count)
            found = self._states(self._notes, self._mine_upto(cut), self._size)
            before = self._onsets.notes[cut - 1] if cut else self._onsets.before
            rest = states_of(self._next.notes, pairs, self._onsets, None, before)
            return found | {place + after: one for place, one in rest.items()}
        if last.place == START:
            return {}
        return self._states(self._notes, mine.pairs(last, count, last.place), None)

    def _mine_upto(self, cut: int) -> list[Pair]:
        """The open rep's reading of its first onsets."""
        _, back = self._chains[0].end(cut)
        return self._chains[0].pairs(back, cut, self._size)

    @staticmethod
    def _pairs(chain: Chain, back: Link, upto: int) -> tuple[list[Pair], int]:
        """A chain's pairs, and the onset behind which it began."""
        start = back
        while start.back is not None:
            start = start.back
        return chain.pairs(back, upto, back.place), start.onset + 1

    def _states(self, notes: Sequence[Note], pairs: list[Pair], size: int | None) -> dict[int, Reading]:
        return states_of(notes, pairs, self._onsets, size, self._onsets.before)

    def _step(self, place: int, state: StepState, index: int | None) -> StepFound:
        rep = self._rep
        if place >= self._size:
            rep, place = rep + 1, place - self._size
        return StepFound(rep, place + LEAD, state, None if index is None else self._onsets.sound(index))

    # --- closing a rep

    def _close(self) -> list[Finding]:
        """Read the open rep for good and open the next with the onsets that belong to it."""
        cut, ahead = self._settled()
        findings = self._next_lead(ahead)
        pairs, read = self._read(cut)
        self._learn(pairs)
        self._reported = {
            place - self._size: (state, index if index is None else index - cut)
            for place, (state, index) in self._reported.items()
            if place >= self._size
        }
        self._onsets.drop(cut)
        self._rested = 0 if pairs else self._rested + 1
        self._rep += 1
        self._open()
        findings.append(read)
        if self._at_once and len(self._onsets):
            findings += self._changes()
        return findings

    def _read(self, cut: int) -> tuple[list[Pair], SegmentRead]:
        """The open rep, played by that number of onsets."""
        price, back = self._chains[0].end(cut)
        pairs = self._chains[0].pairs(back, cut, self._size)
        return pairs, self._rep_read(pairs, cut, price)

    def _next_lead(self, ahead: Link | None) -> list[Finding]:
        """The lead of the next rep, by the reading that closes the open one: it ends the theme note."""
        pairs = [] if ahead is None else self._pairs(self._chains[1], ahead, len(self._onsets))[0]
        place, index = pairs[0] if pairs else (1, 0)
        if place:
            return [] if self._reported.pop(self._size, None) is None else [self._step(self._size, MISSING, None)]
        now = (PLAYED if self._onsets.notes[index] == self._next.notes[0] else WRONG_NOTE, index)
        if self._reported.get(self._size) == now:
            return []
        self._reported[self._size] = now
        return [self._step(self._size, *now)]

    def _settled(self) -> tuple[int, Link | None]:
        """Take what is known by the close for final, and see where the rep ends."""
        self._onsets.settle(self._closes_ns)
        for chain in self._chains:
            chain.settle()
        return self._cut()

    def _cut(self) -> tuple[int, Link | None]:
        """How many onsets are the open rep's, by the cheapest way to explain it and the next; the last link of that."""
        onsets, (_, ahead) = self._onsets, self._chains
        count, total = len(onsets), onsets.sums[-1]
        best = inf
        last: Link | None = None
        for link in ahead.links:
            price = link.price + total - onsets.sums[link.onset + 1]
            if price < best:
                best, last = price, link
        # To stop short of the next lead must not look cheaper than to find it: it would be missed as surely.
        sounding = onsets.notes[-1] if count else onsets.before
        if self._next.skip(0, NOTHING if sounding is None else sounding) <= best:
            self._may_end(count)
        for start in ahead.starts:
            price = start.price + self._next.skip(0, start.sounding) + total - onsets.sums[start.onset + 1]
            if price <= best:
                best, last = price, start
        cut, reading = count, last
        while last is not None:
            cut, last = last.onset + 1, last.back
        return cut, reading

    def _bounces_upto(self, cut: int) -> list[Sound]:
        """Take out the bounces that came before an onset."""
        limit = self._onsets.at[cut] if cut < len(self._onsets) else inf
        mine = [bounce for bounce in self._bounces if bounce.onset_ns - self._beat0_ns < limit]
        del self._bounces[: len(mine)]
        return mine

    def _rep_read(self, pairs: list[Pair], cut: int, price: float) -> SegmentRead:
        found = self._states(self._notes, pairs, self._size)
        steps = [self._step(place, *found[place]) for place in range(self._size)]
        extras: list[Extra] = []
        if len(pairs) < cut:
            used = {index for _, index in pairs}
            extras += [self._extra(index) for index in range(cut) if index not in used]
        if self._bounces:
            extras += [Extra(bounce, ExtraKind.BOUNCE) for bounce in self._bounces_upto(cut)]
            extras.sort(key=lambda extra: extra.sound.onset_ns)
        shift_ns, lead_shift_ns = self._expectation.shift_ns, self._expectation.lead_shift_ns(self._rep)
        return SegmentRead(self._rep, steps[0], tuple(steps[1:]), tuple(extras), shift_ns, price, lead_shift_ns)

    def _extra(self, index: int) -> Extra:
        crosses = self._onsets.crosses(index)
        return Extra(self._onsets.sound(index), ExtraKind.CROSSING_NOISE if crosses else ExtraKind.EXTRA_NOTE)

    def _learn(self, pairs: list[Pair]) -> None:
        """Let the rep's own deviation, the median of its links', move the expectation for the next."""
        if not pairs or not pairs[-1][0]:  # a lead alone may well be another rep's
            self._expectation.learn(self._rep, None)
            return
        offs = sorted(self._onsets.at[index] - self._chains[0].due[place] for place, index in pairs)
        self._expectation.learn(self._rep, (offs[len(offs) // 2] + offs[(len(offs) - 1) // 2]) / 2)
