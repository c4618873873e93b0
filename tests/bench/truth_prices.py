"""Why reps are read otherwise than they were: what the price list says of the truth.

A rep that we err in was closed with certain onsets, and expected at a certain time. The truth about it is priced as a
reading of these by ``tests.following.reading_prices``, which knows the list and not the chain. Where the truth is
dearer, the list prefers what was not; where its onsets are in another rep, it was lost before it had a price.
"""

from collections.abc import Iterator
from math import inf

from chanterd.following.chain import Pair
from chanterd.following.follow import Follower
from chanterd.following.reading import SegmentRead
from chanterd.music.drill_score import drill_score
from chanterd.music.heard import Onset
from tests.bench.performances import Performance
from tests.following.reading_prices import Heard, Rep, price_of

ELSEWHERE = "its onsets were taken for another rep's"
NO_READING = "the truth is no reading: two wrong notes in a row, or one that melts"
AS_CHEAP = "the truth costs the same"
DEARER = ((0.5, "the truth is dearer by less than half a missing step"), (1.0, "by less than one"), (inf, "by more"))
REASONS = (ELSEWHERE, NO_READING, AS_CHEAP, *(words for _, words in DEARER))

Closed = tuple[Rep, list[Heard], list[Pair], float]
"""A rep as it was expected, its onsets, what they were read as, and the price of that."""


class Witness(Follower):
    """A follower that keeps what each rep was closed with."""

    def __init__(self, one: Performance) -> None:
        """Hear the whole performance."""
        self.closed: dict[int, Closed] = {}
        super().__init__(drill_score(one.drill, one.click_bpm), one.grid, at_once=False)
        for heard in one.heard:
            if isinstance(heard, Onset):
                self.hear(heard)
            else:
                self.silence(heard.at_ns)
        self.finish()

    def _rep_read(self, pairs: list[Pair], cut: int, price: float) -> SegmentRead:
        onsets, target = self._onsets, self._target
        due = self._due(0, target)
        prices, odd = onsets.sums, onsets.odd
        heard = [
            Heard(
                onsets.notes[at], onsets.at[at], prices[at + 1] - prices[at], odd[at + 1] > odd[at], onsets.length(at)
            )
            for at in range(cut)
        ]
        rep = Rep(target.notes, due, self._click_ns, target.rep_ns, onsets.before)
        self.closed[self._rep] = rep, heard, list(pairs), price
        return super()._rep_read(pairs, cut, price)


def reasons(one: Performance) -> Iterator[tuple[str, int]]:
    """For each rep that we err in, why, and in how many pairs: those that we lack and those that are wrong."""
    at_ns = [onset.at_ns - one.grid.beat0_ns for onset in one.onsets]  # as the follower counts
    truth: dict[int, set[tuple[int, int]]] = {}
    for number, step, index in one.truth:
        truth.setdefault(number, set()).add((step + 1, at_ns[index]))
    closed = Witness(one).closed
    for number in sorted(truth.keys() | closed.keys()):
        true = truth.get(number, set())
        if number not in closed:
            yield ELSEWHERE, len(true)
            continue
        rep, heard, pairs, price = closed[number]
        wrong = len(true ^ {(place, heard[index].at_ns) for place, index in pairs})
        if wrong:
            yield _reason(rep, heard, true, price), wrong


def _reason(rep: Rep, heard: list[Heard], true: set[tuple[int, int]], price: float) -> str:
    index_at = {one.at_ns: index for index, one in enumerate(heard)}
    if any(at_ns not in index_at for _, at_ns in true):
        return ELSEWHERE
    dearer = price_of(rep, heard, tuple(sorted((place, index_at[at_ns]) for place, at_ns in true))) - price
    if dearer < -1e-9:
        raise AssertionError(f"the truth is cheaper than the reading by {-dearer:.3f}: the path is not exact")
    if dearer == inf:
        return NO_READING
    return AS_CHEAP if dearer < 1e-9 else next(words for most, words in DEARER if dearer < most)
