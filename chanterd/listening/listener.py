"""Recognising ornaments from onsets as they come: every sound is a melody note, a step, or a note too many.

How: a shortest path over the sounds. A link leads from one melody note to the next; between the two lie nothing, the
steps of an ornament, or short notes that are none. ``Prices`` says what each costs, and ``Matcher`` which ornaments a
run of notes may be. A sound is read when its length is known, that is when the next one begins.

What the path says is final when nothing that comes can change it any more: behind a long note, a silence, or more
sounds than any ornament has. Memory is bounded by that. Time is an argument, in ns; nothing here reads a clock.
"""

from math import exp, hypot, inf, log
from typing import NamedTuple

from chanterd.following.reading import Sound
from chanterd.listening.around import Lately
from chanterd.listening.found import Choice, Found
from chanterd.listening.match import EXTRA, Match, is_noise, matcher_of
from chanterd.listening.prices import STANDARD_PRICES, Prices
from chanterd.listening.usual import Usual
from chanterd.listening.ways import NO_NOTE, NOTES, sounds_of
from chanterd.music.book import standard_book
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.note import ABC
from chanterd.music.ornament import Book
from chanterd.music.units import NS_PER_MS, Ns

REST_NS = 120 * NS_PER_MS
"""A shorter silence is the chanter's way of changing notes."""
SURE_NS = 900 * NS_PER_MS
"""A sound that lasts longer is a melody note, however open the hand."""
LONG_STEP_MS = 150.0
"""A sound up to this may be a step, whatever is known of the hand."""
MOST_UNKNOWN = 8
"""More short notes than this in a row are not taken together."""
SHORTEST_MS = 1.0
CHOICES_WITHIN = 8.0
"""Readings that cost more than this above the best are not kept."""


class Link(NamedTuple):
    """How a sound came to be a melody note: from which one before, with what between."""

    price: float
    back: int
    match: Match | None
    """None: nothing between, or notes that are no ornament."""


START = Link(0.0, -1, None)
NOTHING: dict[int, float] = {}
NOISE = Match(0.0, None, (), broken=False, extras=())  # type: ignore[arg-type]  # it is no ornament
"""Between two melody notes there was only the noise of crossing fingers."""


class Listener:
    """Listens to one player. Feed it everything that is heard, in order of time."""

    def __init__(self, book: Book | None = None, prices: Prices = STANDARD_PRICES) -> None:
        self._prices = prices
        self._matcher = matcher_of(book or standard_book(), prices)
        self._usual = Usual(prices)
        self._lately = Lately(prices)
        self._letters = NO_NOTE
        self._at: list[int] = [0]
        self._ends: list[int | None] = [0]
        self._logs: list[float] = [0.0]
        self._links: list[Link] = [START]
        """One for each sound whose length is known."""
        self._noise_most, self._noise_usual = log(prices.noise_ms), log(prices.noise_usual_ms)
        self._slow = log(prices.slow_ms)
        self._long = sounds_of(book or standard_book()).long
        self._set_sizes()

    def hear(self, heard: Heard) -> list[Found]:
        """Take what is heard next; return what is final now, in order of time."""
        if isinstance(heard, Onset):
            return self._onset(heard)
        if isinstance(heard, Silence) and self._ends[-1] is None:
            self._ends[-1] = heard.at_ns
        return []

    def finish(self, at_ns: Ns) -> list[Found]:
        """Nothing more is heard: all that was not final yet."""
        return self._rest(at_ns)

    def tick(self, now_ns: Ns) -> list[Found]:
        """What a silence makes final by now."""
        end = self._ends[-1]
        return self._rest(now_ns) if end is not None and now_ns - end > REST_NS else []

    def peek(self, now_ns: Ns) -> list[Found]:
        """What is not final yet, as it is read by now."""
        last = len(self._letters) - 1
        if last == len(self._links) - 1:
            return self._path(last, self._links[last])
        end = self._ends[last]
        length = _log_ms((now_ns if end is None else end) - self._at[last])
        self._logs.append(length)
        try:
            return self._path(last, self._link(last))
        finally:
            self._logs.pop()

    def _onset(self, onset: Onset) -> list[Found]:
        letter, end = ABC[onset.note], self._ends[-1]
        found: list[Found] = []
        if end is not None and onset.at_ns - end > REST_NS:
            found = self._rest(onset.at_ns)
        if letter == self._letters[-1]:
            self._ends[-1] = None  # a bounce, or the note again after no rest: it sounds on
            return found
        if self._letters[-1] != NO_NOTE:
            self._ends[-1] = onset.at_ns
            found += self._complete(onset.at_ns)
        self._letters += letter
        self._at.append(onset.at_ns)
        self._ends.append(None)
        return found

    def _complete(self, end_ns: int) -> list[Found]:
        """The last sound is over: what it was read as, and what that makes final."""
        last = len(self._letters) - 1
        length_ns = end_ns - self._at[last]
        self._logs.append(_log_ms(length_ns))
        self._links.append(self._link(last))
        length = self._logs[last]
        if length > _SURE or (length > self._most_step and self._letters[last] not in self._long):
            return self._settle(last)
        if last > self._matcher.longest + MOST_UNKNOWN:
            place = last
            while place > last - self._matcher.longest:
                place = self._links[place].back
            return self._settle(place)
        return []

    def _rest(self, now_ns: int) -> list[Found]:
        """A silence, or the end: everything is final, and nothing sounds."""
        last = len(self._letters) - 1
        if self._letters[last] == NO_NOTE:
            return []
        end = self._ends[last]
        found = self._complete(now_ns if end is None else end)
        found += self._settle(len(self._letters) - 1)
        self._letters, self._at, self._ends, self._logs, self._links = NO_NOTE, [now_ns], [now_ns], [0.0], [START]
        return found

    def _settle(self, place: int) -> list[Found]:
        """Make the path up to that sound final, learn from it, and forget what is before it."""
        found = self._path(place, self._links[place])
        self._learn(place, found)
        self._letters = self._letters[place:]
        del self._at[:place], self._ends[:place], self._logs[:place]
        price = self._links[place].price
        kept = self._links[place:]
        self._links = [START, *(one._replace(price=one.price - price, back=one.back - place) for one in kept[1:])]
        return found

    def _learn(self, place: int, found: list[Found]) -> None:
        usual, melody = self._usual, self._usual.melody
        while place > 0:
            _, back, match = self._links[place]
            melody.add(min(self._logs[place], melody.value + 1.0))
            if match is not None and match is not NOISE:
                way = match.variant.way
                for at, length in self._lengths(match, back):
                    mean = usual.held if way.held[at] else usual.quick
                    mean.add(length - match.variant.times[at])
            place = back
        self._lately.add(found)
        self._set_sizes()

    def _set_sizes(self) -> None:
        """What the innermost loop needs of what is usual."""
        prices, usual = self._prices, self._usual
        self._sizes = (usual.quick.value, usual.held.value)
        hand = usual.hand_spread(prices)
        spread = hypot(prices.step_spread, prices.finger_ms / exp(0.5 * (self._sizes[0] + self._sizes[1])))
        variance = spread**2
        self._half_step = 0.5 / variance
        self._straight = prices.step_straight * spread
        self._slope = self._half_step * self._straight
        self._long_step = self._sizes[1]
        # By the number of steps: how much their middle may differ from the hand, and what they cost at best.
        counts = range(1, self._matcher.longest + 1)
        self._half_hand = [0.0, *(0.5 / (hand**2 + variance / count) for count in counts)]
        self._at_best = [
            0.0,
            *(count * log(spread) + 0.5 * log(1 + count * hand**2 / variance) for count in counts),
        ]
        # Within two of its spreads the longest step may be so long; what is written long is counted apart.
        widest = hand + 2 * spread
        self._most_step = min(_SURE, max(log(LONG_STEP_MS), max(self._sizes) + widest))
        self._least = [one + self._lately.around.least for one in self._at_best]

    def _melody(self, length: float) -> float:
        """The price of a melody note of that length."""
        prices = self._prices
        off = (length - self._usual.melody.value) / prices.melody_spread
        square = 0.5 * off * off
        if off > 0:
            square = min(square, prices.melody_long)
        return prices.note + log(prices.melody_spread) + square

    def _link(self, last: int) -> Link:
        """The cheapest way to read a sound as a melody note; its length is the last of ``_logs``."""
        letters, links, logs, least = self._letters, self._links, self._logs, self._least
        longest, find, most, long = self._matcher.longest, self._matcher.find, self._most_step, False
        own, known, likely = self._melody(logs[last]), self._prices.extra, self._lately.around.price
        best, back, match = links[last - 1].price, last - 1, None
        for first in range(last - 2, max(-1, last - longest), -1):
            length = logs[first + 1]
            if length > most:
                if long or length > _SURE or letters[first + 1] not in self._long:
                    break
                long = True
            so_far = links[first].price
            size = last - first - 1
            if so_far + least[size] >= best:
                continue
            matches = find(letters[first : last + 1])
            at_best = so_far + self._at_best[size]
            passing = so_far + self._passing(first) if size == 1 and matches else so_far
            for one in matches:
                if so_far + one.price + least[size] >= best:
                    break
                around = likely(one.variant.way)
                if at_best + one.price + around >= best:
                    continue
                price = passing + self._alone(one, first, last) + around
                if price < best:
                    best, back, match = price, first, one
            if size == 1:
                price = so_far + self._noise(first)
                if price < best:
                    best, back, match = price, first, NOISE
            if size <= MOST_UNKNOWN and not (matches and matches[0].price < known):
                price = so_far + self._unknown(first, last)
                if price < best:
                    best, back, match = price, first, None
        return Link(best + own, back, match)

    def _passing(self, first: int) -> float:
        """What a single step costs besides, where the fingers pass through it anyway."""
        letters = self._letters
        before, note, after = letters[first], letters[first + 1], letters[first + 2]
        return self._prices.as_noise if before != after and is_noise(before, note, after) else 0.0

    def _alone(self, match: Match, first: int, last: int) -> float:
        """The price of a reading by itself: its notes, and how long they are."""
        logs, prices, way = self._logs, self._prices, match.variant.way
        held, times, sizes = way.held, match.variant.times, self._sizes
        price, left_out, instead = match.price, match.variant.left_out, match.variant.instead
        offs: list[float] = []
        longest = written_long = 0.0
        beside = self._beside(match, first) if match.extras else NOTHING
        if match.broken:
            lengths = self._lengths(match, first)
        else:
            theme = len(held)
            lengths = [
                (place, length)
                for place, length in zip(match.places, logs[first + 1 : last], strict=False)
                if 0 <= place < theme
            ]
        for place, whole in lengths:
            length = whole - times[place]
            longest, written_long = max(longest, length), max(written_long, whole)
            size = sizes[held[place]]
            if place in beside and length < size:
                length = min(size, log(exp(whole) + beside[place]) - times[place])
            elif place == instead and length > size:
                both = exp(whole) - exp(sizes[held[left_out]] + times[left_out])
                length = max(size, log(both) - times[place]) if both > 0 else size
            offs.append(length - size)
        if match.broken:
            price += self._broken(match, first)
        for at, below, more in match.extras:
            if logs[first + 1 + at] >= below:
                price += more
        count = len(offs)
        offs.sort()
        middle = offs[count // 2] if count & 1 else 0.5 * (offs[count // 2 - 1] + offs[count // 2])
        half, most = self._half_step, prices.step_most
        straight, slope = self._straight, self._slope
        for off in offs:
            differs = off - middle
            square = half * differs * differs
            if differs > straight:
                price += slope * (2.0 * differs - straight)
            else:
                price += square if differs > 0 or square < most else most
        price += self._half_hand[count] * middle * middle + self._at_best[count]
        if longest > self._long_step or longest > self._slow:
            melody = max(logs[last], logs[first] if first or self._letters[0] != NO_NOTE else -inf)
            share = exp(longest - melody)
            if count == 1 and longest > self._slow:
                price += prices.dotted * max(0.0, share - prices.dotted_from)
            if written_long > longest:
                price += prices.dotted * max(0.0, exp(written_long - melody) - prices.cadence_share)
            if share > prices.as_long:
                price += prices.as_long_price * (share - prices.as_long)
        return price

    def _lengths(self, match: Match, first: int) -> list[tuple[int, float]]:
        """The letters of a reading that were heard, but for the last, and the logarithms of their lengths."""
        logs, theme = self._logs, len(match.variant.way.held)
        found = [(place, logs[index]) for index, place in enumerate(match.places, first + 1) if 0 <= place < theme]
        if match.broken:
            lengths: dict[int, float] = {}
            for place, length in found:
                lengths[place] = lengths.get(place, 0.0) + exp(length)
            found = [(place, log(length)) for place, length in lengths.items()]
        return found

    def _beside(self, match: Match, first: int) -> dict[int, float]:
        """By letter, how long the notes beside it were that belong to none, in ms: they take their time from it."""
        found: dict[int, float] = {}
        for at, _, _ in match.extras:
            length = exp(self._logs[first + 1 + at])
            for place in (match.places[at - 1] if at else EXTRA, match.places[at + 1]):
                found[place] = found.get(place, 0.0) + length
        return found

    def _broken(self, match: Match, first: int) -> float:
        """What it costs that the melody note sounded for long before it was broken off."""
        theme, most = len(match.variant.way.held), log(self._prices.unknown_ms)
        long = sum(
            self._logs[index] > most for index, place in enumerate(match.places[:-1], first + 1) if place == theme
        )
        return long * self._prices.extra

    def _noise(self, first: int) -> float:
        """The price of a crossing noise alone, between two melody notes; infinite if it is none."""
        letters = self._letters
        before, note, after = letters[first], letters[first + 1], letters[first + 2]
        if before == after or self._logs[first + 1] >= self._noise_most or not is_noise(before, note, after):
            return inf
        long = self._logs[first + 1] - self._noise_usual
        return self._prices.noise + (self._prices.noise_long * long if long > 0 else 0.0)

    def _unknown(self, first: int, last: int) -> float:
        """The price of short notes that are no ornament; infinite if one of them is not short."""
        price, prices, logs = self._prices.unknown, self._prices, self._logs
        most = log(prices.unknown_ms)
        for index in range(first + 1, last):
            if logs[index] > most:
                return inf
            price += prices.note
        return price

    def _path(self, place: int, link: Link) -> list[Found]:
        """The ornaments on the path to a sound, in order of time."""
        found: list[Found] = []
        while place > 0:
            if place - link.back > 1 and link.match is not NOISE:
                found.append(self._found(link, place))
            place = link.back
            link = self._links[place]
        return found[::-1]

    def _found(self, link: Link, last: int) -> Found:
        first = link.back
        choices: list[Choice] = []
        others = []
        if link.match is not None:
            priced = self._choices(first, last)
            total = {id(one.match): one.price + self._lately.around.price(one.way) for one in priced}
            priced.sort(key=lambda one: total[id(one.match)])
            least = total[id(priced[0].match)]
            choices = [one for one in priced if one.price <= priced[0].price + CHOICES_WITHIN]
            others = [one.way for one in choices[1:] if total[id(one.match)] <= least + self._prices.equal]
        lead = None if self._letters[first] == NO_NOTE else self._sound(first)
        sounds = tuple(self._sound(index) for index in range(first + 1, last + 1))
        return Found(lead, sounds, tuple(choices), tuple(others))

    def _choices(self, first: int, last: int) -> list[Choice]:
        """All that a run may be by itself, but for what is far too dear."""
        at_best, most = self._at_best[last - first - 1] - CHOICES_WITHIN, inf
        choices: list[Choice] = []
        for one in self._matcher.find(self._letters[first : last + 1]):
            if one.price + at_best > most:
                break
            price = self._alone(one, first, last)
            most = min(most, price)
            choices.append(Choice(price, one))
        return choices

    def _sound(self, index: int) -> Sound:
        at_ns, end = self._at[index], self._ends[index]
        return Sound(NOTES[self._letters[index]], Ns(at_ns), None if end is None else Ns(end - at_ns))


def _log_ms(length_ns: int) -> float:
    return log(max(SHORTEST_MS, length_ns / NS_PER_MS))


_SURE = log(SURE_NS / NS_PER_MS)
