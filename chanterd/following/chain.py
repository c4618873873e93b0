"""Chains of right notes: the cheapest way to explain a rep's onsets by its asked notes.

A link says that onset ``j`` is asked note ``q`` (0 is the lead, the last one the theme). Links are found as onsets
come, each with the price of the cheapest chain that ends in it, so that the whole is a shortest path over very few
points: an onset can only be a link where the asked note is the one that was heard. What is between two links is a
gap; ``Costs`` says what it costs. Wrong notes live in gaps.

This is the innermost loop of the program.
"""

from bisect import bisect_left
from collections.abc import Sequence
from copy import copy
from math import inf
from typing import NamedTuple

from chanterd.following.onsets import Onsets
from chanterd.following.target import NOTHING, Target
from chanterd.music.note import Note

MOST_IN_GAP = 8
"""In a longer run of unasked notes nobody looks for a wrong one: that is no longer playing the drill."""

MOST_ADDED = 2
"""More movements than this behind a theme note are rather another attempt."""

SHORTEST_WHOLE = 4
"""Notes of the shortest ornament that can be slower as a whole: the one before, two steps and the theme."""

Pair = tuple[int, int]
"""Index of an asked note, index of an onset."""


class Link(NamedTuple):
    """Onset ``onset`` is asked note ``place``; the cheapest chain up to here costs ``price``.

    A chain's start is a link too, of place ``START``, behind which ``onset + 1`` is the first.
    """

    price: float
    onset: int
    place: int
    off: float
    """Deviation from the click, ns, + = late."""
    sounding: int
    back: "Link | None"


START = -1


class Chain:
    """The links of one rep."""

    __slots__ = (
        "_cheapest",
        "_ends",
        "_key",
        "_onsets",
        "_size",
        "_tail",
        "_target",
        "due",
        "links",
        "starts",
    )

    def __init__(self, target: Target, due: Sequence[float], onsets: Onsets) -> None:
        """``due`` is when each asked note is due; ``onsets`` grows meanwhile."""
        self._target = target
        self.due = due
        self._onsets = onsets
        self._size = len(target.notes)
        self._ends: dict[int, tuple[float, Link]] = {}
        # The cheapest of all links but those of the last onset, and its price less that of all onsets up to it: what
        # is heard after them costs them all alike.
        self._cheapest: Link | None = None
        self._key = inf
        self.starts: list[Link] = []
        self.links: list[Link] = []
        self._tail: list[Link] = []
        """The links of the last onset, as long as it is not known how long that lasts."""

    def start(self, first: int, price: float, sounding: Note | None) -> None:
        """Let a chain begin at onset ``first``, after what came before has cost ``price``."""
        link = Link(price, first - 1, START, 0.0, NOTHING if sounding is None else sounding, None)
        self.starts.append(link)
        key = price - self._onsets.sums[first]
        if key <= self._key:
            self._cheapest, self._key = link, key

    def add(self, index: int) -> None:
        """Find the links that an onset makes."""
        target, at_ns, note = self._target, self._onsets.at[index], self._onsets.notes[index]
        uneven, uneven_sq, least, melted = target.costs.uneven, target.uneven_sq, target.least, target.costs.melted
        if self._tail:
            self.settle()
        for place in target.places[note]:
            off = at_ns - self.due[place]
            if not -target.farthest_ns < off < target.farthest_ns:
                continue
            best = inf
            back: Link | None = None
            from_click = target.absolute(place, off)
            for link in reversed(self.links):
                price, onset, before, off_before, sounding, _ = link
                between, left_out = index - onset - 1, place - before - 1
                if left_out < 0 or price + between * least + left_out * melted >= best:
                    continue
                changed = off - off_before
                if before:
                    square = changed * changed
                    price += uneven * square / (square + uneven_sq)
                else:
                    price += min(from_click, target.absolute(place, changed))
                if price < best:
                    if between:
                        price += self._gap(link, index, place, best - price)
                    elif left_out:
                        skips = target.skips[sounding]
                        price += skips[place] - skips[before + 1]
                    if price < best:
                        best, back = price, link
            for link in self.starts:
                between = index - link.onset - 1
                if between < 0 or link.price + between * least + place * melted >= best:
                    continue
                price = link.price + from_click
                if price < best:
                    if between:
                        price += self._gap(link, index, place, best - price)
                    else:
                        price += target.skips[link.sounding][place] + target.unhindered(off)
                    if price < best:
                        best, back = price, link
            if back is None:
                continue
            link = Link(best, index, place, off, note, back)
            self._tail.append((place == self._size - 1 and self._slower(index, best)) or link)

    def _slower(self, theme: int, best: float) -> Link | None:
        """The link of a theme note behind a whole ornament that was slower than asked, if it is cheaper than ``best``.

        Nothing else may have sounded since the lead; what could not sound is left out.
        """
        target, at, due = self._target, self._onsets.at, self.due
        places = target.whole_places
        first = theme - len(places) + 1
        if first < 0 or len(places) < SHORTEST_WHOLE or self._onsets.notes[first : theme + 1] != target.whole:
            return None
        link = next((one for one in reversed(self.links) if one.onset == first and one.place == 0), None)
        stretch = (at[theme] - at[first + 1]) / (due[places[-1]] - due[places[1]])
        if link is None or stretch <= 1 or places[-1] != self._size - 1:
            return None
        index = first + bisect_left(places, target.beat)
        off = at[index] - due[target.beat]
        price = link.price + target.costs.slower
        price += min(target.absolute(target.beat, off), target.absolute(target.beat, off - link.off))
        for onset, place in enumerate(places[1:], first + 1):
            skips, before = target.skips[link.sounding], link.place
            price += skips[place] - skips[before + 1]
            if before:
                price += target.relative(at[onset] - at[onset - 1] - stretch * (due[place] - due[before]))
            off = at[onset] - due[place]
            if not -target.farthest_ns < off < target.farthest_ns or price >= best:
                return None
            link = Link(price, onset, place, off, self._onsets.notes[onset], link)
        return link

    def over(self, onsets: Onsets) -> "Chain":
        """A copy over a copy of the onsets, free to be settled and ended by itself."""
        twin = copy(self)
        twin.part(onsets)
        return twin

    def part(self, onsets: Onsets) -> None:
        """For a copy: share no list with the original from now on."""
        self._onsets, self._ends = onsets, {}
        self.starts, self.links, self._tail = self.starts[:], self.links[:], self._tail[:]

    def settle(self) -> None:
        """The last onset is over: it may turn out too short for a note of the melody."""
        if not self._tail:
            return
        onset, stub_ns = self._tail[0].onset, self._target.stub_ns
        length, so_far = self._onsets.length(onset), self._onsets.sums[onset + 1]
        for link in self._tail:
            if length < stub_ns and self._is_stub(link.place, length):
                link = link._replace(price=link.price + self._target.costs.stub)  # noqa: PLW2901
            self.links.append(link)
            key = link.price - so_far
            if key <= self._key:
                self._cheapest, self._key = link, key
        self._tail = []

    def _is_stub(self, place: int, length: float) -> bool:
        """Whether so short a note is hardly the lead or the theme, which are held."""
        if place == 0:
            return 2 * length < self.due[1] - self.due[0]
        return place == self._size - 1 and 2 * length < self.due[0] + self._target.rep_ns - self.due[-1]

    def end(self, upto: int) -> tuple[float, Link]:
        """The price of the cheapest reading of the first ``upto`` onsets as this whole rep, and its last link.

        To be asked for when the lengths of these onsets are known: the answer is kept.
        """
        if upto in self._ends:
            return self._ends[upto]
        best, back = inf, self.starts[0]
        target, size, sums = self._target, self._size, self._onsets.sums
        least, melted = target.least, target.costs.melted
        for link in (*self._tail, *reversed(self.links), *self.starts):
            so_far, onset, place, _, sounding, before = link
            between, left_out = upto - onset - 1, size - place - 1
            after_theme = place == size - 1 and between > 1  # then some of it may cost nothing
            if between < 0 or (so_far + between * least + left_out * melted >= best and not after_theme):
                continue
            if between:
                price = so_far + self._gap(link, upto, size, best - so_far)
                if after_theme:
                    price = min(price, so_far + self._added(link, upto))
            else:
                skips = target.skips[sounding]
                price = so_far + (skips[size] - skips[place + 1])
            if before is None:
                price = min(price, so_far + target.costs.skipped + sums[upto] - sums[onset + 1])
            if price < best:
                best, back = price, link
        self._ends[upto] = best, back
        return best, back

    def so_far(self) -> tuple[float, Link]:
        """The price of the cheapest reading of all onsets by the asked notes so far, and its last link."""
        best, back = self._key + self._onsets.sums[-1], self._cheapest
        for link in self._tail:
            if link.price <= best:
                best, back = link.price, link
        return best, back or self.starts[0]

    def pairs(self, last: Link, upto: int, size: int) -> list[Pair]:
        """All that the chain up to ``last``, and the gap from there to ``upto`` and ``size``, says; in order."""
        found = [] if last.back is None and self._is_rest(last, upto, size) else self._wrong(last, upto, size)
        link = last
        while link.back is not None:
            found.append((link.place, link.onset))
            if link.back.onset + 1 < link.onset and link.back.place + 1 < link.place:
                found += self._wrong(link.back, link.onset, link.place)
            link = link.back
        found.reverse()
        return found

    def _is_rest(self, start: Link, upto: int, size: int) -> bool:
        """Whether a whole rep without a right note was rather not played at all."""
        extras = self._onsets.sums[upto] - self._onsets.sums[start.onset + 1]
        return size == self._size and self._target.costs.skipped + extras <= self._gap(start, upto, size, inf)

    def _gap(self, link: Link, upto: int, size: int, spare: float) -> float:
        """The price of what lies between a link and onset ``upto`` as asked note ``size``.

        May be more than it need be where it is ``spare`` or more in any case.
        """
        plain = self._plain(link, upto, size)
        target, place = self._target, link.place + 1
        if (
            place >= size
            or not 0 < upto - link.onset - 1 <= MOST_IN_GAP
            or plain - target.spared - target.broken[place] >= spare
        ):
            return plain
        return self._best(link, upto, size, plain)[0]

    def _plain(self, link: Link, upto: int, size: int) -> float:
        """The price of a gap without a wrong note: every onset in it unasked, every step left out."""
        target, first, place = self._target, link.onset + 1, link.place + 1
        skips = target.skips[link.sounding]
        price = skips[size] - skips[place]
        if first < upto:
            sums, odd = self._onsets.sums, self._onsets.odd
            price += sums[upto] - sums[first]
            if odd[upto] > odd[first]:
                price += target.broken[place] if size else self._before_lead(link, upto)
        return price

    def _added(self, theme: Link, upto: int) -> float:
        """The price of the onsets behind a theme note as movements added to the ornament; infinite if they are none.

        That is the theme note left for one quick note and reached again, once or twice, after all steps of the ornament
        in order.
        """
        target, onsets, odd = self._target, self._onsets, self._onsets.odd
        if not self._is_whole_before(theme.onset):
            return inf
        meant = [index for index in range(theme.onset + 1, upto) if odd[index + 1] > odd[index]]
        movements, back = meant[::2], meant[1::2]
        if len(movements) != len(back) or not 0 < len(back) <= MOST_ADDED:
            return inf
        quick = (theme.onset, *meant[:-1])
        if (
            any(onsets.notes[index] != theme.sounding for index in back)
            or len({onsets.notes[index] for index in movements}) > 1
            or any(onsets.length(index) >= target.added_ns for index in quick)
        ):
            return inf
        sums = onsets.sums
        price = sums[upto] - sums[theme.onset + 1] - sum(sums[index + 1] - sums[index] for index in back)
        length = onsets.length(theme.onset)
        if length < target.stub_ns and self._is_stub(theme.place, length):
            price -= target.costs.stub
        off = target.relative(theme.off) * (target.costs.added_early if theme.off < 0 else 1.0)
        return price + target.costs.added + (len(back) - 1) * target.costs.added_again + off

    def _is_whole_before(self, onset: int) -> bool:
        """Whether the onsets before this one are all steps of the ornament in order, crossing noises apart."""
        onsets, odd, index = self._onsets, self._onsets.odd, onset
        for note in self._target.steps[::-1]:
            index -= 1
            while index > 0 and onsets.notes[index] != note and odd[index + 1] == odd[index]:
                index -= 1
            if index < 0 or onsets.notes[index] != note:
                return False
        return bool(self._target.steps)

    def _before_lead(self, start: Link, upto: int) -> float:
        """What it costs besides that unasked notes come before a lead, as they do where a first attempt broke off."""
        costs, onsets, lead = self._target.costs, self._onsets, self._target.notes[0]
        first, last, odd = start.onset + 1, upto - 1, onsets.odd
        while odd[first + 1] == odd[first]:
            first += 1
        while odd[last + 1] == odd[last]:
            last -= 1
        price = costs.hasty if onsets.at[upto] - onsets.at[last] < self._target.stub_ns else 0.0
        if onsets.notes[first] != lead and start.sounding not in (lead, NOTHING):
            price += costs.astray
        return price

    def _best(self, link: Link, upto: int, size: int, plain: float) -> tuple[float, Pair | None]:
        """The price of a gap in which one onset may be a wrong note, and which; ``plain`` is the price without."""
        target, onsets, first, place = self._target, self._onsets, link.onset + 1, link.place + 1
        sums, odd, skips, sounding = onsets.sums, onsets.odd, target.skips[link.sounding], link.sounding
        broken, theme = target.broken[place], len(target.notes) - 1
        notes, due = target.notes, self.due
        off_after = onsets.at[upto] - due[size] if size <= theme else None
        best, found = plain, None
        for index in range(first, upto):
            price = plain - sums[index + 1] + sums[index]
            if broken and odd[upto] > odd[first] and odd[upto] - odd[index + 1] + odd[index] == odd[first]:
                price -= broken
            heard, at_ns = onsets.notes[index], onsets.at[index]
            if heard == sounding:
                continue  # after something else the note before came back
            before = onsets.notes[index - 1] if index > first else NOTHING
            after = onsets.notes[index + 1] if index + 1 < upto else NOTHING
            sounded = not place and notes[0] in onsets.notes[first:index]  # then nothing else is a wrong lead
            for q in range(1 if sounded else place, size):
                saved = price - skips[q + 1] + skips[q]
                saved += target.costs.wrong_note if q < theme else target.costs.wrong_theme
                if saved >= best or notes[q] in (heard, sounding, before) or (q and notes[q] == after):
                    continue  # a step that sounded right beside it was not played as another note
                if heard in (notes[q - 1] if q > place else None, notes[q + 1] if q + 1 < size else None):
                    continue  # it rather is the step beside it, which would be left out
                saved += target.wrong(q, at_ns - due[q], link.place, link.off, off_after)
                if saved < best:
                    best, found = saved, (q, index)
        return best, found

    def _wrong(self, link: Link, upto: int, size: int) -> list[Pair]:
        """The wrong note in a gap, if calling it one is cheaper than an extra note and a missing step."""
        if not 0 < upto - link.onset - 1 <= MOST_IN_GAP or link.place + 1 >= size:
            return []
        _, found = self._best(link, upto, size, self._plain(link, upto, size))
        return [] if found is None else [found]
