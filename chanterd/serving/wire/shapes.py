"""The shapes of what a player keeps to while practising: ladders and their rules, paces, plans and sessions.

Parts of the frames and of the state, as typed dictionaries (:mod:`chanterd.serving.wire.frames` has the rest).
"""

from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT


@with_config(STRICT)
class LadderRuleShown(TypedDict):
    """The rule of a tempo ladder, fixed before starting; tempi are clicks a minute."""

    first_bpm: float
    raise_bpm: float
    in_a_row: int
    top_bpm: float
    tries: int
    performing_bpm: float


@with_config(STRICT)
class LadderShown(TypedDict):
    """Where a tempo ladder stands. A rep that is not clean breaks the row; a rested one changes nothing."""

    rule: LadderRuleShown
    phase: Literal["climbing", "falling", "proving", "over"]
    click_bpm: float
    row: int
    """Clean reps in a row at this tempo."""
    tries_left: int
    """Including the one under way."""
    held_bpm: float | None
    """The fastest tempo at which the full row came."""
    move: Literal["up", "down", "to performing", "end"] | None
    """What the last rep led to; None: on at the same tempo."""
    outcome: Literal["proved", "not yet", "not proved", "not held"] | None
    """How it ended by itself."""
    said: str
    """The announcement, fit to be shown or spoken."""
    full_row: str
    """Where the full row leads, such as ``up to 64``; empty at the end."""
    full_row_bpm: float | None
    """The tempo there; None where it ends."""
    no_row: str
    """Where it leads if the row does not come within the tries."""
    no_row_bpm: float | None
    whole: str
    """What it came to over all its tempi, in a sentence or two; empty while it goes on, or if nothing was played."""
    rungs: list[float]
    """Every tempo from the lowest it has been to, up to the top."""


@with_config(STRICT)
class PaceShown(TypedDict):
    """How fast a kind of tune is played; tempi are beats a minute, not clicks."""

    name: str
    said: str
    source: str
    first: float
    low: float
    high: float
    performing: float


@with_config(STRICT)
class PlanPartShown(TypedDict):
    """One part of a plan."""

    name: str
    drill: str
    how_long: str
    """In words: ``3 minutes``, ``20 reps``, ``ladder 60 to 80, 3 in a row``."""
    warm_up: bool
    click_bpm: float


@with_config(STRICT)
class PlanShown(TypedDict):
    """A plan of practice."""

    key: str
    """What it is asked for by."""
    name: str
    said: str
    parts: list[PlanPartShown]


@with_config(STRICT)
class SessionShown(TypedDict):
    """Where a player stands in a plan."""

    plan: PlanShown
    state: Literal["between", "playing", "break", "done", "stopped"]
    """``between``: the part has been announced and begins in a moment."""
    paused: bool
    part: int
    """The present part, or the one that comes next; from 0."""
    left_s: int | None
    """Of the present state, in whole seconds; None: it does not end by time."""
    reps: int
    """Played in the present part."""
    reps_wanted: int | None
    said: str
    news: str
    """What the ladder of this part has led to last, or what became of the part before; may be empty."""
    reminder: str
    """That a break is overdue; empty if it is not."""


@with_config(STRICT)
class PlayerShown(TypedDict):
    """Who sits at a chanter: a player of the history."""

    number: int
    name: str


@with_config(STRICT)
class HistoryShown(TypedDict):
    """Whether what is played is kept."""

    kept: bool
    said: str
    """Where it is kept, or why it cannot be."""
