"""Following a tune: a streaming search for the cheapest reading of what was heard.

A reading is a chain of links: this onset was that event. Between two links there may be extra notes and events that
were left out; a link may also be a wrong note, or follow a leap to another bar. Only the cheapest readings are kept
(a beam): a piper's slips are few, so the right one is nearly always among a handful. What all of them agree on is
final. As with drills (``following.follow``) a reading is priced by what sounded first of all, and by time only a
little, with the player's own pace: pointing is style, and a stop of some seconds is no other note.

Times are in ns. Onsets and events count from 0. Part of the innermost loop of the program.
"""

from enum import IntEnum
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
        onset, best_before = len(self.notes) - 1, self._readings[0].price
        found: dict[int, _Reading] = {}
        refunds = self._refunds(onset - 1)
        for reading in self._readings:
            self._go_on(found, reading, note, onset, at_ns, reading.price - refunds[reading.loose])
        self._leap_near(found, note, onset, at_ns)
        in_trouble = min(one.price for one in found.values()) - best_before >= TROUBLE
        if in_trouble or self._readings[0].link.place == BEFORE_FIRST:
            self._leap_far(found, onset)
        kept = sorted(found.values(), key=lambda one: one.price)
        limit = kept[0].price + self._costs.beam
        self._readings = [one for one in kept[: self._costs.most] if one.price <= limit]
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

    def _go_on(
        self, found: dict[int, _Reading], reading: _Reading, note: Note, onset: int, at_ns: int, price: float
    ) -> None:
        """Every way in which an onset may go on from a reading."""
        costs, link = self._costs, reading.link
        place = link.place
        extra = price + (costs.held_extra if place != BEFORE_FIRST else costs.warming_up)
        known = found.get(place)
        if known is None or known.price > extra:
            found[place] = _Reading(
                extra,
                link,
                note,
                reading.click_ns,
                reading.taken,
                Loose.EXTRA if place != BEFORE_FIRST else Loose.NO,
                reading.bare,
            )
        by_note, plain = self._reach.steps(place, reading.sounding)
        limit = self._readings[0].price + costs.held_extra + costs.beam  # what costs more is given up in any case
        off = costs.bare * reading.bare
        for step in by_note[note]:
            if price + step.price * (1 - off) >= limit:
                break  # the ways on are in order of what is left out
            self._link(found, reading, step, onset, at_ns, price + step.price - off * step.bare, right=True)
        if plain is not None and self._events[plain.to].note is not note and place != BEFORE_FIRST:
            wrong = costs.wrong_theme if self._events[plain.to].theme else costs.wrong_note + costs.held_wrong
            self._link(found, reading, plain, onset, at_ns, price + plain.price + wrong, right=False)

    def _link(
        self,
        found: dict[int, _Reading],
        reading: _Reading,
        step: Step,
        onset: int,
        at_ns: int,
        price: float,
        *,
        right: bool,
    ) -> None:
        known = found.get(step.to)
        taken = reading.taken
        if step.way:
            bit = 1 << step.repeat
            again = bool(taken & bit)
            if step.way is Way.AGAIN:
                price += self._costs.again if again else 0.0
                taken |= bit
            elif step.way is Way.ON:
                price += 0.0 if again else self._costs.on
                taken &= ~bit
            else:
                price += self._costs.on if again else 0.0
        if known is not None and known.price <= price:
            return
        click_ns, link = reading.click_ns, reading.link
        if link.place != BEFORE_FIRST:
            gap_ns = step.gap * click_ns
            graces = self._graces
            since = at_ns - link.at_ns
            off = since - gap_ns - graces[step.to] + graces[link.place]
            scale = self._costs.uneven_ns + self._costs.uneven_of_gap * gap_ns
            square = off * off
            price += self._costs.uneven * square / (square + scale * scale)
            if known is not None and known.price <= price:
                return
            if step.gap:
                pace = (gap_ns + off) / step.gap
                if PACE_LIMITS[0] * click_ns < pace < PACE_LIMITS[1] * click_ns:
                    click_ns += PACE_OF_NOTE * min(step.gap, 1.0) * (pace - click_ns)
        loose = Loose.NO if right or self._events[step.to].theme else Loose.WRONG
        new = Link(step.to, onset, at_ns, right, leap=False, passed=step.passed, gap=step.gap, back=link)
        found[step.to] = _Reading(price, new, self.notes[onset], click_ns, taken, loose, self._bare(reading, step))

    def _bare(self, reading: _Reading, step: Step) -> float:
        """How far the player leaves out ornaments, after that step."""
        bare, learned = reading.bare, self._costs.bare_learned
        for _ in range(step.ornaments):
            bare += learned * (1 - bare)
        return bare if self._events[step.to].theme else bare * (1 - learned)

    # --- leaps

    def _leap_near(self, found: dict[int, _Reading], note: Note, onset: int, at_ns: int) -> None:
        """From the cheapest reading to the beginning of a bar near by, of the part or of the tune."""
        best = self._readings[0]
        price = best.price - self._refunds(onset - 1)[best.loose]
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
                self._land(found, best, step, onset, at_ns, price + more + step.price)

    def _land(
        self, found: dict[int, _Reading], reading: _Reading, step: Step, onset: int, at_ns: int, price: float
    ) -> None:
        known = found.get(step.to)
        if known is None or known.price > price:
            link = Link(step.to, onset, at_ns, right=True, leap=True, passed=step.passed, gap=0.0, back=reading.link)
            found[step.to] = _Reading(
                price, link, self.notes[onset], reading.click_ns, reading.taken, Loose.NO, reading.bare
            )

    def _leap_far(self, found: dict[int, _Reading], onset: int) -> None:
        """To wherever the last notes fit, from how matters were before them."""
        if onset + 1 < TOGETHER or len(self._history) < TOGETHER:
            return
        before = self._history[-TOGETHER]
        run = tuple(self.notes[-TOGETHER:])
        begun = before.link.place != BEFORE_FIRST
        price = before.price + (self._costs.found if begun else self._costs.found_first)
        for places in self._reach.alike(run)[:MOST_FOUND]:
            known = found.get(places[-1])
            if known is not None and known.price <= price:
                continue
            link = before.link
            for index, place in enumerate(places):
                at = onset - TOGETHER + 1 + index
                gap = self._events[place].at - self._events[places[index - 1]].at if index else 0.0
                link = Link(place, at, self.at[at], right=True, leap=index == 0, passed=(), gap=gap, back=link)
            found[places[-1]] = _Reading(price, link, run[-1], before.click_ns, before.taken, Loose.NO, before.bare)

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
