"""Recognising ornaments, onset by onset: every sound is a melody note, a step, or a note too many.

How: a shortest path over the sounds. A link leads from one melody note to the next; between the two is nothing, the
steps of an ornament, or short notes that are none. ``Pricing`` says what each costs, and ``Matcher`` which ornaments a
run of notes may be. A sound is read when its length is known, that is when the next one begins.

What the path says is final when nothing that comes can change it any more: behind a long note, a silence, or more
sounds than any ornament has. Memory is bounded by that. Time is an argument, in ns; nothing here reads a clock.
"""

from math import inf, log
from typing import NamedTuple

from chanterd.following.reading import Sound
from chanterd.listening.around import Lately, Surroundings
from chanterd.listening.found import Choice, Found
from chanterd.listening.match import Match, matcher_of
from chanterd.listening.prices import STANDARD_PRICES, Prices
from chanterd.listening.pricing import SURE, Pricing, lengths_of
from chanterd.listening.ways import NO_NOTE, NOTES, sounds_of
from chanterd.music.book import standard_book
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.note import ABC
from chanterd.music.ornament import Book
from chanterd.music.units import NS_PER_MS, Ns

REST_NS = 120 * NS_PER_MS
"""A shorter silence is the chanter's way of changing notes."""
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
DEAD = Link(inf, 0, None)
"""Of a sound to which the only way led past a melody note that is final by now."""
NOISE = Match(0.0, None, (), broken=False, extras=())  # type: ignore[arg-type]  # it is no ornament
"""Between two melody notes there was only the noise of crossing fingers."""


class Listener:
    """Listens to one player. Feed it everything that is heard, in order of time."""

    def __init__(
        self, book: Book | None = None, prices: Prices = STANDARD_PRICES, around: Surroundings | None = None
    ) -> None:
        """``around`` is what is known of what was played around each place; None: what is heard so far."""
        self._prices = prices
        self._matcher = matcher_of(book or standard_book(), prices)
        self._pricing = Pricing(prices, self._matcher.longest)
        self._around = around or Lately(prices)
        self._letters = NO_NOTE
        self._at: list[int] = [0]
        self._ends: list[int | None] = [0]
        self._logs: list[float] = [0.0]
        self._links: list[Link] = [START]
        """One for each sound whose length is known."""
        self._long = sounds_of(book or standard_book()).long

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
        if length > SURE or (length > self._pricing.most_step and self._letters[last] not in self._long):
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
        self._links = [
            START,
            *(
                DEAD if one.back < place else one._replace(price=one.price - price, back=one.back - place)
                for one in kept[1:]
            ),
        ]
        return found

    def _learn(self, place: int, found: list[Found]) -> None:
        usual, melody = self._pricing.usual, self._pricing.usual.melody
        while place > 0:
            _, back, match = self._links[place]
            melody.add(min(self._logs[place], melody.value + 1.0))
            if match is not None and match is not NOISE:
                way = match.variant.way
                for at, length in lengths_of(match, self._logs, back):
                    mean = usual.held if way.held[at] else usual.quick
                    mean.add(length - match.variant.times[at])
            place = back
        self._around.add(found)
        self._pricing.renew()

    def _link(self, last: int) -> Link:
        """The cheapest way to read a sound as a melody note; its length is the last of ``_logs``."""
        letters, links, logs = self._letters, self._links, self._logs
        here = self._around.at(Ns(self._at[last]))
        likely, least = here.price, here.least
        pricing, longest, find, long = self._pricing, self._matcher.longest, self._matcher.find, False
        most, lengths_at_best, alone = pricing.most_step, pricing.at_best, pricing.alone
        own, known = pricing.melody(logs[last]), self._prices.extra
        best, back, match = links[last - 1].price, last - 1, None
        for first in range(last - 2, max(-1, last - longest), -1):
            length = logs[first + 1]
            if length > most:
                if long or length > SURE or letters[first + 1] not in self._long:
                    break
                long = True
            so_far = links[first].price
            size = last - first - 1
            at_best = so_far + lengths_at_best[size]
            if at_best + least >= best:
                continue
            matches = find(letters[first : last + 1])
            passing = so_far + pricing.passing(letters[first : last + 1]) if size == 1 and matches else so_far
            for one in matches:
                if at_best + one.price + least >= best:
                    break
                around = likely(one.variant.way)
                if at_best + one.price + around >= best:
                    continue
                price = passing + alone(one, logs, first, last) + around
                if price < best:
                    best, back, match = price, first, one
            if size == 1:
                price = so_far + pricing.noise(letters[first : last + 1], length)
                if price < best:
                    best, back, match = price, first, NOISE
            if size <= MOST_UNKNOWN and not (matches and matches[0].price < known):
                price = so_far + pricing.unknown(logs[first + 1 : last])
                if price < best:
                    best, back, match = price, first, None
        return Link(best + own, back, match)

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
            around = self._around.at(Ns(self._at[last]))
            total = {id(one.match): one.price + around.price(one.way) for one in priced}
            priced.sort(key=lambda one: total[id(one.match)])
            least = total[id(priced[0].match)]
            choices = [one for one in priced if one.price <= priced[0].price + CHOICES_WITHIN]
            others = [one.way for one in choices[1:] if total[id(one.match)] <= least + self._prices.equal]
        lead = None if self._letters[first] == NO_NOTE else self._sound(first)
        sounds = tuple(self._sound(index) for index in range(first + 1, last + 1))
        return Found(lead, sounds, tuple(choices), tuple(others))

    def _choices(self, first: int, last: int) -> list[Choice]:
        """All that a run may be by itself, but for what is far too dear."""
        at_best, most = self._pricing.at_best[last - first - 1] - CHOICES_WITHIN, inf
        choices: list[Choice] = []
        for one in self._matcher.find(self._letters[first : last + 1]):
            if one.price + at_best > most:
                break
            price = self._pricing.alone(one, self._logs, first, last)
            most = min(most, price)
            choices.append(Choice(price, one))
        return choices

    def _sound(self, index: int) -> Sound:
        at_ns, end = self._at[index], self._ends[index]
        return Sound(NOTES[self._letters[index]], Ns(at_ns), None if end is None else Ns(end - at_ns))


def _log_ms(length_ns: int) -> float:
    return log(max(SHORTEST_MS, length_ns / NS_PER_MS))
