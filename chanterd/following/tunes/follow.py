"""Following a tune: a streaming search for the cheapest reading of what was heard.

A reading is a chain of links: this onset was that event. Between two links there may be extra notes and events that
were left out; a link may also be a wrong note, or follow a leap to another bar. Only the cheapest readings are kept
(a beam): a piper's slips are few, so the right one is nearly always among a handful. What all of them agree on is
final. As with drills (``following.follow``) a reading is priced by what sounded first of all, and by time only a
little, with the player's own pace: pointing is style, and a stop of some seconds is no other note.

Times are in ns. Onsets and events count from 0. Part of the innermost loop of the program.
"""

from enum import IntEnum
from operator import itemgetter
from typing import NamedTuple

from chanterd.following.closing import SoFar
from chanterd.following.onsets import LEGATO_NS
from chanterd.following.tunes.cost import (
    MOST_FOUND,
    PACE_LIMITS,
    PACE_OF_NOTE,
    STANDARD_TUNE_COSTS,
    TOGETHER,
    TROUBLE,
    TuneCosts,
)
from chanterd.following.tunes.graph import Graph
from chanterd.following.tunes.reach import BEFORE_FIRST, NOTHING, Reach, Step
from chanterd.music.note import Note
from chanterd.music.score import Score, Way
from chanterd.music.units import Ns


class Link(NamedTuple):
    """An onset that is read as an event."""

    place: int
    """The event; -1: before the first."""
    onset: int
    at_ns: int
    right: bool
    """Whether it was the right note."""
    leap: bool
    """Whether the player came from elsewhere."""
    passed: tuple[int, ...]
    """The events left out before it."""
    gap: float
    """Clicks since the melody note of the link before, as written; 0 after a leap."""
    back: "Link | None"


class Loose(IntEnum):
    """What costs by its length, which is known when the next onset comes."""

    NO = 0
    EXTRA = 1
    WRONG = 2
    """A wrong gracenote."""


class _Reading(NamedTuple):
    """One reading of all onsets so far, by its last link."""

    price: float
    link: Link
    sounding: int
    click_ns: float
    """The player's pace."""
    taken: int
    """Which repeats were played again, a bit each."""
    loose: Loose
    """What the last onset is in it, if that costs by how long it lasts."""
    bare: float
    """How far the player leaves out one ornament after the other: 0 not at all, 1 all of them."""


class _How(IntEnum):
    """How an onset may go on from a reading."""

    EXTRA = 0
    """It is no part of the tune."""
    RIGHT = 1
    WRONG = 2
    LEAP = 3
    """To a bar near by."""
    FAR = 4
    """To anywhere else: the reading is made already."""


_Candidate = tuple[float, _How, _Reading, Step | None, float]
"""A reading to be: its price, how it goes on, from which reading, by which step, and the player's pace then."""
_Found = dict[int, _Candidate]
"""By event, the cheapest to end there."""
_PRICE = itemgetter(0)


class TuneFollower:
    """Follows one player through a tune or a passage of it."""

    def __init__(
        self,
        score: Score,
        click_ns: float,
        costs: TuneCosts = STANDARD_TUNE_COSTS,
    ) -> None:
        """``click_ns`` is the tempo to begin with."""
        self.graph = graph = Graph(score)
        self._events = graph.events
        self._graces = [float(event.from_beat_ns) for event in graph.events]
        self._costs = costs
        self._reach = Reach(graph, costs)
        self.notes: list[Note] = []
        """What was heard, bounces left out."""
        self.at: list[int] = []
        self.ends: list[int | None] = []
        start = Link(BEFORE_FIRST, -1, 0, right=True, leap=False, passed=(), gap=0.0, back=None)
        self._readings = [_Reading(0.0, start, NOTHING, click_ns, 0, Loose.NO, 0.0)]
        self._history: list[_Reading] = [self._readings[0]]
        self._bars = self._bar_of_each()

    @property
    def latest(self) -> Link:
        """The last link of the cheapest reading; its place is -1 before anything was found."""
        return self._readings[0].link

    @property
    def click_ns(self) -> float:
        """The player's pace, as it is read now."""
        return self._readings[0].click_ns

    def so_far(self) -> SoFar | None:
        """How far the segment that the player is in has been played; None before anything was found."""
        link = self.latest
        if link.place == BEFORE_FIRST:
            return None
        event, due_ns = self._events[link.place], link.at_ns - self._events[link.place].from_beat_ns
        theme = self.graph.score.segments[event.segment].drill.theme
        return SoFar(
            steps=True,
            theme_heard=event.theme,
            theme_melted=event.note is theme,
            next_begun=False,
            last_onset_ns=Ns(self.at[-1]),
            theme_due_ns=Ns(due_ns),
        )

    def prepare(self, most: int) -> None:
        """Work out that many of the ways on that are not known yet: what is known costs an onset less."""
        self._reach.prepare(most)

    def hear(self, note: Note, at_ns: int) -> None:
        """Take the next onset, in order of time."""
        if self.ends:
            end = self.ends[-1]
            if end is None or at_ns - end <= LEGATO_NS:  # the chanter's way of changing notes
                self.ends[-1] = at_ns
            else:  # after a rest any note can begin
                self._readings = [reading._replace(sounding=NOTHING) for reading in self._readings]
        self.notes.append(note)
        self.at.append(at_ns)
        self.ends.append(None)
        onset, before = len(self.notes) - 1, self._readings[0]
        refunds = self._refunds(onset - 1)
        found: _Found = {}
        limit = float("inf")
        for reading in self._readings:
            limit = self._go_on(found, reading, note, at_ns, reading.price - refunds[reading.loose], limit)
        self._leap_near(found, note, before.price - refunds[before.loose], limit)
        best = min(found.values(), key=_PRICE)[0]
        if best - before.price >= TROUBLE or before.link.place == BEFORE_FIRST:
            self._leap_far(found, onset)
            best = min(found.values(), key=_PRICE)[0]
        limit = best + self._costs.beam
        kept = [(way[0], place) for place, way in found.items() if way[0] <= limit]
        kept.sort(key=_PRICE)
        self._readings = [self._made(place, found[place], note, onset, at_ns) for _, place in kept[: self._costs.most]]
        self._history.append(self._readings[0])
        if len(self._history) > TOGETHER + 1:
            del self._history[0]

    def silence(self, at_ns: int) -> None:
        """The sound stopped."""
        self._over(at_ns)

    def bounce(self) -> None:
        """The chanter sent the sounding note again: its end was none."""
        if self.ends:
            self.ends[-1] = None

    def chain(self) -> list[Link]:
        """The cheapest reading of all that was heard, link by link."""
        found: list[Link] = []
        link: Link | None = self._readings[0].link
        while link is not None and link.place != BEFORE_FIRST:
            found.append(link)
            link = link.back
        return found[::-1]

    # --- pricing

    def _over(self, at_ns: int) -> None:
        if self.ends and self.ends[-1] is None:
            self.ends[-1] = at_ns

    def _refunds(self, onset: int) -> tuple[float, float, float]:
        """By how much the last onset is cheaper, by what it is, now that its length is known."""
        costs = self._costs
        end = self.ends[onset] if onset >= 0 else None
        if end is None:
            return 0.0, 0.0, 0.0
        length = end - self.at[onset]
        if length >= costs.held_ns:
            return 0.0, 0.0, 0.0
        extra = costs.extra
        if length < costs.short_ns:
            extra = costs.short_extra if length >= costs.blip_ns else costs.blip
        return 0.0, costs.held_extra - extra, costs.held_wrong

    def _go_on(self, found: _Found, reading: _Reading, note: Note, at_ns: int, price: float, limit: float) -> float:
        """Every way in which an onset may go on from a reading.

        What costs more than ``limit`` is given up in any case. Returned is the limit from now on.
        """
        costs, link = self._costs, reading.link
        place = link.place
        begun = place != BEFORE_FIRST
        extra = price + (costs.held_extra if begun else costs.warming_up)
        limit = min(limit, extra + costs.beam)
        if extra <= limit and (place not in found or extra < found[place][0]):
            found[place] = (extra, _How.EXTRA, reading, None, reading.click_ns)
        by_note, likely = self._reach.steps(place, reading.sounding)
        off = costs.bare * reading.bare
        for step in by_note[note]:
            if price + step.price * (1 - off) > limit:
                break  # the ways on are in order of what is left out
            cost = self._link(found, reading, step, at_ns, price + step.price - off * step.bare, _How.RIGHT)
            limit = min(limit, cost + costs.beam)
        for step in likely if begun else ():
            event = self._events[step.to]
            wrong = costs.wrong_theme if event.theme else costs.wrong_note + costs.held_wrong
            cost = price + step.price - off * step.bare + wrong
            if event.note is not note and cost <= limit:
                self._link(found, reading, step, at_ns, cost, _How.WRONG)
        return limit

    def _link(self, found: _Found, reading: _Reading, step: Step, at_ns: int, price: float, how: _How) -> float:
        """One way on, if it is the cheapest to that event so far; what it costs to be there."""
        to, gap = step.to, step.gap
        if step.way:
            price += self._turn(reading.taken, step)
        known = found.get(to)
        if known is not None and known[0] <= price:
            return known[0]
        click_ns, link = reading.click_ns, reading.link
        if link.place != BEFORE_FIRST:
            costs, graces = self._costs, self._graces
            gap_ns = gap * click_ns
            off = at_ns - link.at_ns - gap_ns - graces[to] + graces[link.place]
            scale = costs.uneven_ns + costs.uneven_of_gap * gap_ns
            square = off * off
            price += costs.uneven * square / (square + scale * scale)
            if known is not None and known[0] <= price:
                return known[0]
            if gap:
                pace = (gap_ns + off) / gap
                if PACE_LIMITS[0] * click_ns < pace < PACE_LIMITS[1] * click_ns:
                    click_ns += PACE_OF_NOTE * min(gap, 1.0) * (pace - click_ns)
        found[to] = (price, how, reading, step, click_ns)
        return price

    def _turn(self, taken: int, step: Step) -> float:
        """What it costs to take a repeat, or to go on from it, after those that were taken."""
        again = bool(taken >> step.repeat & 1)
        if step.way is Way.AGAIN:
            return self._costs.again if again else 0.0
        if step.way is Way.ON:
            return 0.0 if again else self._costs.on
        return self._costs.on if again else 0.0

    def _made(self, place: int, way: _Candidate, note: Note, onset: int, at_ns: int) -> _Reading:
        """The reading that a way on leads to: most are given up, and are never made."""
        price, how, before, step, click_ns = way
        link, taken, loose, bare = before.link, before.taken, Loose.NO, before.bare
        if step is None:
            if how is _How.FAR:
                return before
            loose = Loose.EXTRA if place != BEFORE_FIRST else Loose.NO
            return _Reading(price, link, note, click_ns, taken, loose, bare)
        leap = how is _How.LEAP
        right = how is not _How.WRONG
        new = Link(place, onset, at_ns, right, leap, step.passed, 0.0 if leap else step.gap, link)
        if not leap:
            if step.way is Way.AGAIN:
                taken |= 1 << step.repeat
            elif step.way is Way.ON:
                taken &= ~(1 << step.repeat)
            loose = Loose.NO if right or self._events[place].theme else Loose.WRONG
            bare = self._bare(bare, step)
        return _Reading(price, new, note, click_ns, taken, loose, bare)

    def _bare(self, bare: float, step: Step) -> float:
        """How far the player leaves out ornaments, after that step."""
        learned = self._costs.bare_learned
        for _ in range(step.ornaments):
            bare += learned * (1 - bare)
        return bare if self._events[step.to].theme else bare * (1 - learned)

    # --- leaps

    def _leap_near(self, found: _Found, note: Note, price: float, limit: float) -> None:
        """From the cheapest reading to the beginning of a bar near by, of the part or of the tune."""
        best = self._readings[0]
        place = best.link.place
        costs, starts = self._costs, self.graph.bars
        if place == BEFORE_FIRST:
            leaps = [(start, costs.part) for start in starts[1:]]
        else:
            bar = self._bars[place]
            leaps = [(starts[bar], costs.bar_again), (0, costs.part)]
            if bar:
                leaps.append((starts[bar - 1], costs.bar_again))
            leaps += [(start, costs.bar_next) for start in starts[bar + 2 : bar + 3]]
        for start, more in leaps:
            for step in self._reach.into(start, best.sounding)[note]:
                cost = price + more + step.price
                if cost > limit:
                    break
                if step.to not in found or cost < found[step.to][0]:
                    found[step.to] = (cost, _How.LEAP, best, step, best.click_ns)

    def _leap_far(self, found: _Found, onset: int) -> None:
        """To wherever the last notes fit, from how matters were before them."""
        if onset + 1 < TOGETHER or len(self._history) < TOGETHER:
            return
        before = self._history[-TOGETHER]
        run = tuple(self.notes[-TOGETHER:])
        begun = before.link.place != BEFORE_FIRST
        price = before.price + (self._costs.found if begun else self._costs.found_first)
        for places in self._reach.alike(run)[:MOST_FOUND]:
            known = found.get(places[-1])
            if known is not None and known[0] <= price:
                continue
            link = before.link
            for index, place in enumerate(places):
                at = onset - TOGETHER + 1 + index
                gap = self._events[place].at - self._events[places[index - 1]].at if index else 0.0
                link = Link(place, at, self.at[at], right=True, leap=index == 0, passed=(), gap=gap, back=link)
            made = _Reading(price, link, run[-1], before.click_ns, before.taken, Loose.NO, before.bare)
            found[places[-1]] = (price, _How.FAR, made, None, before.click_ns)

    def _bar_of_each(self) -> list[int]:
        """By event, the index of the bar start at or before it."""
        found: list[int] = []
        bar = 0
        starts = self.graph.bars
        for place in range(len(self._events)):
            while bar + 1 < len(starts) and starts[bar + 1] <= place:
                bar += 1
            found.append(bar)
        return found
