"""The tunes that a player works on: which ornaments they need, and how soon. Pure.

What comes in a tune goes before what comes in none, and a tune that is performed soon before the others: an ornament is
worked at for a tune, not for itself (common practice, no source).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from chanterd.music.note import Note
from chanterd.practice.proposal.words import coming_day

Place = tuple[str, Note, Note]
"""An ornament's name, the note before and the theme note."""


@dataclass(frozen=True, slots=True)
class WorkedTune:
    """One tune that the player works on."""

    title: str
    performance: date | None
    """When it is performed; None: no day is set."""
    ornaments: Mapping[Place, int]
    """How often each occurs in it."""


class InTunes:
    """The ornaments of all these tunes, as of a day. A performance that is over no longer counts."""

    def __init__(self, tunes: Sequence[WorkedTune], today: date) -> None:
        self._today = today
        self._tunes = sorted(tunes, key=lambda one: (self._coming(one) or date.max, one.title))

    def rank(self, place: Place) -> int:
        """0 for what comes in the tune that is performed soonest, and so on; behind all tunes, what comes in none."""
        return next((rank for rank, one in enumerate(self._tunes) if place in one.ornaments), len(self._tunes))

    def places(self) -> list[Place]:
        """Every ornament of the tunes, by tune and then the most frequent first."""
        found: dict[Place, None] = {}
        for tune in self._tunes:
            found |= dict.fromkeys(place for _, place in sorted((-times, one) for one, times in tune.ornaments.items()))
        return list(found)

    def reason(self, place: Place) -> str:
        """Where it comes, in a sentence; empty if in none of the tunes."""
        tune = next((one for one in self._tunes if place in one.ornaments), None)
        if tune is None:
            return ""
        times = tune.ornaments[place]
        often = "once" if times == 1 else f"{times} times"
        day = self._coming(tune)
        when = "" if day is None else f", which you play {coming_day(day, self._today)}"
        return f"It comes {often} in {tune.title}{when}."

    def _coming(self, tune: WorkedTune) -> date | None:
        day = tune.performance
        return day if day is not None and day >= self._today else None
