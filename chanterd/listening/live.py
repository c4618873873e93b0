"""Listening while somebody plays: each ornament soon after its melody note has begun, and again when it is final.

What was recognised a quarter of a second into the melody note is shown; what comes later may change it, and then the
final one takes its place. Only final ones are counted. Time is an argument, in ns; the figures are our own choice.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

from chanterd.listening.drills import beat_of, drills_in
from chanterd.listening.found import Found
from chanterd.listening.listener import Listener
from chanterd.music.heard import Heard, Onset
from chanterd.music.ornament import Book
from chanterd.music.units import NS_PER_MS, Ns

SETTLED_NS = 220 * NS_PER_MS
"""How long a melody note has begun when the ornament before it is read for the first time."""
RECENT = 8
"""Ornaments in which repetition is looked for."""
REPEATED = 3
"""This many of the same at steady distances, and the drill is offered."""


@dataclass(frozen=True, slots=True)
class HeardNow:
    """An ornament as it is read now."""

    found: Found
    final: bool


@dataclass(frozen=True, slots=True)
class Repeated:
    """The same drill over and over, by the player's own beat."""

    drill: str
    click_bpm: float
    beat_ns: Ns
    """When the beat of the last one was heard."""


class LiveListener:
    """Listens to one player while they play."""

    def __init__(self, book: Book | None = None) -> None:
        self._listener = Listener(book)
        self._pending: deque[Ns] = deque(maxlen=64)
        """Onsets of which it is not read yet what ornament they end."""
        self._shown: deque[Ns] = deque(maxlen=64)
        """The melody notes of the ornaments that were shown before they were final."""
        self._recent: deque[Found] = deque(maxlen=RECENT)
        self._latest: Found | None = None

    def hear(self, heard: Heard) -> list[HeardNow]:
        """Take what is heard next; return what is final now."""
        if isinstance(heard, Onset) and not heard.bounce:
            self._pending.append(heard.at_ns)
        return self._final(self._listener.hear(heard))

    def tick(self, now_ns: Ns) -> list[HeardNow]:
        """Let time pass: what can be read by now, once each."""
        found = self._final(self._listener.tick(now_ns))
        due = False
        while self._pending and now_ns - self._pending[0] >= SETTLED_NS:
            self._pending.popleft()
            due = True
        if not due:
            return found
        last_ns = now_ns - SETTLED_NS
        for one in self._listener.peek(now_ns):
            theme_ns = one.sounds[-1].onset_ns
            if theme_ns <= last_ns and theme_ns not in self._shown:
                self._shown.append(theme_ns)
                self._latest = one
                found.append(HeardNow(one, final=False))
        return found

    def finish(self, now_ns: Ns) -> list[HeardNow]:
        """Something else begins: what was not final yet."""
        self._pending.clear()
        return self._final(self._listener.finish(now_ns))

    def _final(self, found: Iterable[Found]) -> list[HeardNow]:
        ended: list[HeardNow] = []
        for one in found:
            self._recent.append(one)
            self._latest = None
            ended.append(HeardNow(one, final=True))
        return ended

    @property
    def repeated(self) -> Repeated | None:
        """What was repeated last; None if the last ornament was another one, or the distances are not steady."""
        recent = [*self._recent, *([] if self._latest is None else [self._latest])]
        drills = drills_in(recent, REPEATED)
        reps = next((one for one in drills if one.found[-1] is recent[-1]), None)
        if reps is None or reps.places[-1] - reps.places[-REPEATED] >= REPEATED:
            return None
        return Repeated(reps.words, round(reps.click_bpm, 1), Ns(beat_of(reps.found[-1])))
