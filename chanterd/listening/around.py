"""What an ornament is likely to be by what was played around it, before anybody has looked at its notes.

Three things make one likely: that tunes are full of it; that the same ornament, or the same way from note to note, was
played before; and that a drill goes on, rep after rep. Whether a drill goes on is decided by all of its reps
together (Viterbi 1967): one that lacks a step each time is another drill, and one that lacks it once has a fault. The
figures are our own choice, like the prices.
"""

from collections import Counter, deque
from collections.abc import Iterable, Mapping, Sequence
from math import exp, inf, log
from typing import Protocol

from chanterd.listening.found import Choice, Found
from chanterd.listening.prices import Prices
from chanterd.listening.ways import Way
from chanterd.music.units import Ns

MOST_WAYS = 24
"""Of each pair of notes: how many ornaments between them are remembered; then all of them count half."""
WRITTEN = 100
"""An ornament in the notes counts as if it had been played this often."""
MOST_DRILLS = 12
"""Drills that may be going on; the others are too unlikely."""


class Habits:
    """Which ornaments were played between which notes, and which lately wherever."""

    def __init__(self, lately: int) -> None:
        self._ways: dict[str, Counter[str]] = {}
        self._written = False
        self._lately: deque[Way] = deque(maxlen=lately)

    def add(self, found: Found) -> None:
        """Count one."""
        way = found.way
        if way is None:
            return
        self._lately.append(way)
        if way.words is not None:
            ways = self._ways.setdefault(way.place, Counter())
            ways[way.words] += 2
            if ways.total() > 2 * MOST_WAYS:
                self._ways[way.place] = Counter({words: count // 2 for words, count in ways.items() if count > 1})

    def without(self, found: Found) -> "Habits":
        """The same without one of them."""
        way = found.way
        if way is None or way.words is None:
            return self
        other = Habits(0)
        other._ways = {**self._ways, way.place: self._ways[way.place] - Counter({way.words: 2})}
        return other

    def written(self, ways: Mapping[str, Mapping[str, int]]) -> "Habits":
        """What the notes say instead, where it is known what is written: more than any habit."""
        other = Habits(0)
        other._written = True
        for place, known in ways.items():
            other._ways[place] = Counter({words: WRITTEN * count for words, count in known.items()})
        return other

    def likely(self, prices: Prices, beside: Sequence[Found] | None = None) -> "Likely":
        """How likely each ornament is by that, and by those ``beside`` it, or by the last few."""
        ways = self._lately if beside is None else [one.way for one in beside if one.way is not None]
        return Likely(ways, self._ways, prices, written=self._written)


class Likely:
    """What an ornament costs by how common it is, and by what the player does."""

    __slots__ = ("_common", "_else", "_names", "_priced", "_prices", "_ways", "_words", "_written", "least")

    def __init__(
        self, lately: Iterable[Way], ways: Mapping[str, Mapping[str, int]], prices: Prices, *, written: bool = False
    ) -> None:
        """``ways`` is what was played between each two notes, or what is ``written`` there."""
        self._prices = prices
        self._written = written
        self._ways = ways
        self._priced: dict[int, float] = {}
        """By identity: a way is looked up many times, and to compare two of them takes long."""
        self._names, self._words = Counter[str](), Counter[str | None]()
        for way in lately:
            self._names[way.ornament.name] += 1
            self._words[way.words] += 1
        most = max((_at(prices.alike, count) for count in self._names.values()), default=0.0)
        self._else = 1.0 - most
        self._common = {
            "usual": exp(-prices.usual) * self._else,
            "seldom": exp(-prices.seldom) * self._else,
            "rare": exp(-prices.rare) * self._else,
        }
        same = prices.written if written else prices.same_way
        self.least = -log(max(most, 0.0) + (1.0 - most) * max(exp(-prices.usual), same))

    def known(self, place: str) -> Mapping[str, int]:
        """Which ornaments were played between two notes, and twice how often."""
        return self._ways.get(place, {})

    def price(self, way: Way) -> float:
        """The logarithm of how unlikely it is."""
        price = self._priced.get(id(way))
        if price is None:
            price = self._priced[id(way)] = self._price(way)
        return price

    def _price(self, way: Way) -> float:
        prices = self._prices
        words = way.words
        # The same between the same notes is a drill; here it counts what is the same between other notes.
        count = self._names.get(way.ornament.name, 0) - self._words.get(words, 0)
        likely = _at(prices.alike, count)
        common = self._common[way.common]
        if words is None:
            return prices.elsewhere - log(likely + (1.0 - likely) * common)
        known = self._ways.get(way.place)
        if known:
            all_of_them = sum(known.values())
            played = prices.same_way * all_of_them / (all_of_them + 2 * prices.same_way_from)
            share = prices.written if self._written else played
            common = share * known.get(words, 0) / all_of_them * self._else + (1.0 - share) * common
        elif self._written:
            common *= 1.0 - prices.written
        return -log(likely + (1.0 - likely) * common)


class Going:
    """Which drill may be going on, as prices: the least of them is about nothing."""

    __slots__ = ("drills", "free")

    def __init__(self, drills: Mapping[str, float], free: float) -> None:
        least = min([free, *drills.values()])
        kept = sorted(drills.items(), key=lambda one: one[1])[:MOST_DRILLS]
        self.drills = {words: price - least for words, price in kept}
        self.free = free - least

    def before(self, prices: Prices) -> "Going":
        """The same when the next ornament begins: each drill may have ended."""
        ended = min([self.free, *(price + prices.ends for price in self.drills.values())])
        return Going({words: price + prices.goes_on for words, price in self.drills.items()}, ended)

    def after(self, choices: Sequence[Choice], likely: Likely, prices: Prices) -> "Going":
        """What goes on after one more ornament: any may be the first of a drill, and a rep may be an odd one."""
        if not choices:
            return self
        prior = [one.price + likely.price(one.way) + prices.which for one in choices]
        free = min(prior)
        drills = {words: price + free + prices.odd_one for words, price in self.drills.items()}
        for one, price in zip(choices, prior, strict=True):
            words = one.way.words
            if words is None:
                continue
            first = self.free + prices.begins + price
            on = self.drills.get(words, inf) + one.price
            drills[words] = min(drills.get(words, inf), first, on)
        return Going(drills, self.free + free)


NOTHING = Going({}, 0.0)


class Around:
    """What an ornament costs where it is."""

    __slots__ = ("_drills", "_known", "_otherwise", "least", "likely")

    def __init__(self, going: Going, likely: Likely, prices: Prices) -> None:
        """``going`` is what may be going on when it begins."""
        self._drills = going.drills
        self.likely = likely
        self._known: dict[int, float] = {}
        self._otherwise = min([going.free, *(price + prices.odd_one for price in going.drills.values())])
        self.least = min([self._otherwise + likely.least, *going.drills.values()])

    def price(self, way: Way) -> float:
        """The price of this ornament here."""
        price = self._known.get(id(way))
        if price is None:
            price = self.likely.price(way) + self._otherwise
            if way.words is not None and way.words in self._drills:
                price = min(price, self._drills[way.words])
            self._known[id(way)] = price
        return price


class Surroundings(Protocol):
    """What was played around each place, as far as it is known."""

    def at(self, theme_ns: Ns) -> Around:
        """Around an ornament whose theme note begins then."""
        ...

    def add(self, found: Iterable[Found]) -> None:
        """Take the next ornaments that are final."""
        ...


class Lately:
    """What was played so far, while somebody plays."""

    __slots__ = ("_around", "_going", "_habits", "_prices")

    def __init__(self, prices: Prices) -> None:
        self._prices = prices
        self._habits = Habits(len(prices.alike) - 1)
        self._going = NOTHING
        self._renew()

    def at(self, _: Ns) -> Around:
        """Around the next one."""
        return self._around

    def add(self, found: Iterable[Found]) -> None:
        """Take the next ones."""
        for one in found:
            if one.choices:
                self._going = self._going.before(self._prices).after(one.choices, self._around.likely, self._prices)
                self._habits.add(one)
                self._renew()

    def _renew(self) -> None:
        self._around = Around(self._going.before(self._prices), self._habits.likely(self._prices), self._prices)


def _at(likely: tuple[float, ...], count: int) -> float:
    return likely[min(count, len(likely) - 1)]
