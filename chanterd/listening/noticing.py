"""Noticing a tune while it is played: which of the tunes at hand it is, since when, and when it is left.

The melody is what ``listening.tunes`` takes for it: the notes without ornaments and noises, equal neighbours melted
into one. Runs of a few of its notes are looked up in all tunes at once, and what agrees about where in which tune the
player is adds up. How much is looked at for each note is bounded, however many tunes there are. Pure; times in ns. The
figures are our own choice.
"""

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from chanterd.listening.tunes import FEWEST, MOST_LOST, NOISE_NS, RUN, KnownTune, places_of_runs
from chanterd.music.units import NS_PER_MS, NS_PER_S, Ns

DECIDED_NS = 900 * NS_PER_MS
"""How long after it began a note is known to be of the melody, or a step of an ornament."""
LEFT_NS = 6 * NS_PER_S
"""A longer rest ends a tune that was noticed; a shorter one is a stop in it."""
MOST_PLACES = 300
"""A run of notes that is in more places than this, over all tunes, says nothing of which tune it is."""
AHEAD = 3
"""A tune must be ahead of any other by this many notes, …"""
DECIDES = 24
"""… unless this many fit: two that go on alike for longer are one tune written twice."""
SHIFTS = (0, 1, -1, 2, -2)
"""A note left out or too many moves the place in the tune by as many."""


class TuneIndex:
    """Where every run of notes is in the tunes at hand. Made once for all players; nothing of it changes."""

    def __init__(self, tunes: Sequence[KnownTune]) -> None:
        self.tunes = tuple(tunes)
        self._places = places_of_runs(self.tunes)

    def find(self, run: str) -> Sequence[tuple[int, int]]:
        """The tunes, by their place among all, and the places in their melodies; none if there are too many."""
        found = self._places.get(run, [])
        return found if len(found) <= MOST_PLACES else ()


@dataclass(frozen=True, slots=True)
class Noticed:
    """A tune that is being played."""

    tune: int
    """Its place in the index."""
    pairs: tuple[tuple[int, Ns], ...]
    """Notes of the tune, and when each was heard: the last ones in a row that fit."""
    since_ns: Ns
    """When the first note of it was heard."""


@dataclass(frozen=True, slots=True)
class Left:
    """The tune that was noticed is no longer played."""


@dataclass(slots=True)
class _Evidence:
    """Notes that fit one tune at one place."""

    first: int
    """Places in the melody that was played, both included."""
    last: int
    covered: int
    begun: int
    """Where the last unbroken run of them began."""

    @property
    def fits(self) -> bool:
        return self.covered >= FEWEST and 2 * self.covered >= self.last - self.first


@dataclass(slots=True)
class _Sound:
    letter: str
    at_ns: Ns
    end_ns: Ns | None = None
    """None: not known yet."""
    step: bool = False


@dataclass(slots=True)
class Noticing:
    """Listens to one player's melody."""

    index: TuneIndex
    _sounds: deque[_Sound] = field(default_factory=lambda: deque(maxlen=256))
    """Notes of which it is not decided yet what they are."""
    _letters: str = ""
    """The end of the melody, and when each note of it began."""
    _at: list[Ns] = field(default_factory=list)
    _count: int = 0
    """Notes of the melody so far."""
    _evidence: dict[tuple[int, int], _Evidence] = field(default_factory=dict)
    """By tune, and how far the place in it is from the place in what was played."""
    _now: int | None = None
    _last: int = 0
    """The last note of the melody that was in the tune that is played."""
    _silent_ns: Ns | None = None

    def onset(self, letter: str, at_ns: Ns) -> None:
        """A note began; bounces are none."""
        self._end(at_ns)
        self._sounds.append(_Sound(letter, at_ns))
        self._silent_ns = None

    def silence(self, at_ns: Ns) -> None:
        """The sound stopped."""
        self._end(at_ns)
        self._silent_ns = at_ns

    def steps(self, onsets_ns: Iterable[Ns]) -> None:
        """These notes were steps of an ornament."""
        known = set(onsets_ns)
        for one in self._sounds:
            if one.at_ns in known:
                one.step = True

    def tick(self, now_ns: Ns) -> Noticed | Left | None:
        """What is decided by now. The one that is noticed may follow another without its having been left."""
        changed: Noticed | Left | None = None
        while self._sounds and now_ns - self._sounds[0].at_ns >= DECIDED_NS:
            sound = self._sounds.popleft()
            if sound.step or (sound.end_ns is not None and sound.end_ns - sound.at_ns < NOISE_NS):
                continue
            changed = self._melody(sound) or changed
        if self._silent_ns is not None and now_ns - self._silent_ns >= LEFT_NS:
            left = self._now is not None
            self.forget()
            return Left() if left else changed
        return changed

    def forget(self) -> None:
        """What was played until now says nothing any more."""
        self._sounds.clear()
        self._evidence.clear()
        self._letters, self._at, self._now = "", [], None
        self._silent_ns = None

    def _end(self, at_ns: Ns) -> None:
        if self._sounds and self._sounds[-1].end_ns is None:
            self._sounds[-1].end_ns = at_ns

    def _melody(self, sound: _Sound) -> Noticed | Left | None:
        if self._letters and self._letters[-1] == sound.letter:
            return None
        self._letters = (self._letters + sound.letter)[-RUN:]
        self._at.append(sound.at_ns)
        del self._at[: -4 * DECIDES]
        place = self._count
        self._count += 1
        self._gather(place)
        if self._now is not None and place - self._last > MOST_LOST:
            self._now = None
            return self._likeliest(place) or Left()
        return self._likeliest(place)

    def _gather(self, place: int) -> None:
        """Add what the last few notes show."""
        if place % MOST_LOST == 0:
            old = [key for key, one in self._evidence.items() if place - one.last > MOST_LOST]
            for key in old:
                del self._evidence[key]
        if len(self._letters) < RUN:
            return
        if self._now is not None and self._letters in self.index.tunes[self._now].letters:
            self._last = place  # however many tunes have it too
        evidence = self._evidence
        for tune, at in self.index.find(self._letters):
            moved = at - (place - RUN + 1)
            known = next((one for shift in SHIFTS if (one := evidence.get((tune, moved + shift))) is not None), None)
            if known is None or place - known.last > MOST_LOST:
                evidence[tune, moved] = _Evidence(place - RUN + 1, place, RUN, place - RUN + 1)
                continue
            if known.last == place:  # a phrase that comes twice was counted already
                continue
            unbroken = known.last == place - 1 and evidence.get((tune, moved)) is known
            begun = known.begun if unbroken else place - RUN + 1
            covered = known.covered + min(RUN, place - known.last)
            if 2 * covered < place - known.first:  # too little of too long ago
                known, covered = _Evidence(begun, place, 0, begun), place - begun + 1
            evidence[tune, moved] = _Evidence(known.first, place, covered, begun)

    def _likeliest(self, place: int) -> Noticed | None:
        """The tune that is played, if that is another than before."""
        here = [(one.covered, tune, moved) for (tune, moved), one in self._evidence.items() if one.last == place]
        if not here:
            return None
        covered, tune, moved = max(here, key=lambda one: (one[0], -one[1]))
        one = self._evidence[tune, moved]
        if tune == self._now or not one.fits:
            return None
        others = max((other for other, number, _ in here if number != tune), default=0)
        if self._now is not None and place - self._last <= RUN:  # the one that was noticed still fits
            return None
        if covered < others + AHEAD and covered < DECIDES:
            return None
        self._now, self._last = tune, place
        known = self.index.tunes[tune].notes
        first = self._count - len(self._at)
        pairs = tuple(
            (known[played + moved], self._at[played - first])
            for played in range(max(one.begun, first), place + 1)
            if 0 <= played + moved < len(known)
        )
        return Noticed(tune, pairs, self._at[max(0, one.first - first)])
