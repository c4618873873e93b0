"""What an ornament was meant to be where it is known what was to be played: by the drill or the tune that is followed.

Whoever follows knows the place, and sees a step that is left out, crushed or wrong for what it is, where the notes
alone make another ornament of it. An ornament that was played in place of the written one keeps its own name.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import inf

from chanterd.following.reading import Sound
from chanterd.listening.followed import Followed
from chanterd.listening.found import Choice, Found
from chanterd.listening.match import EXTRA, Leftover, Match, is_noise
from chanterd.listening.prices import STANDARD_PRICES
from chanterd.listening.ways import Variant, Way, sounds_of
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.ornament import Book
from chanterd.music.units import NS_PER_MS, Ns

NOISE_NS = round(STANDARD_PRICES.noise_ms * NS_PER_MS)
"""A longer note is no noise of crossing fingers."""


def sounds_in(heard: Iterable[Heard]) -> Iterator[Sound]:
    """Every note that sounded, in order; one that was struck again while it sounded is one note."""
    now: Sound | None = None
    for one in heard:
        if isinstance(one, Onset) and (now is None or now.note is not one.note):
            if now is not None:
                yield now._replace(length_ns=Ns(one.at_ns - now.onset_ns))
            now = Sound(one.note, one.at_ns, None)
        elif isinstance(one, Silence) and now is not None:
            yield now._replace(length_ns=Ns(one.at_ns - now.onset_ns))
            now = None
    if now is not None:
        yield now


def as_meant(found: Sequence[Found], followed: Iterable[Followed], heard: Iterable[Heard], book: Book) -> list[Found]:
    """What was found, in order of time, with what was meant in place of what it was taken for."""
    ways, sounds = _by_words(book), _Sounds(list(sounds_in(heard)))
    by_theme = {one.sounds[-1].onset_ns: one for one in found}
    meant: dict[Ns, Found] = {}
    for one in followed:
        way, theme_ns = ways.get(one.words), one.theme_ns
        if way is None or theme_ns is None or one.other:
            continue
        now = by_theme.get(theme_ns)
        same = now is not None and _same(now, one, way)
        read = now if same else sounds.read(one, way, theme_ns)
        if read is not None:
            meant[theme_ns] = read
    steps = {at for one in meant.values() for at in _steps(one)}
    others = [
        one
        for theme, one in by_theme.items()
        if theme not in meant and theme not in steps and not any(at in steps or at in meant for at in _steps(one))
    ]
    return sorted((*others, *meant.values()), key=lambda one: one.sounds[-1].onset_ns)


def _same(found: Found, followed: Followed, way: Way) -> bool:
    """Whether it was found to be what it was meant to be."""
    if followed.lead_known:
        return found.words == followed.words
    return found.way is not None and found.way.ornament == way.ornament


def _steps(found: Found) -> list[Ns]:
    return [sound.onset_ns for sound in found.sounds[:-1]]


@lru_cache(maxsize=4)
def _by_words(book: Book) -> dict[str, Way]:
    """Every way that a drill of the book sounds, by the drill."""
    whole = (one for variants in sounds_of(book).whole.values() for one in variants if not (one.missing or one.wrong))
    return {one.way.words: one.way for one in whole if one.way.words is not None}


@dataclass(slots=True)
class _Sounds:
    """All that sounded, to be read as what was meant."""

    sounds: Sequence[Sound]
    _index: dict[Ns, int] = field(init=False)
    """By when it began, which of them it is."""

    def __post_init__(self) -> None:
        self._index = {one.onset_ns: at for at, one in enumerate(self.sounds)}

    def read(self, one: Followed, way: Way, theme_ns: Ns) -> Found | None:
        """What was heard as what was meant; None if no step of it was, or nothing that is more than a noise."""
        last = self._index.get(theme_ns)
        if last is None:
            return None
        at = dict(self._letters(one, way, last))
        first = min(at, default=0)
        right = [sound for sound, letter in at.items() if self.sounds[sound].note.abc == way.letters[letter]]
        if not right or (len(at) == 1 and self._is_crossing(first)):
            return None
        lead = first - 1
        if lead > 0 and self._is_crossing(lead):
            lead -= 1
        places, extras = self._places(at, lead, last)
        places.append(len(way.letters) - 1)
        letters = [place for place in places if place != EXTRA]
        known = set(letters)
        variant = Variant(
            way,
            tuple(sorted(known)),
            way.times,
            missing=len(known) < len(way.letters),
            wrong=len(right) < len(at),
        )
        match = Match(0.0, variant, tuple(places), len(known) < len(letters), tuple(extras))
        before = self.sounds[lead] if lead >= 0 else None
        return Found(before, tuple(self.sounds[lead + 1 : last + 1]), (Choice(match.price, match),), ())

    def _letters(self, one: Followed, way: Way, last: int) -> Iterator[tuple[int, int]]:
        """The sounds that are steps, and which letter of the way each of them is."""
        letters = {step: letter for letter, step in enumerate(way.steps[:-1])}
        for step, at_ns in enumerate(one.onsets_ns[:-1]):
            sound = None if at_ns is None else self._index.get(at_ns)
            if sound is not None and sound < last and step in letters:
                yield sound, letters[step]

    def _places(self, at: dict[int, int], lead: int, last: int) -> tuple[list[int], list[Leftover]]:
        """Which letter each sound before the melody note is, and those that are none.

        After a note too many the one before it comes back: that is the same letter again.
        """
        places: list[int] = []
        extras: list[Leftover] = []
        for sound in range(lead + 1, last):
            place, before = at.get(sound, EXTRA), sound - 2
            if place == EXTRA:
                back = before >= max(lead, 0) and self.sounds[before].note is self.sounds[sound].note
                if back and sound - 1 not in at:
                    place = places[before - lead - 1] if before > lead else EXTRA
                else:
                    extras.append(Leftover(sound - lead - 1, inf, 0.0))
            places.append(place)
        return places, extras

    def _is_crossing(self, at: int) -> bool:
        """Whether a sound may be only the noise of fingers that cross."""
        if not 0 < at < len(self.sounds) - 1:
            return False
        length_ns = self.sounds[at].length_ns
        before, note, after = (one.note.abc for one in self.sounds[at - 1 : at + 2])
        return length_ns is not None and length_ns < NOISE_NS and is_noise(before, note, after)
