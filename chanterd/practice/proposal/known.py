"""What practice has shown about one ornament and way in, and when it is due again. Pure.

Conventions: tempi are clicks a minute, + = late; days are at the player's own place. Sittings are in order of days.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from math import inf

from chanterd.music.drill import Drill
from chanterd.practice.proposal.rule import ProposalRule


@dataclass(frozen=True, slots=True)
class Sitting:
    """One way on one day, at one stage of its build-up."""

    day: date
    stage: int | None
    """None: the full ornament."""
    played: int
    clean: int
    tried_bpm: float | None
    """The fastest it was tried at; None: with no click and no tempo asked for."""
    held_bpm: float | None
    """The fastest tempo with a full row of clean reps; None if there was none."""
    spread_ms: float | None
    """How much the step on the beat varied; None if too few were heard."""
    in_tunes: bool = False
    """Played in tunes, whose clicks are no tempo for a drill."""


@dataclass(frozen=True, slots=True)
class Known:
    """A way and its sittings, of which there is at least one."""

    drill: Drill
    """The full ornament."""
    sittings: tuple[Sitting, ...]
    aim_bpm: float | None = None
    """The performing tempo of its last tempo ladder, if it had one."""


@dataclass(frozen=True, slots=True)
class Recent:
    """The latest days on which the full ornament was played, enough of them to tell how it goes."""

    first: date
    last: date
    played: int
    clean: int

    @property
    def share(self) -> float:
        """Of the played reps those that were clean, from 0 to 1."""
        return self.clean / self.played


class WayState(StrEnum):
    """How well a way goes today."""

    DONE = "done"
    """Practised today already, as a drill: to have met it in a tune is no practice of it."""
    BEGUN = "begun"
    """Played too little, since the build-up at least, to say more."""
    WEAK = "weak"
    DUE = "due"
    RESTING = "resting"


def recent(known: Known, fewest_reps: int) -> Recent | None:
    """The fewest latest days that hold that many reps of the full ornament; None: there are fewer."""
    played = clean = 0
    full = [one for one in known.sittings if one.stage is None]
    for sitting in reversed(full):
        played, clean = played + sitting.played, clean + sitting.clean
        if played >= fewest_reps:
            return Recent(sitting.day, full[-1].day, played, clean)
    return None


def last_day(known: Known) -> date:
    """When it was last practised, at whatever stage."""
    return known.sittings[-1].day


def held_bpm(known: Known) -> float | None:
    """The tempo held on the last day on which one was held; None: never yet."""
    held = (one.held_bpm for one in reversed(known.sittings) if one.stage is None and one.held_bpm is not None)
    return next(held, None)


def tried_bpm(known: Known) -> float:
    """The tempo of the last day on which it was a drill; infinite if there is none, so that any other limit holds."""
    drilled = (one.tried_bpm for one in reversed(known.sittings) if not one.in_tunes)
    return next((tried for tried in drilled if tried is not None), inf)


def spread_ms(known: Known) -> float:
    """How rough it was on the last day with a figure; 0: there is none."""
    rough = (one.spread_ms for one in reversed(known.sittings) if one.stage is None and one.spread_ms is not None)
    return next(rough, 0.0)


def last_staged(known: Known) -> Sitting | None:
    """The last sitting at a stage of the build-up since the full ornament was last played; None: there is none."""
    last = known.sittings[-1]
    return None if last.stage is None else last


def good_days(known: Known, rule: ProposalRule) -> int:
    """How many of the last days in a row were good ones."""
    count = 0
    for one in reversed(known.sittings):
        if one.stage is not None:
            continue
        if one.clean < rule.steady_from * one.played:
            break
        count += 1
    return count


def rest_days(known: Known, rule: ProposalRule) -> int:
    """How long it rests after its last day."""
    doublings = max(good_days(known, rule) - 1, 0)
    grown = rule.first_days * float(rule.growth ** min(doublings, rule.longest_days))
    return round(min(grown, rule.longest_days))


def due_day(known: Known, rule: ProposalRule) -> date:
    """The day on which its rest is over."""
    return last_day(known) + timedelta(days=rest_days(known, rule))


def standing(known: Known, today: date, rule: ProposalRule) -> WayState:
    """How well it goes today; days after today are the future of another clock and count as today."""
    today_drilled = [one for one in known.sittings if one.day >= today and not one.in_tunes]
    if sum(one.played for one in today_drilled) >= rule.fewest_reps:
        return WayState.DONE
    lately, staged = recent(known, rule.fewest_reps), last_staged(known)
    if lately is None:
        return WayState.WEAK if staged is not None and staged.played >= rule.fewest_reps else WayState.BEGUN
    if lately.share < rule.weak_below:
        return WayState.WEAK
    return WayState.DUE if due_day(known, rule) <= today else WayState.RESTING
