"""How an ornament goes for a player, in one word, and which ornaments of a tune need work first. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from chanterd.music.drill import Drill
from chanterd.practice.proposal.known import Known, held_bpm, recent
from chanterd.practice.proposal.rule import ProposalRule

UNHEARD_NEED = 0.5
"""How much an ornament that was never heard needs work, between one that is always clean (0) and never clean (1)."""


class Mastery(StrEnum):
    """How it goes."""

    NEVER = "never heard"
    NOT_YET = "not yet"
    NEARLY = "nearly"
    STEADY = "steady"


@dataclass(frozen=True, slots=True)
class WayWork:
    """One ornament and its way in, as it goes for a player."""

    drill: Drill
    times: int
    """How often it occurs."""
    mastery: Mastery
    played: int
    """On the latest days that say how it goes."""
    clean: int
    held_bpm: float | None
    """The tempo last held clean in clicks a minute; None: none yet."""

    @property
    def need(self) -> float:
        """How much it needs work: how often it occurs times the share that is not clean."""
        if self.mastery is Mastery.NEVER:
            return self.times * UNHEARD_NEED
        return self.times * (1 - self.clean / self.played)


def joined(known: Iterable[Known], elsewhere: Iterable[Known]) -> dict[str, Known]:
    """What is known of each drill by its words, with how it went in tunes and in free playing among its days."""
    found = {one.drill.words: one for one in known}
    for one in elsewhere:
        words = one.drill.words
        before = found.get(words)
        sittings = one.sittings if before is None else (*before.sittings, *one.sittings)
        aim_bpm = None if before is None else before.aim_bpm
        found[words] = Known(one.drill, tuple(sorted(sittings, key=lambda sitting: sitting.day)), aim_bpm)
    return found


def work_of(occurs: Mapping[Drill, int], known: Mapping[str, Known], rule: ProposalRule) -> list[WayWork]:
    """The ornaments of a tune by how often each ``occurs``, known by their words; what most needs work is first."""
    found = [_one(drill, times, known.get(drill.words), rule) for drill, times in occurs.items()]
    return sorted(found, key=lambda one: (-one.need, one.drill.words))


def _one(drill: Drill, times: int, known: Known | None, rule: ProposalRule) -> WayWork:
    if known is None:
        return WayWork(drill, times, Mastery.NEVER, 0, 0, None)
    lately = recent(known, rule.fewest_reps)
    if lately is None:
        full = [one for one in known.sittings if one.stage is None]
        played, clean = sum(one.played for one in full), sum(one.clean for one in full)
        mastery = Mastery.NOT_YET if played else Mastery.NEVER
        return WayWork(drill, times, mastery, played, clean, held_bpm(known))
    mastery = Mastery.NEARLY
    if lately.share < rule.weak_below:
        mastery = Mastery.NOT_YET
    elif lately.share >= rule.steady_from:
        mastery = Mastery.STEADY
    return WayWork(drill, times, mastery, lately.played, lately.clean, held_bpm(known))
